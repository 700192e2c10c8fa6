package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// Goal: the clock starts at the cue, the first look at which a person could
// perceive the event, and not at its onset; signs before the onset do not count.
// Method: a craft that slides early for another reason, an onset at 2 s, a sign
// from 3.1 s on that must last for 0.2 s, an answer at 4 s.
func TestClockStartsAtTheCue(t *testing.T) {
	d := Drill{Class: ClassB, CueCount: 1, DemandCount: 1, Outcome: DefaultOutcome()}
	d.Cues[0] = percept.Rule{Sign: percept.SignAway, Above: 0.5, For: 200}
	d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedAttitude}}, Count: 1, Within: NoLimit, First: true}

	f, p, h := Start(), percept.Percept{}, hands.Rest()
	craft, status := dynamics.State{QWB: dynamics.Quat{W: 1}}, safety.Status{}
	place := dynamics.Place{
		CageMin: dynamics.Vec3{X: -9, Y: -9, Z: -9}, CageMax: dynamics.Vec3{X: 9, Y: 9, Z: 9},
	}
	craft.PosW.Z = 2
	for tick := int64(0); tick <= 5000; tick += percept.Every {
		p.Tick, p.Away = tick, 0
		if tick < 1500 || tick >= 3100 {
			p.Away = 0.6
		}
		h.Response = hands.PositionHold
		if tick >= 4000 {
			h.Response = hands.Attitude
		}
		onset := Never
		if tick >= 2000 {
			onset = 2000
		}
		Note(&d, &f, &View{Tick: tick, Looked: true, Percept: &p, Hands: &h, Craft: &craft, Place: &place,
			Status: &status, Onset: onset, HasEvent: true, Pack: &dynamics.Battery{}})
	}
	assert.EqualValues(t, 2000, f.Onset)
	assert.EqualValues(t, 3300, f.Cue)
	assert.EqualValues(t, 4000, f.FirstRight)
	assert.EqualValues(t, 4000, f.FirstInput)
	assert.Equal(t, hands.PositionHold, f.CueHands.Response)
}
