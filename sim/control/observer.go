package control

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// observe compares how the craft moves with how thrust and attitude should move
// it, and learns what is left: wind, a weak battery, a wrong mass. The velocity
// loops take it off their command, which makes them free of steady error like
// an integrator, but a step of the command leaves nothing to unlearn. It is a
// Luenberger observer with both poles at the observer's bandwidth.
func (s *State) observe(p *Params, b *estimate.Belief, zB kernel.Vec3) {
	s.ThrustLag += float64(p.Rotors[0].Follow * (s.Given - s.ThrustLag))
	if s.Thrust < trimLift*p.Weight {
		s.VelSeenW = b.VelW // falling or standing: nothing to learn
		return
	}
	acc := zB.Scale(s.ThrustLag / p.Mass)
	acc.Z -= p.Gravity
	g := &p.Gains
	if b.Health == estimate.Disagrees {
		s.VelSeenW.X, s.VelSeenW.Y = b.VelW.X, b.VelW.Y
	} else {
		learn(g.VelocityObserver, p.Limits.Disturb, acc.X, b.VelW.X, &s.VelSeenW.X, &s.DisturbW.X)
		learn(g.VelocityObserver, p.Limits.Disturb, acc.Y, b.VelW.Y, &s.VelSeenW.Y, &s.DisturbW.Y)
	}
	learn(g.ClimbObserver, p.Limits.Disturb, acc.Z, b.VelW.Z, &s.VelSeenW.Z, &s.DisturbW.Z)
}

// learn moves one axis of the observer on by an attitude step.
func learn(band, bound, acc, vel float64, seen, disturb *float64) {
	miss := vel - *seen
	*seen += float64(attitudeDT * (acc + *disturb + float64(2*band*miss)))
	*disturb = kernel.Clamp(*disturb+float64(attitudeDT*band*band*miss), -bound, bound)
}
