package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// empty returns the conditions of a quiet flight in a large empty room without
// noise: nothing in it tells one direction from another.
func empty(t testing.TB) sim.Conditions {
	c := quiet(rehearsal(t, "nothing-happens", 1))
	air := dynamics.Air{Density: c.Place.Air.Density, Gravity: c.Place.Air.Gravity}
	far := dynamics.Vec3{X: 50, Y: 50, Z: 30}
	c.Place = dynamics.Place{Min: dynamics.Vec3{X: -50, Y: -50}, Max: far, CageMin: dynamics.Vec3{X: -50, Y: -50}, CageMax: far, Air: air}
	c.Place.Prepare()
	c.Estimate = estimate.DefaultParams()
	s := &c.Sense
	s.Fixes = true // an empty room has no landmarks
	s.Gyro.Noise, s.Gyro.Walk, s.Gyro.Start = 0, 0, 0
	s.Accel.Noise, s.Accel.Walk, s.Accel.Start = 0, 0, 0
	s.RangeSigma, s.VoltsSigma = 0, 0
	s.FixPosSigma, s.FixAngSigma, s.FixPosWalk, s.FixYawWalk = 0, 0, 0, 0
	require.NoError(t, c.Sense.Validate())
	return c
}

// drilled works the sticks by the clock and looks at nothing.
type drilled struct{}

func (drilled) Act(p *percept.Percept, h *hands.Hands) {
	*h = hands.Hands{Response: hands.Attitude}
	switch t := p.Tick; {
	case t < 2000:
	case t < 2500:
		h.Armed = true
	default:
		h.Armed, h.Throttle = true, hands.Stick(p.HoverStick+0.06)
		if t > 3500 {
			h.Response, h.Throttle = hands.PositionHold, hands.Full/2
		}
		if t > 4500 {
			h.Pitch, h.Roll, h.Yaw = 300, -150, 100
		}
	}
}

// Goal: turning the world turns the result. Method: take off with the nose along
// x, and along y, in an empty room without noise; rise in attitude, then fly by
// position-hold with all sticks off centre; the second flight is the first one
// turned by 90°.
func TestTurnedTakeOffTurnsTheFlight(t *testing.T) {
	const quarter = math.Pi / 2
	c := empty(t)
	a, b := sim.Start(&c), sim.Start(&c)
	b.Craft = dynamics.Start(&c.Craft, &c.Place, c.Place.TakeOff, quarter)
	b.Estimate = estimate.StartSighted(&c.Estimate, b.Craft.PosW, quarter)
	turn := kernel.Quat{W: math.Sqrt(0.5), Z: math.Sqrt(0.5)}
	worst, far := 0.0, 0.0
	for a.Tick < 9000 {
		sim.Turn(&c, &a, drilled{})
		sim.Turn(&c, &b, drilled{})
		worst = math.Max(worst, turn.Rotate(a.Craft.PosW).Sub(b.Craft.PosW).Norm())
		worst = math.Max(worst, turn.Rotate(a.Craft.VelW).Sub(b.Craft.VelW).Norm())
		worst = math.Max(worst, a.Craft.OmegaB.Sub(b.Craft.OmegaB).Norm())
		far = math.Max(far, a.Craft.PosW.NormXY())
	}
	t.Logf("greatest difference %.2g over a flight of %.1f m", worst, far)
	assert.Less(t, worst, 1e-6)
	assert.Greater(t, far, 1.5, "m: it went somewhere")
	assert.Greater(t, a.Craft.PosW.Z, 0.3, "m: it flew")
}
