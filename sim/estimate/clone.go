package estimate

import "lapwing/dynamics/kernel"

// Clone is the pose at the last exposure, kept until its fix arrives. What the
// fix says of that moment reaches the present through the covariance of clone
// and state (stochastic cloning: Roumeliotis & Burdick, "Stochastic cloning",
// ICRA 2002, 1788–1795, from memory).
type Clone struct {
	Live bool        // a fix is awaited
	PosW kernel.Vec3 // m
	QWB  kernel.Quat
}

// Expose keeps a copy of the present pose and its covariance, P ← J·P·Jᵀ with
// J the copy of position and attitude.
func Expose(p *Cov, c *Clone, posW kernel.Vec3, qWB kernel.Quat) {
	*c = Clone{Live: true, PosW: posW, QWB: qWB}
	p[pc], p[pk] = p[pp], p[pt]
	p[vc], p[vk] = p[pv].Transpose(), p[vt]
	p[tc], p[tk] = p[pt].Transpose(), p[tt]
	p[gc], p[gk] = p[pg].Transpose(), p[tg].Transpose()
	p[ac], p[ak] = p[pa].Transpose(), p[ta].Transpose()
	p[cc], p[ck], p[kk] = p[pp], p[pt], p[tt]
}

// Drop forgets the clone.
func Drop(p *Cov, c *Clone) {
	*c = Clone{}
	zero := kernel.Mat3{}
	p[pc], p[vc], p[tc], p[gc], p[ac] = zero, zero, zero, zero, zero
	p[pk], p[vk], p[tk], p[gk], p[ak] = zero, zero, zero, zero, zero
	p[cc], p[ck], p[kk] = zero, zero, zero
}

// live returns the number of blocks in use.
func (c *Clone) live() int {
	if c.Live {
		return Blocks
	}
	return Live
}
