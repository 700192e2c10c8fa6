package sense

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// bare is a set of sensors that give the truth.
func bare() Params {
	p := tracked()
	p.Gyro, p.Accel = Inertial{Limit: 100}, Inertial{Limit: 500}
	p.RangeSigma, p.FixPosSigma, p.FixAngSigma, p.VoltsSigma = 0, 0, 0, 0
	p.FixPosWalk, p.FixHeightWalk, p.FixYawWalk = 0, 0, 0
	return p
}

// channel reads one triple of sensors for n ticks at rest.
func channel(p *Inertial, from *streams, seed uint64, n int, each func(v kernel.Vec3)) {
	var c Channel
	var truth, v kernel.Vec3
	for tick := range int64(n) {
		c.read(p, from, &truth, seed, tick, &v)
		each(v)
	}
}

// Goal: the numbers of a real sensor come out as its data sheet means them.
// Noise densities: Burri et al., Int. J. Robotics Research 35(10), 2016,
// imu0/sensor.yaml. A density of N gives samples of N·√rate, and its integral
// grows as N·√t; the position after double integration has the deviation
// √(N²t³/3). Method: standard deviations over many samples and seeds, within four
// standard errors.
func TestWhiteNoiseIsADensity(t *testing.T) {
	p := DefaultParams()
	gyro, accel := p.Gyro, p.Accel
	require.Equal(t, []float64{1.6968e-4, 1.9393e-5}, []float64{gyro.Noise, gyro.Walk})
	require.Equal(t, []float64{2.0e-3, 3.0e-3}, []float64{accel.Noise, accel.Walk})
	gyro.Walk, accel.Walk = 0, 0

	var samples []float64
	channel(&gyro, &gyroStreams, 1, 200_000, func(v kernel.Vec3) { samples = append(samples, v.X, v.Y, v.Z) })
	want := 1.6968e-4 * math.Sqrt(1000)
	se := want / math.Sqrt(2*float64(len(samples)))
	assert.InDelta(t, want, deviation(samples), 4*se, "per sample at 1 kHz")
	assert.InDelta(t, 0, mean(samples), 4*want/math.Sqrt(float64(len(samples))), "mean")
	assert.Greater(t, deviation(samples), 30*gyro.Noise, "a density taken for a deviation would be 32 times too quiet")

	// At 200 Hz, as the sensor was read: the mean of five samples.
	var slow []float64
	for i := 0; i+15 <= len(samples); i += 15 {
		slow = append(slow, (samples[i]+samples[i+3]+samples[i+6]+samples[i+9]+samples[i+12])/5)
	}
	assert.InEpsilon(t, 2.39964e-3, deviation(slow), 4/math.Sqrt(2*float64(len(slow))), "per sample at 200 Hz")

	var angle, speed, place []float64
	for seed := range uint64(40) {
		var a, s kernel.Vec3
		channel(&gyro, &gyroStreams, seed, 60_000, func(v kernel.Vec3) { a = a.AddScaled(dynamics.DT, v) })
		var x10, x kernel.Vec3
		n := 0
		channel(&accel, &accelStreams, seed, 60_000, func(v kernel.Vec3) {
			s = s.AddScaled(dynamics.DT, v)
			x = x.AddScaled(dynamics.DT, s)
			if n++; n == 10_000 {
				x10 = x
			}
		})
		angle = append(angle, a.X, a.Y, a.Z)
		speed = append(speed, s.X, s.Y, s.Z)
		place = append(place, x10.X, x10.Y, x10.Z)
	}
	tol := 4 / math.Sqrt(2*float64(len(angle)))
	assert.InEpsilon(t, 0.075306*math.Pi/180, deviation(angle), tol, "angle after 60 s")
	assert.InEpsilon(t, 0.015492, deviation(speed), tol, "velocity after 60 s")
	assert.InEpsilon(t, 0.036515, deviation(place), tol, "position after 10 s")
}

// Goal: slopes of the Allan deviation as in IEEE Std 952-1997, annex C: angle
// random walk −1/2 with N read at 1 s, rate random walk +1/2 with K read at 3 s,
// together N²/τ + K²τ/3. Method: one hour, averaged to 200 Hz, K enlarged for
// the test so that it shows within the hour; N and K are fitted by least squares
// of the squared deviation, weighted by its own size and by how many averages it
// rests on.
func TestAllanSlopes(t *testing.T) {
	const rate, noise, walk = 200.0, 1.6968e-4, 2e-4
	p := Inertial{Noise: noise, Walk: walk, Limit: 100}
	var y []float64
	var sum float64
	var n int
	channel(&p, &gyroStreams, 7, 3600*1000, func(v kernel.Vec3) {
		sum += v.Y
		if n++; n%5 == 0 {
			y, sum = append(y, sum/5), 0
		}
	})

	slope := func(a, b int) float64 {
		return math.Log(allanOverlapping(y, b)/allanOverlapping(y, a)) / math.Log(float64(b)/float64(a))
	}
	assert.InDelta(t, -0.50, slope(1, 40), 0.03, "slope from 5 ms to 0.2 s")

	// Normal equations of v = N²·f + K²·g with weights 1/(v²·m).
	var ff, fg, gg, fv, gv float64
	for _, m := range []int{1, 4, 20, 100, 400, 2000, 8000} {
		tau := float64(m) / rate
		v := math.Pow(allanOverlapping(y, m), 2)
		w := 1 / math.Sqrt(float64(m))
		f, g := w/tau/v, w*tau/3/v
		ff, fg, gg, fv, gv = ff+f*f, fg+f*g, gg+g*g, fv+f*w, gv+g*w
	}
	d := ff*gg - fg*fg
	fitN, fitK := math.Sqrt((fv*gg-gv*fg)/d), math.Sqrt((gv*ff-fv*fg)/d)
	assert.InEpsilon(t, noise, fitN, 0.03, "N")
	assert.InEpsilon(t, walk, fitK, 0.10, "K, from the few long averages that one hour holds")
}

