package control

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// trimLift is the share of the weight below which the rate integrators rest: a
// craft that hardly lifts may be standing on its feet.
const trimLift = 0.3

// leadRate is the yaw rate (rad/s) above which moments are turned ahead by what
// the craft turns within the rotors' lag.
const leadRate = 2.0

// rate turns body rates into moments. The commanded angular acceleration passes
// through the inertia, and the gyroscopic moment ω × Iω is put in:
//
//	M = I·(ω_b·(ω_cmd − ω) + trim) + ω × Iω
//
// The integrator works on the distance from where a first-order loop would be
// by now, so that a step of the command leaves nothing in it; it rests for an
// axis on which the mixer could not give what was asked for.
func rate(p *Params, s *State, b *estimate.Belief) {
	g := &p.Gains
	w, trim, model := b.OmegaB, &s.RateTrimB, &s.RateModelB
	resting := s.Thrust < trimLift*p.Weight
	x := axis(g.Rate.X, g.RateIntegral.X, g.RateTrimMax.X, s.RateCmdB.X, w.X, resting || s.Limited.Tilts, &model.X, &trim.X)
	y := axis(g.Rate.Y, g.RateIntegral.Y, g.RateTrimMax.Y, s.RateCmdB.Y, w.Y, resting || s.Limited.Tilts, &model.Y, &trim.Y)
	z := axis(g.Rate.Z, g.RateIntegral.Z, g.RateTrimMax.Z, s.RateCmdB.Z, w.Z, resting || s.Limited.Yaw, &model.Z, &trim.Z)
	spin := p.Inertia.MulVec(w)
	m := p.Inertia.MulVec(kernel.Vec3{X: x, Y: y, Z: z}).Add(w.Cross(spin))
	if w.Z > leadRate || w.Z < -leadRate {
		m = lead(m, w.Z*p.Lag)
	}
	s.MomentB = m
}

// axis returns the angular acceleration to command about one axis (rad/s²) and
// moves its model and integrator on.
func axis(band, integral, bound, cmd, w float64, resting bool, model, trim *float64) float64 {
	acc := float64(band*(cmd-w)) + *trim
	*model += float64(band * dynamics.DT * (cmd - *model))
	step := integral * dynamics.DT * (*model - w)
	if resting && float64(step**trim) >= 0 {
		return acc
	}
	*trim = kernel.Clamp(*trim+float64(step), -bound, bound)
	return acc
}

// lead turns a moment that stands still in the room ahead by turn (rad), small,
// against the craft's own turning: M + τ·dM/dt with dM/dt = −ω × M.
func lead(m kernel.Vec3, turn float64) kernel.Vec3 {
	turn = kernel.Clamp(turn, -1, 1)
	return kernel.Vec3{X: m.X + float64(turn*m.Y), Y: m.Y - float64(turn*m.X), Z: m.Z}
}
