package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
	"lapwing/sim"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// Goal: a run that begins on its back is what a crash leaves, and stays so until
// somebody acts. Method: ten seconds with nobody acting: it lies still on its
// rims at less than a finger's height, armed, its motors turning, and knows that
// it is upside down; the cut-off then stops them.
func TestStartsOnItsBack(t *testing.T) {
	c := rehearsal(t, "crashed-motors-turning", 1)
	w := sim.Start(&c)
	p := nobody(t, &c)
	for w.Tick < 10000 {
		sim.Turn(&c, &w, p)
	}
	assert.Greater(t, w.Percept.Tilt, 3.0, "rad")
	assert.Less(t, w.Craft.PosW.Z, 0.03, "m")
	assert.Less(t, w.Craft.VelW.Norm(), 0.05, "m/s")
	assert.NotZero(t, w.Craft.Touch.Kinds&dynamics.TouchRotorFloor)
	assert.True(t, w.Percept.MotorsTurn && w.Safety.Status.Armed)
	assert.Less(t, math.Abs(w.Estimate.Belief.QWB.AxisZ().Z+1), 0.02, "believes its up to be down")
	assert.NotEqual(t, estimate.Belief{}, w.Estimate.Belief)

	w.Hands.CutOff = true
	for range 1000 {
		sim.Advance(&c, &w)
	}
	sim.Look(&c, &w)
	assert.False(t, w.Percept.MotorsTurn)
	assert.Equal(t, hands.Attitude, w.Safety.Status.Response)
}