// Goal: the walk of the bias has no dependence on how long a step is: after T
// its deviation is K·√T.
func TestBiasWalkGrowsWithRootTime(t *testing.T) {
	p := Inertial{Walk: 3e-3, Limit: 100}
	var end []float64
	for seed := range uint64(200) {
		var last kernel.Vec3
		channel(&p, &accelStreams, seed, 5000, func(v kernel.Vec3) { last = v })
		end = append(end, last.X, last.Y, last.Z)
	}
	assert.InEpsilon(t, 3e-3*math.Sqrt(5), deviation(end), 4/math.Sqrt(2*float64(len(end))))
}

// Goal: the low-pass lags a steady ramp by its time constant, and its step
// response is that of first order.
func TestLagOfTheLowPass(t *testing.T) {
	p := Inertial{Lag: 4e-3, Limit: 1e6}
	var c Channel
	var v kernel.Vec3
	for tick := range int64(200) {
		truth := kernel.Vec3{X: 5 * float64(tick) * dynamics.DT, Y: 1}
		if tick == 0 {
			truth.Y = 0 // a step in the next tick
		}
		c.read(&p, &gyroStreams, &truth, 1, tick, &v)
		if tick == 4 {
			assert.InDelta(t, 1-math.Pow(0.8, 4), v.Y, 1e-12, "four ticks of weight 1/(1 + Lag/DT)")
		}
	}
	assert.InDelta(t, 5*(199*dynamics.DT-p.Lag), v.X, 1e-12)
}

// Goal: readings stop at the limit on both sides.
func TestSaturation(t *testing.T) {
	p := Inertial{Limit: 34.9}
	var c Channel
	var v kernel.Vec3
	truth := kernel.Vec3{X: 50, Y: -50, Z: 34}
	c.read(&p, &gyroStreams, &truth, 1, 0, &v)
	assert.Equal(t, kernel.Vec3{X: 34.9, Y: -34.9, Z: 34}, v)
}

// Goal: biases at the start follow the seed alone and have the stated spread.
func TestStartBias(t *testing.T) {
	p := DefaultParams()
	var gyro, accel []float64
	for seed := range uint64(1000) {
		s := Start(&p, seed)
		require.Equal(t, s, Start(&p, seed))
		gyro = append(gyro, s.Gyro.Bias.X, s.Gyro.Bias.Y, s.Gyro.Bias.Z)
		accel = append(accel, s.Accel.Bias.X, s.Accel.Bias.Y, s.Accel.Bias.Z)
	}
	tol := 4 / math.Sqrt(2*float64(len(gyro)))
	assert.InEpsilon(t, p.Gyro.Start, deviation(gyro), tol)
	assert.InEpsilon(t, p.Accel.Start, deviation(accel), tol)
}

// Goal: the cheap white noise has the moments that its comment states, and no
// memory from tick to tick or axis to axis.
func TestWhiteMoments(t *testing.T) {
	const n = 1_000_000
	var m1, m2, m4, lag, cross float64
	last := 0.0
	for tick := range int64(n) {
		v := white3(3, gyroStreams.noise, tick)
		x := v.X
		m1, m2, m4 = m1+x, m2+x*x, m4+x*x*x*x
		lag, cross = lag+x*last, cross+x*v.Y
		last = x
	}
	root := math.Sqrt(n)
	assert.InDelta(t, 0, m1/n, 4/root)
	assert.InDelta(t, 1, m2/n, 4*math.Sqrt2/root)
	assert.InDelta(t, -0.12, m4/n-3, 4*math.Sqrt(96)/root, "excess kurtosis: −2/16·(4/4.083)²")
	assert.InDelta(t, 0, lag/n, 4/root)
	assert.InDelta(t, 0, cross/n, 4/root)
	assert.InDelta(t, 4.2, white(^uint64(0)), 0.01, "greatest")
	assert.InDelta(t, -4.2, white(0), 0.01, "least")
}
