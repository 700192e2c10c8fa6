package sense

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Streams of randomness, one for each cause.
var (
	gyroStart  = kernel.NewStream("sense gyro start bias")
	accelStart = kernel.NewStream("sense accel start bias")
	voltsNoise = kernel.NewStream("sense cell volts noise")
	rangeNoise = kernel.NewStream("sense range noise")
	fixNoise   = kernel.NewStream("sense fix noise")
	fixWalk    = kernel.NewStream("sense fix walk")

	gyroStreams = streams{
		noise: kernel.NewStream("sense gyro noise"),
		walk:  kernel.NewStream("sense gyro bias walk"),
	}
	accelStreams = streams{
		noise: kernel.NewStream("sense accel noise"),
		walk:  kernel.NewStream("sense accel bias walk"),
	}
)

type streams struct{ noise, walk kernel.Stream }

// Roots of the sampling times: a white density N sampled at rate f has the
// standard deviation N·√f, a walk K over a time t grows by K·√t.
var (
	rootRate     = math.Sqrt(1 / dynamics.DT)
	rootWalkTime = math.Sqrt(WalkTicks * dynamics.DT)
	rootFixTime  = math.Sqrt(FixTicks * dynamics.DT)
)

// Channel is the state of a triple of inertial sensors.
type Channel struct {
	Bias    kernel.Vec3 // what is added, wandering from its start
	Lagged  kernel.Vec3 // motion behind the low-pass
	Running bool        // Lagged holds a value
}

// read gives lagged motion + bias + white noise, within the limit.
func (c *Channel) read(p *Inertial, from *streams, truth *kernel.Vec3, seed uint64, tick int64, out *kernel.Vec3) {
	if tick%WalkTicks == 0 {
		c.Bias = c.Bias.AddScaled(p.Walk*rootWalkTime, kernel.Normal3(seed, from.walk, tick, 0))
	}
	if !c.Running {
		c.Lagged, c.Running = *truth, true
	}
	// The backward rule lags a steady ramp by Lag exactly, at any tick.
	k := dynamics.DT / (p.Lag + dynamics.DT)
	c.Lagged = c.Lagged.AddScaled(k, truth.Sub(c.Lagged))
	n := white3(seed, from.noise, tick)
	v := c.Lagged.Add(c.Bias).AddScaled(p.Noise*rootRate, n)
	*out = within(v, p.Limit)
}

// within returns v with each axis held to ± limit.
func within(v kernel.Vec3, limit float64) kernel.Vec3 {
	return kernel.Vec3{X: kernel.Clamp(v.X, -limit, limit), Y: kernel.Clamp(v.Y, -limit, limit), Z: kernel.Clamp(v.Z, -limit, limit)}
}
