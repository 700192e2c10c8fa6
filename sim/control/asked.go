package control

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// StickVelocity returns the velocity (m/s, room axes) that roll and pitch ask
// for in position-hold at a heading (rad). A person who knows the craft expects
// it, so percepts compare with it.
func (p *Params) StickVelocity(h *hands.Hands, yaw float64) kernel.Vec3 {
	x, y := stickPair(p, h)
	return kernel.QuatYaw(yaw).Rotate(kernel.Vec3{X: x * p.Limits.Speed, Y: y * p.Limits.Speed})
}
