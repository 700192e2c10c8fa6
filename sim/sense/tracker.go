package sense

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Tracker is the state of a tracking system outside the craft, such as cameras
// on the walls of a laboratory, whose poses come by radio.
type Tracker struct {
	PosWalk kernel.Vec3 // m, room axes, slow walk of its position
	YawWalk float64     // rad, slow walk of its heading
	Waiting bool        // a pose is being worked out
	Due     int64       // tick in which it arrives
	PosW    kernel.Vec3 // m, the pose on its way
	QWB     kernel.Quat
}

// read takes a pose every FixTicks and gives it LatencyTicks later. The shutter
// works also while fixes are lost.
func (s *Tracker) read(p *Params, c *dynamics.State, seed uint64, tick int64, f *Faults, out *Fix) {
	out.Exposed, out.New = false, false
	if s.Waiting && tick >= s.Due {
		s.Waiting = false
		if !f.FixesLost {
			*out = Fix{New: true, PosW: s.PosW, QWB: s.QWB}
		}
	}
	if tick%FixTicks == 0 {
		out.Exposed = true
		s.expose(p, c, seed, tick, f)
	}
}

// expose works out the pose of now: truth, white noise, walk
// and faults.
func (s *Tracker) expose(p *Params, c *dynamics.State, seed uint64, tick int64, f *Faults) {
	step := kernel.Normal3(seed, fixWalk, tick, 0).Scale(rootFixTime)
	s.PosWalk.X += float64(p.FixPosWalk * step.X)
	s.PosWalk.Y += float64(p.FixPosWalk * step.Y)
	s.PosWalk.Z += float64(p.FixHeightWalk * step.Z)
	s.YawWalk += float64(p.FixYawWalk * rootFixTime * kernel.Normal(seed, fixWalk, tick, 3))
	s.Waiting = !f.FixesLost
	s.Due = tick + p.LatencyTicks

	s.PosW = c.PosW.Add(s.PosWalk).AddScaled(p.FixPosSigma, kernel.Normal3(seed, fixNoise, tick, 0))
	white := kernel.Normal3(seed, fixNoise, tick, 1).Scale(p.FixAngSigma)
	s.QWB = kernel.QuatYaw(s.YawWalk).Mul(c.QWB).Mul(kernel.QuatExp(white))
	if f.FixOffsetW != (kernel.Vec3{}) {
		s.PosW = s.PosW.Add(f.FixOffsetW)
	}
	if f.FixYaw != 0 {
		s.QWB = kernel.QuatYaw(f.FixYaw).Mul(s.QWB)
	}
	s.QWB = s.QWB.Normalized()
}
