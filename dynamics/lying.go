package dynamics

import "lapwing/dynamics/kernel"

// Inverted returns the state of a craft that lies on its back at posW (m, floor)
// with the given heading (rad), motors at rest: on the rims of its rotors, which
// the springs of the floor take up in the first ticks. Craft and Place must have
// been prepared.
func Inverted(c *Craft, p *Place, posW Vec3, yaw float64) State {
	s := atRest(c, p, posW, yaw)
	top := c.Rotors[0].PosB.Z
	for i := range c.RotorCount {
		top = max(top, c.Rotors[i].PosB.Z)
	}
	for i := range c.SkidCount {
		top = max(top, c.Skids[i].Z)
	}
	s.PosW.Z = posW.Z + top
	s.QWB = kernel.QuatYaw(yaw).Mul(kernel.Quat{X: 1}).Normalized()
	s.SpecificForceB = Vec3{Z: -p.Air.Gravity}
	return s
}
