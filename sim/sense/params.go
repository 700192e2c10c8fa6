package sense

import (
	"errors"
	"fmt"

	"lapwing/dynamics/kernel"
)

// Ticks between samples. All are divisors of the second.
const (
	RangeTicks = 20  // range finder and cell voltage, 50 Hz
	WalkTicks  = 100 // steps of the inertial sensors' bias walks, 10 Hz
	FixTicks   = 40  // poses from outside, 25 Hz
)

// Inertial is one triple of gyros or accelerometers. The unit u is rad/s for
// gyros and m/s² for accelerometers.
//
// Noise is a density, as data sheets state it. A sample taken at rate f has the
// standard deviation Noise·√f: at 1 kHz some 32 times the density. Putting one
// in for the other makes a sensor too quiet by that factor.
type Inertial struct {
	Noise float64 // u/√Hz, white, ≥ 0
	Walk  float64 // u·√Hz (u/s/√Hz), random walk of the bias, ≥ 0
	Start float64 // u, one standard deviation of each axis' bias at the start, ≥ 0
	Lag   float64 // s, time constant of the low-pass on the motion; noise is added after it, ≥ 0
	Limit float64 // u, readings saturate at ± this, > 0
}

// Params is what the sensors are. It never changes in a run.
type Params struct {
	Gyro, Accel Inertial

	RangeMin   float64 // m, below which the range finder sees nothing, ≥ 0
	RangeMax   float64 // m, beyond which it sees nothing, > RangeMin
	RangeSigma float64 // m, white noise, ≥ 0

	Fixes         bool    // poses come from outside: what follows says of which kind
	LatencyTicks  int64   // from exposure to the pose's arrival, 1 … FixTicks−1
	FixPosSigma   float64 // m, each axis, white, ≥ 0
	FixAngSigma   float64 // rad, about each body axis, white, ≥ 0
	FixPosWalk    float64 // m/√s, along x and along y, slow walk, ≥ 0
	FixHeightWalk float64 // m/√s, along z, slow walk, ≥ 0
	FixYawWalk    float64 // rad/√s, slow walk of the heading, ≥ 0

	VoltsSigma float64 // V for each cell, white, ≥ 0
	Speeds     bool    // the craft reports its rotor speeds
}

// DefaultParams returns a small craft's sensors.
func DefaultParams() Params {
	return Params{
		// Noise and walk: ADIS16448 of the VI-sensor; Burri et al., "The EuRoC
		// micro aerial vehicle datasets", Int. J. Robotics Research 35(10),
		// 2016, file imu0/sensor.yaml. The rest, from memory: consumer parts
		// reach ±2000 °/s and ±16 g with biases of tenths of a degree a second
		// and some thousandths of g after warming up.
		Gyro:  Inertial{Noise: 1.6968e-4, Walk: 1.9393e-5, Start: 3e-3, Lag: 1e-3, Limit: 34.9},
		Accel: Inertial{Noise: 2.0e-3, Walk: 3.0e-3, Start: 0.05, Lag: 1.5e-3, Limit: 157},

		// Common practice for time-of-flight range finders of a few grams.
		RangeMin: 0.02, RangeMax: 4, RangeSigma: 0.01,

		// Judgements: the frame that such a system is fixed to wanders by
		// FixPosWalk·√60 s = 2.3 cm in a minute, less in height.
		LatencyTicks: 30,
		FixPosSigma:  0.01, FixAngSigma: 0.005236, // 0.3°
		FixPosWalk: 3e-3, FixHeightWalk: 1e-3, FixYawWalk: 3e-4,

		VoltsSigma: 0.01,
	}
}

// Validate reports every value outside its range.
func (p *Params) Validate() error {
	var errs []error
	check := func(name string, v float64, ok bool, want string) {
		if !ok || !kernel.IsFinite(v) {
			errs = append(errs, fmt.Errorf("%s is %g, must be %s", name, v, want))
		}
	}
	notNegative := func(name string, v float64) { check(name, v, v >= 0, "0 or more") }
	for _, s := range [...]struct {
		name string
		p    *Inertial
	}{{"Gyro", &p.Gyro}, {"Accel", &p.Accel}} {
		notNegative(s.name+".Noise", s.p.Noise)
		notNegative(s.name+".Walk", s.p.Walk)
		notNegative(s.name+".Start", s.p.Start)
		notNegative(s.name+".Lag", s.p.Lag)
		check(s.name+".Limit", s.p.Limit, s.p.Limit > 0, "above 0")
	}
	notNegative("RangeMin", p.RangeMin)
	check("RangeMax", p.RangeMax, p.RangeMax > p.RangeMin, "above RangeMin")
	notNegative("RangeSigma", p.RangeSigma)
	latency := float64(p.LatencyTicks)
	check("LatencyTicks", latency, latency >= 1 && latency < FixTicks, fmt.Sprintf("1 … %d", FixTicks-1))
	notNegative("FixPosSigma", p.FixPosSigma)
	notNegative("FixAngSigma", p.FixAngSigma)
	notNegative("FixPosWalk", p.FixPosWalk)
	notNegative("FixHeightWalk", p.FixHeightWalk)
	notNegative("FixYawWalk", p.FixYawWalk)
	notNegative("VoltsSigma", p.VoltsSigma)
	return errors.Join(errs...)
}
