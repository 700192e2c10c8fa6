package dynamics

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Goal: a surface never pulls. Method: a body 1 mm deep that already leaves so
// fast that the damper outweighs the spring must leave in free flight, up as
// well as along, where there would be friction.
// Source: z = z0 + v·t − g·t²/2.
func TestSurfaceNeverPulls(t *testing.T) {
	const g = 9.80665 // m/s², of standingQuad's room
	c, p, s, in := puck(t, 0.5, 500, 50, 0.5)
	c.DragArea, p.Air.Gravity = Vec3{}, g
	s.PosW.Z, s.VelW = -1e-3, Vec3{X: 0.5, Z: 1}
	run(c, p, s, in, 20)
	const after = 20 * DT
	assert.InDelta(t, 1-g*after, s.VelW.Z, 1e-9)
	assert.InDelta(t, -1e-3+after-0.5*g*after*after, s.PosW.Z, 1e-9)
	assert.InDelta(t, 0.5, s.VelW.X, 1e-9)
}
