package sense

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

const degree = math.Pi / 180

// Goal: sensors without noise, bias and lag give the truth, at the right ticks.
func TestBareSensorsGiveTheTruth(t *testing.T) {
	p, pl, f := bare(), benchPlace(), Faults{}
	p.Speeds = true
	c := hovering()
	c.OmegaB, c.SpecificForceB = kernel.Vec3{X: 1, Y: -2, Z: 3}, kernel.Vec3{X: 0.1, Y: 0.2, Z: 9}
	c.QWB = kernel.QuatEuler(0.1, -0.2, 0.3)
	c.RotorSpeed[7] = 800
	s := Start(&p, 5)
	var r Reading
	for tick := range int64(200) {
		Read(&p, &s, &c, &pl, 5, tick, &f, &r)
		require.Equal(t, c.OmegaB, r.GyroB)
		require.Equal(t, c.SpecificForceB, r.AccelB)
		require.Equal(t, 3.8, r.CellVolts)
		require.True(t, r.HasSpeeds)
		require.Equal(t, 800.0, r.RotorSpeed[7])
		require.Equal(t, tick%20 == 0, r.RangeNew, "50 Hz")
		require.Equal(t, tick%40 == 0, r.Fix.Exposed, "25 Hz")
		require.Equal(t, tick%40 == 30, r.Fix.New, "30 ms later")
		if r.Fix.New {
			require.Equal(t, c.PosW, r.Fix.PosW)
			require.InDelta(t, 0, c.QWB.Conj().Mul(r.Fix.QWB).Log().Norm(), 1e-14)
		}
	}
}

// Goal: the beam meets what stands first under the craft. Values are plain
// geometry; body down is the room's down turned by the tilt.
func TestRangeGeometry(t *testing.T) {
	level := kernel.QuatIdentity
	tilted := kernel.QuatEuler(0, 30*degree, 0) // nose down: body down leans back, to −x
	for _, c := range []struct {
		name string
		pos  kernel.Vec3
		q    kernel.Quat
		ok   bool
		want float64
	}{
		{"floor", kernel.Vec3{Z: 1.2}, level, true, 1.2},
		{"box top", kernel.Vec3{X: 2.5, Z: 1.2}, level, true, 0.4},
		{"beside the box", kernel.Vec3{X: 1.99, Z: 1.2}, level, true, 1.2},
		{"low box", kernel.Vec3{X: -2.5, Z: 1.2}, level, true, 0.8},
		{"tilted to the floor", kernel.Vec3{Z: 1.2}, tilted, true, 1.2 / math.Cos(30*degree)},
		{"side of a box", kernel.Vec3{X: -1.9, Z: 0.5}, tilted, true, 0.1 / math.Sin(30*degree)},
		{"turned by yaw, the other way", kernel.Vec3{X: 1.9, Z: 0.5}, kernel.QuatYaw(math.Pi).Mul(tilted), true, 0.1 / math.Sin(30*degree)},
		{"wall", kernel.Vec3{X: -5.9, Z: 2}, tilted, true, 0.1 / math.Sin(30*degree)},
		{"upside down, the ceiling", kernel.Vec3{Z: 3}, kernel.QuatEuler(math.Pi, 0, 0), true, 1},
		{"beyond reach", kernel.Vec3{Z: 3.99}, kernel.QuatEuler(0, 60*degree, 0), false, 0},
		{"too near", kernel.Vec3{Z: 0.019}, level, false, 0},
		{"standing", kernel.Vec3{Z: 0.05}, level, true, 0.05},
		{"outside the room", kernel.Vec3{X: 7, Z: 1}, level, false, 0},
	} {
		p, pl, f := bare(), benchPlace(), Faults{}
		s := Start(&p, 1)
		craft := hovering()
		craft.PosW, craft.QWB = c.pos, c.q
		var r Reading
		Read(&p, &s, &craft, &pl, 1, 0, &f, &r)
		assert.True(t, r.RangeNew, c.name)
		assert.Equal(t, c.ok, r.RangeOK, c.name)
		assert.InDelta(t, c.want, r.Range, 1e-12, c.name)
	}
}

