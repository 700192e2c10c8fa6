package pilot

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Goal: who stays as it is does not lift a craft that has landed and bounces, does
// not fly one that lies on its back, and leaves the throttle that a trap asks for.
// Method: one second of a hold after each, the craft seen off its feet.
func TestStaysWhereThereIsNothingToFly(t *testing.T) {
	cases := []struct {
		name string
		legs []Leg
		p    percept.Percept
		from int16
		want int16 // throttle
	}{
		{"landed, under position-hold", []Leg{{Do: LegLift, Height: 1}, {Do: LegLand}, {Do: LegHold, For: 1e6}},
			percept.Percept{Armed: true, Actual: hands.PositionHold, Commanded: hands.PositionHold}, 300, 0},
		{"on its back", []Leg{{Do: LegCall}, {Do: LegHold, For: 1e6}},
			percept.Percept{Armed: true, Actual: hands.Attitude, Commanded: hands.Attitude, Tilt: 3.1, HoverStick: 0.4}, 430, 430},
		{"a trap", []Leg{{Do: LegRelease, Throttle: 0.3}, {Do: LegHold, For: 1e6}},
			percept.Percept{Armed: true, Actual: hands.Attitude, Commanded: hands.Attitude, OnFloor: true}, 300, 300},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e := NewExecutor(planOf(c.legs...), TrainedHand(), 1)
			e.Progress.Leg = int64(len(c.legs)) - 1
			h := hands.Hands{Throttle: c.from, Armed: true, Response: c.p.Actual}
			for i := range int64(50) {
				c.p.Tick = i * percept.Every
				e.Act(&c.p, &h)
			}
			assert.Equal(t, c.want, h.Throttle)
		})
	}
}

// Goal: a throttle correction that is meant takes up a mismatch of a fifth of the
// weight, which the slow trim of a hover leaves standing. Method: a craft whose
// rise is thrust less weight, hover mark a fifth too high, flown for 6 s.
func TestACorrectionTakesUpAWrongMark(t *testing.T) {
	const mark = 0.48 // 0.4, a fifth too high
	fly := func(meant bool) (climb float64) {
		hand := TrainedHand()
		var g grip
		h := hands.Hands{Throttle: hands.Stick(mark), Armed: true, Response: hands.Attitude}
		p := percept.Percept{HoverStick: mark, Actual: hands.Attitude}
		p.PosW.Z = 1.5
		for i := range int64(300) {
			p.Tick = i * percept.Every
			p.VelW.Z += gravity * (hands.Share(h.Throttle)/0.4 - 1) * look
			g.look(&hand, &p)
			if meant {
				g.retrim(&hand, &p)
			}
			w := wish{placeW: p.PosW}
			g.fly(&hand, &p, &h, hands.Attitude, &w)
		}
		return p.VelW.Z
	}
	assert.Greater(t, fly(false), 0.5, "m/s")
	assert.InDelta(t, 0, fly(true), 0.2, "m/s")
}
