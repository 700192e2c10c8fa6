package control

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// Goal: the integrator of an axis rests while the mixer cannot give what is
// asked for about it, and while the craft may be standing; it works otherwise,
// and it may always unwind. Method: a craft that does not follow its command for
// half a second, axis by axis.
func TestIntegratorRests(t *testing.T) {
	p := designed("quad-500g")
	stuck := kernel.Vec3{X: 1, Y: -1, Z: 0.5} // rad/s, commanded and not followed
	for _, c := range []struct {
		name    string
		lift    float64 // share of the weight
		limited Limited
		x, y, z bool // the integrator works
	}{
		{"in the air", 1, Limited{}, true, true, true},
		{"yaw limited", 1, Limited{Yaw: true}, true, true, false},
		{"tilt limited", 1, Limited{Yaw: true, Lift: true, Tilts: true}, false, false, false},
		{"standing", 0.1, Limited{}, false, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := State{RateCmdB: stuck, Thrust: c.lift * p.Weight, Limited: c.limited}
			for range 500 {
				rate(&p, &s, &estimate.Belief{})
			}
			assert.Equal(t, c.x, s.RateTrimB.X > 0, "roll")
			assert.Equal(t, c.y, s.RateTrimB.Y < 0, "pitch")
			assert.Equal(t, c.z, s.RateTrimB.Z > 0, "yaw")
			if !c.x && !c.y && !c.z {
				assert.Equal(t, kernel.Vec3{}, s.RateTrimB)
			}
		})
	}

	// Unwinding: what stands against the error is taken back even at the limit.
	s := State{RateCmdB: stuck, Thrust: p.Weight, Limited: Limited{Yaw: true, Lift: true, Tilts: true}}
	s.RateTrimB = p.Gains.RateTrimMax.Scale(-0.5)
	s.RateTrimB.Y = -s.RateTrimB.Y
	before := s.RateTrimB
	require.Less(t, before.X, 0.0)
	for range 50 {
		rate(&p, &s, &estimate.Belief{})
	}
	assert.Greater(t, s.RateTrimB.X, before.X)
	assert.Less(t, s.RateTrimB.Y, before.Y)
	assert.Greater(t, s.RateTrimB.Z, before.Z)
}