// Goal: noise of range, volts and fixes has the stated deviations, and the walk
// of fixes grows with the root of time, so that a hover wanders centimetres in a
// minute. Method: many seeds at one tick; four standard errors.
func TestNoiseOfSlowSensors(t *testing.T) {
	p, pl, f, c := tracked(), benchPlace(), Faults{}, hovering()
	p.FixPosWalk, p.FixHeightWalk, p.FixYawWalk = 0, 0, 0
	var ranges, volts, pos, ang []float64
	for seed := range uint64(2000) {
		s := Start(&p, seed)
		var r Reading
		Read(&p, &s, &c, &pl, seed, 0, &f, &r)
		ranges, volts = append(ranges, r.Range-1.2), append(volts, r.CellVolts-3.8)
		Read(&p, &s, &c, &pl, seed, 30, &f, &r)
		require.True(t, r.Fix.New)
		d, a := r.Fix.PosW.Sub(c.PosW), r.Fix.QWB.Log()
		pos, ang = append(pos, d.X, d.Y, d.Z), append(ang, a.X, a.Y, a.Z)
	}
	for _, k := range []struct {
		name string
		y    []float64
		want float64
	}{
		{"range", ranges, 0.01}, {"volts", volts, 0.01}, {"fix position", pos, 0.01}, {"fix angle", ang, 0.3 * degree},
	} {
		n := math.Sqrt(float64(len(k.y)))
		assert.InEpsilon(t, k.want, deviation(k.y), 4/n/math.Sqrt2, k.name)
		assert.InDelta(t, 0, mean(k.y), 4*k.want/n, k.name)
	}

	p = tracked()
	p.FixPosSigma, p.FixAngSigma = 0, 0
	var walk, height, yaw []float64
	for seed := range uint64(500) {
		var cam Tracker
		for tick := int64(0); tick < 60_000; tick += FixTicks {
			cam.expose(&p, &c, seed, tick, &f)
		}
		d := cam.PosW.Sub(c.PosW)
		walk, height, yaw = append(walk, d.X, d.Y), append(height, d.Z), append(yaw, cam.QWB.Yaw())
	}
	assert.InEpsilon(t, 0.003*math.Sqrt(60), deviation(walk), 4/math.Sqrt(2*float64(len(walk))))
	assert.InEpsilon(t, 0.001*math.Sqrt(60), deviation(height), 4/math.Sqrt(2*float64(len(height))))
	assert.InEpsilon(t, 3e-4*math.Sqrt(60), deviation(yaw), 4/math.Sqrt(2*float64(len(yaw))))
}

// tracked are the sensors of a craft that flies by poses from outside.
func tracked() Params {
	p := DefaultParams()
	p.Fixes = true
	return p
}

// log reads n ticks of a slow turn.
func log(p *Params, seed uint64, n int, fault func(tick int64) Faults) []Reading {
	c, pl := hovering(), benchPlace()
	s := Start(p, seed)
	out := make([]Reading, n)
	for tick := range int64(n) {
		c.QWB = kernel.QuatYaw(float64(tick) * 1e-3)
		f := fault(tick)
		Read(p, &s, &c, &pl, seed, tick, &f, &out[tick])
	}
	return out
}

func none(int64) Faults { return Faults{} }

// Goal: the same seed gives the same bits, another seed others; a fault touches
// the fixes of its own time and nothing else, and taking it back leaves the same
// bits as if it had never been.
func TestFaultsTouchOnlyTheirFixes(t *testing.T) {
	p := tracked()
	sound := log(&p, 1, 2000, none)
	assert.Equal(t, sound, log(&p, 1, 2000, none), "repeatable")
	assert.NotEqual(t, sound, log(&p, 2, 2000, none), "another seed")

	between := func(f Faults) func(int64) Faults {
		return func(tick int64) Faults {
			if tick >= 500 && tick < 1000 {
				return f
			}
			return Faults{}
		}
	}
	offset := kernel.Vec3{X: 0.5, Y: -1, Z: 0.25}
	moved := log(&p, 1, 2000, between(Faults{FixOffsetW: offset}))
	turned := log(&p, 1, 2000, between(Faults{FixYaw: 0.2}))
	lost := log(&p, 1, 2000, between(Faults{FixesLost: true}))
	for i, want := range sound {
		exposed := int64(i) - p.LatencyTicks
		hit := want.Fix.New && exposed >= 500 && exposed < 1000
		gone := want.Fix.New && (hit || i >= 500 && i < 1000)
		if hit {
			assert.InDelta(t, 0, moved[i].Fix.PosW.Sub(want.Fix.PosW).Sub(offset).Norm(), 1e-15)
			assert.Equal(t, want.Fix.QWB, moved[i].Fix.QWB)
			assert.Equal(t, want.Fix.PosW, turned[i].Fix.PosW)
			assert.InDelta(t, 0.2, turned[i].Fix.QWB.Mul(want.Fix.QWB.Conj()).Yaw(), 1e-14)
			moved[i].Fix, turned[i].Fix = want.Fix, want.Fix
		}
		if gone {
			assert.False(t, lost[i].Fix.New)
			lost[i].Fix = want.Fix
		}
	}
	assert.Equal(t, sound, moved)
	assert.Equal(t, sound, turned)
	assert.Equal(t, sound, lost)
}

