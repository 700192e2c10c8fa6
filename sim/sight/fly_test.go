package sight_test

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

type vec = kernel.Vec3

const g0 = 9.80665 // m/s², 3rd CGPM (1901)

// course is a made flight: where the craft is and heads at time t (s), smooth.
type course func(t float64) (posW vec, yaw float64)

// flight flies a course with true motion, inertial sensors, camera and filter.
// The attitude is that of a multirotor: thrust along the body's up gives the
// acceleration (differential flatness; Mellinger and Kumar, ICRA 2011).
type flight struct {
	course course
	place  dynamics.Place
	scene  sight.Scene
	craft  dynamics.State
	sense  sense.Params
	sensed sense.State
	read   sense.Reading

	camera sight.Params
	sight  sight.State
	rel    estimate.Relative
	faults sight.Faults

	params estimate.Params
	sp     estimate.SightParams
	belief estimate.Sighted

	seed    uint64
	tick    int64
	parked  int64  // tick until which the motors stand
	sensors func() // takes the craft's motion of this tick in
}

func hall(x, y, z float64) (p dynamics.Place) {
	p.Min, p.Max = vec{X: -x / 2, Y: -y / 2}, vec{X: x / 2, Y: y / 2, Z: z}
	return p
}

func newFlight(c course, place dynamics.Place, decor sight.Decor, seed uint64) *flight {
	f := &flight{course: c, place: place, seed: seed, sense: sense.DefaultParams(), camera: sight.DefaultParams(),
		params: estimate.DefaultSightedParams(), sp: estimate.DefaultSightParams()}
	sight.Draw(&f.scene, &f.place, &decor, seed)
	f.sensors, f.parked = f.look, 3000
	f.reset()
	return f
}

// reset starts the flight with what its parameters now are.
func (f *flight) reset() {
	f.sensed = sense.Start(&f.sense, f.seed)
	f.sight = sight.Start(&f.camera, f.seed)
	f.craft = dynamics.State{}
	f.craft.PosW, _ = f.course(0)
	f.craft.VelW = f.velocity(0)
	f.craft.QWB = f.attitude(0)
	f.belief = estimate.StartSighted(&f.params, f.craft.PosW, f.craft.QWB.Yaw())
	f.belief.Belief.VelW = f.craft.VelW
	f.belief.Belief.QWB = f.craft.QWB
}

const h = 1e-3

func (f *flight) velocity(t float64) vec {
	a, _ := f.course(t - h/2)
	b, _ := f.course(t + h/2)
	return b.Sub(a).Scale(1 / h)
}

func (f *flight) accel(t float64) vec {
	return f.velocity(t + h).Sub(f.velocity(t - h)).Scale(1 / (2 * h))
}

func (f *flight) attitude(t float64) kernel.Quat {
	a := f.accel(t)
	a.Z += g0
	_, yaw := f.course(t)
	up := a.Unit(vec{Z: 1})
	x := vec{X: math.Cos(yaw), Y: math.Sin(yaw)}
	y := up.Cross(x).Unit(vec{Y: 1})
	x = y.Cross(up)
	return fromAxes(x, y, up)
}

func fromAxes(x, y, z vec) kernel.Quat {
	w := 0.5 * math.Sqrt(math.Max(0, 1+x.X+y.Y+z.Z))
	if w > 0.1 {
		k := 0.25 / w
		return kernel.Quat{W: w, X: k * (y.Z - z.Y), Y: k * (z.X - x.Z), Z: k * (x.Y - y.X)}.Normalized()
	}
	// Near half a turn about z: the z component is the largest.
	qz := 0.5 * math.Sqrt(math.Max(0, 1-x.X-y.Y+z.Z))
	k := 0.25 / qz
	return kernel.Quat{W: k * (x.Y - y.X), X: k * (z.X + x.Z), Y: k * (y.Z + z.Y), Z: qz}.Normalized()
}

// fly moves on by n ticks.
func (f *flight) fly(n int) {
	const dt = dynamics.DT
	c := &f.craft
	for range n {
		t := float64(f.tick) * dt
		a := f.accel(t + dt/2)
		next := f.attitude(t + dt)
		w := c.QWB.Conj().Mul(next).Log()
		middle := c.QWB.Mul(kernel.QuatExp(w.Scale(0.5)))
		c.SpecificForceB = middle.RotateInv(vec{X: a.X, Y: a.Y, Z: a.Z + g0})
		c.PosW = c.PosW.AddScaled(dt, c.VelW).AddScaled(0.5*dt*dt, a)
		c.VelW = c.VelW.AddScaled(dt, a)
		c.QWB, c.OmegaB = next, w.Scale(1/dt)
		f.tick++
		f.sensors()
	}
}

// look is the flight's own sensors, camera and filter.
func (f *flight) look() {
	none := sense.Faults{FixesLost: true}
	sense.Read(&f.sense, &f.sensed, &f.craft, &f.place, f.seed, f.tick, &none, &f.read)
	var guess estimate.Guess
	if f.sight.Arrives(f.tick) {
		guess = f.belief.Guess(&f.sp)
	}
	sight.Look(&f.camera, &f.scene, &f.sight, &f.craft, &guess, &f.faults, f.seed, f.tick, &f.rel)
	estimate.FuseSighted(&f.params, &f.sp, &f.belief, &f.read, &f.rel, f.tick < f.parked, f.tick)
}

// quiet takes every error out of sensors and camera.
func (f *flight) quiet() {
	f.sense.Gyro, f.sense.Accel = sense.Inertial{Limit: 100}, sense.Inertial{Limit: 500}
	f.sense.RangeSigma = 0
	c := &f.camera
	c.Noise, c.Walk, c.FocalError, c.MountError, c.TimeError = 0, 0, 0, 0, 0
	f.reset()
}

func (f *flight) off() vec { return f.belief.Belief.PosW.Sub(f.craft.PosW) }

// sample is one instant of a flight.
type sample struct {
	pos, est    vec
	yaw, estYaw float64
	dist        float64
}

// record flies for a time (s) and samples at 20 Hz.
func (f *flight) record(seconds float64) (out []sample) {
	dist := 0.0
	for range int(seconds * 20) {
		from := f.craft.PosW
		f.fly(50)
		dist += f.craft.PosW.Sub(from).Norm()
		b := &f.belief.Belief
		out = append(out, sample{f.craft.PosW, b.PosW, f.craft.QWB.Yaw(), b.QWB.Yaw(), dist})
	}
	return out
}

// segments returns the relative error (share of the length) of every segment
// of a length (m), with position and heading aligned at its start.
func segments(log []sample, length float64) (out []float64) {
	for i := 0; i < len(log); i += 10 {
		for j := i + 1; j < len(log); j++ {
			if log[j].dist-log[i].dist >= length {
				a, b := &log[i], &log[j]
				moved := kernel.QuatYaw(a.yaw - a.estYaw).Rotate(b.est.Sub(a.est))
				out = append(out, moved.Sub(b.pos.Sub(a.pos)).Norm()/length)
				break
			}
		}
	}
	return out
}
