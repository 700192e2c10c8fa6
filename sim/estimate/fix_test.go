package estimate

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
)

// Goal: a late fix speaks of the moment of exposure and is weighed as of then.
// Method: position and speed unknown and unrelated at the exposure (variances P
// and V), 0.1 s of flight before the fix arrives. The fix says nothing of the
// speed, and corrects the position by P/(P + R) of the residual, then and now.
// Source: the scalar Kalman gain; taken as of now it would be (P + V·t²)/(P +
// V·t² + R), with a part for the speed.
func TestLateFixIsWeighedAsOfItsExposure(t *testing.T) {
	p := DefaultParams()
	var s State
	s.Belief.QWB = kernel.QuatIdentity
	const pos, vel, late, off = 0.2, 3.0, 0.1, 0.5 // m and m/s, standard deviations; s; m
	s.Cov.setDiag(BlockPos, kernel.Vec3{X: pos, Y: pos, Z: pos})
	s.Cov.setDiag(BlockVel, kernel.Vec3{X: vel, Y: vel, Z: vel})
	Expose(&s.Cov, &s.Clone, s.Belief.PosW, s.Belief.QWB)
	Predict(&s.Cov, &Motion{T: late}, &Growth{}, s.Belief.QWB, true)
	assert.InDelta(t, pos*pos+vel*vel*late*late, s.Cov.At(0, 0), 1e-12, "the present has grown less certain")

	fixRows(&p, &s, kernel.Vec3{X: off, Y: -off}, kernel.Vec3{}, false)
	want := off * pos * pos / (pos*pos + p.FixPosSigma*p.FixPosSigma)
	assert.InDelta(t, want, s.Belief.PosW.X, 1e-12)
	assert.InDelta(t, -want, s.Belief.PosW.Y, 1e-12)
	assert.InDelta(t, 0, s.Belief.PosW.Z, 1e-12)
	assert.Less(t, s.Belief.VelW.Norm(), 1e-12, "nothing was learnt of the speed")
}
