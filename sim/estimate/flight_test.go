package estimate

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// flight is a made truth: acceleration and body rate follow sines of time, and
// position, velocity, attitude and specific force follow from them exactly, with
// rate and acceleration constant over each tick.
type flight struct {
	place  dynamics.Place
	craft  dynamics.State
	p      sense.Params
	s      sense.State
	seed   uint64
	tick   int64
	faults sense.Faults
	r      sense.Reading
	motion func(t float64) (accelW, omegaB kernel.Vec3) // m/s², rad/s
}

const g0 = 9.80665 // m/s², 3rd CGPM (1901)

// newFlight starts 1.5 m above the middle of a large room.
func newFlight(p sense.Params, seed uint64, moving bool) *flight {
	f := &flight{p: p, seed: seed, motion: still}
	f.p.Fixes = true
	f.place.Min, f.place.Max = kernel.Vec3{X: -50, Y: -50}, kernel.Vec3{X: 50, Y: 50, Z: 20}
	f.craft.PosW.Z = 1.5
	f.craft.QWB = kernel.QuatIdentity
	f.s = sense.Start(&f.p, seed)
	if moving {
		f.motion = weaving
		f.craft.VelW = kernel.Vec3{X: -1.2 / 1.5, Z: -0.6 / 1.1} // so that the mean of velocity is nought
	}
	return f
}

// still is no motion.
func still(float64) (accelW, omegaB kernel.Vec3) { return }

// weaving is a gentle flight.
func weaving(t float64) (accelW, omegaB kernel.Vec3) {
	return kernel.Vec3{X: 1.2 * math.Sin(1.5*t), Y: -1.4 * math.Cos(1.3*t), Z: 0.6 * math.Sin(1.1*t)},
		kernel.Vec3{X: 0.5 * math.Cos(2.1*t), Y: 0.4 * math.Sin(1.7*t+0.4), Z: 0.6 * math.Cos(0.9*t+1)}
}

// tossing is a wild flight: 8 m/s², 6 rad/s, tilts to 60°.
func tossing(t float64) (accelW, omegaB kernel.Vec3) {
	return kernel.Vec3{X: 8 * math.Cos(4*t), Y: 8 * math.Cos(5*t), Z: 4 * math.Cos(6*t)},
		kernel.Vec3{X: 6 * math.Cos(7*t), Y: 6 * math.Sin(6*t+0.4), Z: 3 * math.Cos(3*t+1)}
}

// step moves the truth over one tick and reads the sensors.
func (f *flight) step() {
	const dt = dynamics.DT
	c := &f.craft
	a, w := f.motion(float64(f.tick) * dt)
	middle := c.QWB.Mul(kernel.QuatExp(w.Scale(0.5 * dt)))
	c.SpecificForceB = middle.RotateInv(kernel.Vec3{X: a.X, Y: a.Y, Z: a.Z + g0})
	c.PosW = c.PosW.AddScaled(dt, c.VelW).AddScaled(0.5*dt*dt, a)
	c.VelW = c.VelW.AddScaled(dt, a)
	c.QWB = c.QWB.Mul(kernel.QuatExp(w.Scale(dt))).Normalized()
	c.OmegaB = w
	sense.Read(&f.p, &f.s, c, &f.place, f.seed, f.tick, &f.faults, &f.r)
}

// fly runs the filter for n ticks.
func (f *flight) fly(p *Params, s *State, n int) {
	for range n {
		f.step()
		Fuse(p, s, &f.r, f.tick)
		f.tick++
	}
}

// quiet is a set of sensors without noise, bias, lag or walk.
func quiet() sense.Params {
	p := sense.DefaultParams()
	p.Gyro = sense.Inertial{Limit: 100}
	p.Accel = sense.Inertial{Limit: 500}
	p.RangeSigma, p.FixPosSigma, p.FixAngSigma = 0, 0, 0
	p.FixPosWalk, p.FixHeightWalk, p.FixYawWalk = 0, 0, 0
	return p
}
