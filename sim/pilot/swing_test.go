package pilot

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
)

// Goal: on a link that is late enough the hand that hovers well by eye swings,
// without anything else being wrong, and who holds still and goes on with a
// softer hand does not. Method: toy craft, whose lean follows in 0.13 s; greatest
// lean of the last 6 s of 20 s. A crossover of 1.8 rad/s with 0.22 s of its own
// and 0.13 s of the lean leaves about π/2 − 1.8·0.35 − atan(0.65/1.8) = 0.6 rad,
// which 0.4 to 0.5 s of a link use up.
func TestALateLinkMakesAHandSwing(t *testing.T) {
	swing := func(hand Hand, slow int64, drill *judge.Drill) float64 {
		profile := Trained()
		profile.Hand, profile.WrongFirst, profile.Omit = hand, 0, 0
		x := NewPerson(briefed(), drill, &profile, 4)
		x.exec.Progress.Leg, x.flown = 5, true
		x.exec.plan.Legs[5].For = 60000
		if drill.DemandCount > 0 {
			x.noticed, x.acts = 0, 3000
		}
		craft := flying(kernel.Vec3{X: 0.2, Z: 1.2}, hands.Attitude)
		craft.halls, craft.slow = 50, slow
		most := 0.0
		for i := range 1000 {
			craft.turn(&x)
			if i > 700 {
				most = max(most, craft.p.Tilt)
			}
		}
		return most
	}
	nothing := drillOf(judge.ClassN)
	for _, f := range []struct {
		name string
		hand Hand
		slow int64 // looks
	}{{"expert", ExpertHand(), 18}, {"trained", TrainedHand(), 26}} {
		calm, late := swing(f.hand, 0, nothing), swing(f.hand, f.slow, nothing)
		assert.Greater(t, late, 2.5*calm, f.name)
		soft := swing(f.hand, f.slow, drillOf(judge.ClassB, oneOf(true, judge.DeedSticksNeutral), oneOf(false, judge.DeedArrest),
			oneOf(false, judge.DeedPlanDone)))
		assert.Less(t, soft, late/2, f.name)
		t.Logf("%s: %.3f rad calm, %.3f late, %.3f soft", f.name, calm, late, soft)
	}
}