// Goal: faults of range finder and gyro touch their own readings only, by what
// they say, and the gyro's within its limit.
func TestFaultsOfRangeAndGyro(t *testing.T) {
	p := DefaultParams()
	always := func(f Faults) func(int64) Faults { return func(int64) Faults { return f } }
	sound := log(&p, 1, 500, none)
	raised := log(&p, 1, 500, always(Faults{RangeOffset: 0.5}))
	lost := log(&p, 1, 500, always(Faults{RangeLost: true}))
	turned := log(&p, 1, 500, always(Faults{GyroOffsetB: kernel.Vec3{X: 0.3, Y: -100}}))
	for i, want := range sound {
		assert.False(t, want.Fix.Exposed, "it flies by its own camera")
		if want.RangeNew {
			assert.InDelta(t, 0.5, raised[i].Range-want.Range, 1e-12)
			assert.True(t, lost[i].RangeNew)
			assert.False(t, lost[i].RangeOK)
			raised[i].Range, lost[i].Range, lost[i].RangeOK = want.Range, want.Range, want.RangeOK
		}
		assert.InDelta(t, 0.3, turned[i].GyroB.X-want.GyroB.X, 1e-12)
		assert.Equal(t, -p.Gyro.Limit, turned[i].GyroB.Y)
		turned[i].GyroB = want.GyroB
	}
	assert.Equal(t, sound, raised)
	assert.Equal(t, sound, lost)
	assert.Equal(t, sound, turned)
}

// Goal: noise is counted, not drawn from a state: a reading far on is the same
// whether or not the ticks between were read, walks apart.
func TestNoiseIsAFunctionOfTheTick(t *testing.T) {
	p, c, pl, f := tracked(), hovering(), benchPlace(), Faults{}
	p.Gyro.Walk, p.Accel.Walk, p.FixPosWalk, p.FixHeightWalk, p.FixYawWalk = 0, 0, 0, 0, 0
	s := Start(&p, 9)
	a := make([]Reading, 401)
	for tick := range int64(401) {
		Read(&p, &s, &c, &pl, 9, tick, &f, &a[tick])
	}
	s = Start(&p, 9)
	var b Reading
	Read(&p, &s, &c, &pl, 9, 400, &f, &b)
	assert.Equal(t, a[400].AccelB, b.AccelB)
	assert.Equal(t, a[400].Range, b.Range)
	assert.Equal(t, a[400].CellVolts, b.CellVolts)
}

func TestReadDoesNotAllocate(t *testing.T) {
	p, c, pl, f := tracked(), hovering(), benchPlace(), Faults{}
	s := Start(&p, 1)
	var r Reading
	tick := int64(0)
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		Read(&p, &s, &c, &pl, 1, tick, &f, &r)
		tick++
	}))
}

func TestValidate(t *testing.T) {
	p := DefaultParams()
	require.NoError(t, p.Validate())
	p.Gyro.Noise, p.Accel.Limit, p.RangeMax, p.LatencyTicks, p.FixPosWalk = -1, 0, 0.01, 40, math.NaN()
	err := p.Validate()
	for _, name := range []string{"Gyro.Noise", "Accel.Limit", "RangeMax", "LatencyTicks", "FixPosWalk"} {
		assert.ErrorContains(t, err, name)
	}
	assert.Len(t, err.(interface{ Unwrap() []error }).Unwrap(), 5)
}

// dynamics.MaxRotors is repeated in this package; both must stay alike.
func TestMaxRotors(t *testing.T) { assert.Equal(t, dynamics.MaxRotors, MaxRotors) }
