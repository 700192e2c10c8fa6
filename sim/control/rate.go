package control

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// trimLift is the share of the weight below which the rate integrators rest: a
// craft that hardly lifts may be standing on its feet.
const trimLift = 0.3

// leadRate is the yaw rate (rad/s) above which a craft counts as spinning: what
// is meant to stand still in the room is then turned against the craft's own
// turning.
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
	w, cmd, trim, model := b.OmegaB, s.RateCmdB, &s.RateTrimB, &s.RateModelB
	spinning := w.Z > leadRate || w.Z < -leadRate
	var ahead kernel.Vec3
	if spinning && s.Acting != Acting(hands.Rate) {
		ahead = kernel.Vec3{X: w.Z * cmd.Y, Y: -w.Z * cmd.X}
	}
	resting := s.Thrust < trimLift*p.Weight
	x := axis(g.Rate.X, g.RateIntegral.X, g.RateTrimMax.X, cmd.X, w.X, ahead.X, resting || s.Limited.Tilts, &model.X, &trim.X)
	y := axis(g.Rate.Y, g.RateIntegral.Y, g.RateTrimMax.Y, cmd.Y, w.Y, ahead.Y, resting || s.Limited.Tilts, &model.Y, &trim.Y)
	z := axis(g.Rate.Z, g.RateIntegral.Z, g.RateTrimMax.Z, cmd.Z, w.Z, 0, resting || s.Limited.Yaw, &model.Z, &trim.Z)
	m := p.Inertia.MulVec(kernel.Vec3{X: x, Y: y, Z: z}).Add(w.Cross(p.Inertia.MulVec(w)))
	if spinning {
		m = lead(m, w.Z*p.Lag)
	}
	s.MomentB.X, s.MomentB.Y = m.X, m.Y
	s.MomentB.Z += float64(p.YawFollow * (m.Z - s.MomentB.Z))
}

// axis returns the angular acceleration to command about one axis (rad/s²) and
// moves its model and integrator on; ahead (rad/s²) is how fast the command
// itself moves.
func axis(band, integral, bound, cmd, w, ahead float64, resting bool, model, trim *float64) float64 {
	acc := float64(band*(cmd-w)) + float64(ahead) + *trim
	*model += float64(dynamics.DT * (float64(band*(cmd-*model)) + float64(ahead)))
	step := float64(integral * dynamics.DT * (*model - w))
	if resting && float64(step**trim) >= 0 {
		return acc
	}
	*trim = kernel.Clamp(*trim+step, -bound, bound)
	return acc
}

// lead turns a moment that stands still in the room ahead by turn (rad), small,
// against the craft's own turning: M + τ·dM/dt with dM/dt = −ω × M.
func lead(m kernel.Vec3, turn float64) kernel.Vec3 {
	turn = float64(kernel.Clamp(turn, -1, 1))
	return kernel.Vec3{X: m.X + float64(turn*m.Y), Y: m.Y - float64(turn*m.X), Z: m.Z}
}
