package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// Goal: a switch that stood right before anything could be seen, and was moved on,
// is no answer; one that still stands is. Method: attitude from the onset on, the
// cue half a second later, once with attitude left before it and once not.
func TestALeftSwitchIsNoAnswer(t *testing.T) {
	for _, left := range []bool{true, false} {
		s := flight()
		s.d.DemandCount = 1
		s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedAttitude}}, Count: 1, Within: NoLimit, First: true}
		s.d.CueCount, s.d.Cues[0] = 1, percept.Rule{Sign: percept.SignNotHolding, Above: 0.5}
		s.h.Response, s.onset = hands.Attitude, s.tick
		s.look(10)
		assert.NotEqual(t, Never, s.f.FirstRight, "noted before the cue")
		if left {
			s.h.Response = hands.PositionHold
		}
		s.p.Actual = hands.Attitude
		s.look(15)
		assert.Equal(t, left, s.f.FirstRight == Never)
		s.h.Response = hands.Attitude
		s.look(2)
		assert.NotEqual(t, Never, s.f.FirstRight)
	}
}

// Goal: what a craft does that hears nothing is nobody's deed. Method: it flies
// within a person's radius, lies with its motors on, and comes down by itself with
// the throttle low, each with the link lost and with it up.
func TestALostLinkIsNobodysDeed(t *testing.T) {
	for _, lost := range []bool{true, false} {
		s := flight().cued()
		s.p.LinkLost = lost
		s.craft.PosW.X = -5
		s.look(3)
		assert.Equal(t, lost, s.f.Fail[FailPerson] == Never)

		s = flight().cued()
		s.p.LinkLost, s.p.Tilt, s.craft.Touch.Kinds = lost, 3, dynamics.TouchRotorFloor
		s.look(300)
		assert.Equal(t, lost, s.f.Fail[FailRunning] == Never)

		s = flight()
		s.d.DemandCount = 1
		s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedDescend}}, Count: 1, Within: NoLimit, First: true}
		s.cued()
		if lost {
			s.status.Link = safety.LinkLost
		}
		s.h.Throttle, s.craft.VelW.Z = 200, -0.4
		s.look(30)
		assert.Equal(t, lost, s.f.FirstRight == Never)
	}
}

// Goal: a drill in which leaving the cage is not hard does not fail whoever leaves
// it. Method: outside the cage under power, with and without.
func TestLeavingTheCageAsTheDrillSays(t *testing.T) {
	for _, counts := range []bool{true, false} {
		s := flight()
		s.d.Outcome.LeaveCage = counts
		s.cued()
		s.craft.PosW.X = 3.5
		s.look(2)
		assert.Equal(t, counts, s.f.Fail[FailCage] != Never)
	}
}
