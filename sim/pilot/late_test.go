package pilot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Goal: the ideal hand is what can be done at best over a late link as well.
// Method: 30 s on the toy craft from 0.5 m off, with a link 0.3 s later than the
// hand was made for: told of it, it comes to rest; not told, it swings.
func TestIdealHandAllowsForALateLink(t *testing.T) {
	worst := func(hand Hand) (w float64) {
		craft := flying(kernel.Vec3{X: 0.5, Z: 1.2}, hands.Attitude)
		craft.halls, craft.slow = 50, 15
		s := &still{hand: hand, placeW: kernel.Vec3{Z: 1.2}}
		for i := range 1500 {
			craft.turn(s)
			if i > 1000 {
				w = math.Max(w, craft.posW.Sub(s.placeW).Norm())
			}
		}
		return w
	}
	brief := DefaultBrief()
	brief.Late = 0.34 // s: 0.3 s and the toy's own two looks
	told, untold := worst(IdealHand().With(brief)), worst(IdealHand())
	t.Logf("told %.3f m, not told %.3f m", told, untold)
	assert.Less(t, told, 0.1)
	assert.Greater(t, untold, 0.3)

	brief.Late = lateLink
	assert.Equal(t, IdealHand().Velocity, IdealHand().With(brief).Velocity, "a link as usual changes nothing")
	brief.Late = 0.34
	assert.Equal(t, TrainedHand().Velocity, TrainedHand().With(brief).Velocity, "others find out by swinging")
}

// Goal: nobody works the throttle of a craft that is over, as if it only flew too
// low. Method: a craft that sinks, leaning more or less than 60 degrees.
func TestNobodyFliesWhatIsOver(t *testing.T) {
	for _, c := range []struct {
		tilt  float64 // rad
		stays bool
	}{{1.0, false}, {1.1, true}} {
		hand, h := IdealHand(), hands.Hands{Throttle: 400, Response: hands.Attitude}
		p := percept.Percept{Tilt: c.tilt, PosW: kernel.Vec3{Z: 1}, VelW: kernel.Vec3{Z: -1}, HoverStick: 0.4}
		var g grip
		for range 5 {
			g.look(&hand, &p)
			g.fly(&hand, &p, &h, hands.Attitude, &wish{placeW: kernel.Vec3{Z: 1}})
		}
		assert.Equal(t, c.stays, h.Throttle == 400, "%.1f rad", c.tilt)
	}
}

// Goal: a craft that slides in a response type that should hold is brought down
// all the same. Method: the toy slides at 0.7 m/s; it must begin to sink within a
// second and a half.
func TestComesDownSliding(t *testing.T) {
	craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
	craft.slideW, craft.halls = kernel.Vec3{X: 0.7}, 50
	a := NewAnswering(AnswerLand, TrainedHand(), &craft.p)
	for range 75 {
		craft.turn(&a)
	}
	assert.Less(t, craft.velW.Z, -0.1)
}
