package margins

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
)

const degrees = 180 / math.Pi

// Goal: margins are those of published loops. Method: loops of G. F. Franklin,
// J. D. Powell and A. Emami-Naeini, "Feedback Control of Dynamic Systems", 7th
// ed., section 6.4, and of K. Ogata, "Modern Control Engineering", 5th ed.,
// example 7-20, with the exact values worked out from the transfer functions: the
// printed ones of the latter are read off asymptotes.
func TestMarginsOfPublishedLoops(t *testing.T) {
	cases := []struct {
		name                   string
		num, den               []float64
		crossover, phase, gain float64
	}{
		{"0.5/(s(s+1)²)", []float64{0.5}, []float64{1, 2, 1, 0}, 0.4239, 44.060, 4},
		{"1/(s(s+1)²)", []float64{1}, []float64{1, 2, 1, 0}, 0.682323, 21.3868, 2},
		{"2/(s(s+1)²)", []float64{2}, []float64{1, 2, 1, 0}, 1, 0, 1},
		{"10/(s(s+1)(s+5))", []float64{10}, []float64{1, 6, 5, 0}, 1.2271, 25.39, 3},
		{"100/(s(s+1)(s+5))", []float64{100}, []float64{1, 6, 5, 0}, 3.9072, -23.65, 0.3},
	}
	for _, c := range cases {
		m := Of(Rational(c.num, c.den, 0), 0.01, 100)
		assert.InEpsilon(t, c.crossover, m.Crossover, 2e-4, c.name) // four digits are printed
		assert.InDelta(t, c.phase, m.Phase*degrees, 0.01, c.name)
		assert.InEpsilon(t, c.gain, m.Gain, 1e-4, c.name)
		if c.phase > 1 {
			assert.InEpsilon(t, c.phase/degrees/c.crossover, m.Delay, 1e-3, c.name) // phase margin over crossover
		}
	}
}

// Goal: a loop with as much lag as its delay margin is at its limit, and one
// with none has the second-order table's phase margin, bandwidth and resonance.
// Method: L = ωn²/(s(s + 2ζωn)); formulas of Ogata section 5-3 and Franklin and
// others section 6.4: PM = atan(2ζ/√(√(1+4ζ⁴) − 2ζ²)),
// ωBW = ωn·√(1 − 2ζ² + √(4ζ⁴ − 4ζ² + 2)), Mr = 1/(2ζ√(1 − ζ²)) below 0.707.
func TestSecondOrderTable(t *testing.T) {
	cases := []struct{ zeta, phase, bandwidth, peak float64 }{
		{0.2, 22.60, 1.5096, 2.5516}, {0.3, 33.27, 1.4537, 1.7471}, {0.4, 43.12, 1.3745, 1.3639}, {0.5, 51.83, 1.2720, 1.1547},
		{0.6, 59.19, 1.1482, 1.0417}, {0.7, 65.16, 1.0100, 1.0002}, {0.8, 69.86, 0.8709, 1}, {0.9, 73.51, 0.7461, 1}, {1, 76.35, 0.6436, 1},
	}
	for _, c := range cases {
		l := func(delay float64) Response { return Rational([]float64{1}, []float64{1, 2 * c.zeta, 0}, delay) }
		m := Of(l(0), 1e-3, 100)
		assert.InDelta(t, c.phase, m.Phase*degrees, 0.01, "ζ %g", c.zeta)
		assert.InEpsilon(t, c.bandwidth, m.Bandwidth, 1e-3, "ζ %g", c.zeta)
		assert.InEpsilon(t, c.peak, m.Peak, 1e-3, "ζ %g", c.zeta)
		late := Of(l(m.Delay), 1e-3, 100)
		assert.InDelta(t, 0, late.Phase, 1e-6, "ζ %g with all its delay margin used", c.zeta)
	}
}

// Goal: the step's figures are those of the second-order table (Ogata section
// 5-3, recomputed). Method: the closed form of a unit step, sampled.
func TestStepFigures(t *testing.T) {
	cases := []struct{ zeta, overshoot, peak, settle2, settle5, rise float64 }{
		{0.2, 0.52662, 3.2064, 19.602, 13.744, 1.203}, {0.3, 0.37233, 3.2933, 11.230, 10.137, 1.321},
		{0.5, 0.16303, 3.6276, 8.076, 5.289, 1.638}, {0.6, 0.09478, 3.9270, 5.943, 5.229, 1.854},
		{0.7, 0.04599, 4.3991, 5.979, 2.900, 2.126}, {0.8, 0.01516, 5.2360, 3.756, 3.385, 2.468}, {0.9, 0.00152, 7.2073, 4.700, 4.014, 2.883},
	}
	const dt = 1e-3
	for _, c := range cases {
		root := math.Sqrt(1 - c.zeta*c.zeta)
		y := make([]float64, 40000)
		for i := range y {
			at := float64(i) * dt
			y[i] = 1 - math.Exp(-c.zeta*at)*(math.Cos(root*at)+c.zeta/root*math.Sin(root*at))
		}
		s := StepOf(y, dt, 1)
		assert.InDelta(t, c.overshoot, s.Overshoot, 1e-5, "ζ %g", c.zeta)
		assert.InEpsilon(t, c.peak, s.Peak, 1e-3, "ζ %g", c.zeta)
		assert.InEpsilon(t, c.rise, s.Rise, 1e-3, "ζ %g", c.zeta)
		assert.InEpsilon(t, c.settle2, s.Settle2, 1e-3, "ζ %g", c.zeta)
		assert.InEpsilon(t, c.settle5, s.Settle5, 1e-3, "ζ %g", c.zeta)
	}
}

// Goal: the disk margin is what its definition says: with the gain changed by
// its factor, or the phase by its angle, a loop has not passed its limit, and
// some change of gain and phase together on the disk's edge reaches it. Method:
// 1/(s(s+1)²); the disk's changes are f = (2 + αz)/(2 − αz), |z| = 1.
func TestDiskMargin(t *testing.T) {
	l := Rational([]float64{1}, []float64{1, 2, 1, 0}, 0)
	m := Of(l, 0.01, 100)
	assert.LessOrEqual(t, m.Disk.Gain, m.Gain)
	assert.LessOrEqual(t, m.Disk.Phase, m.Phase)
	gain, phase := 0.0, 0.0
	for k := range 3600 {
		z := cmplx.Rect(m.Disk.Alpha, float64(k)*math.Pi/1800)
		f := (2 + z) / (2 - z)
		gain = math.Max(gain, cmplx.Abs(f))
		if math.Abs(cmplx.Abs(f)-1) < 1e-2 {
			phase = math.Max(phase, math.Abs(cmplx.Phase(f)))
		}
	}
	assert.InEpsilon(t, gain, m.Disk.Gain, 1e-6, "the disk's greatest gain")
	assert.InEpsilon(t, phase, m.Disk.Phase, 1e-3, "the greatest turn that leaves the gain alone")
	nearest := math.Inf(1)
	for _, w := range Grid(0.01, 100, 2000) {
		for k := range 720 {
			z := cmplx.Rect(m.Disk.Alpha, float64(k)*math.Pi/360)
			f := (2 + z) / (2 - z)
			nearest = math.Min(nearest, cmplx.Abs(1+f*l(w)))
		}
	}
	assert.Less(t, nearest, 0.01)
}

// Goal: samples give back the response that they were taken from, also where
// the phase passes −180° more than once. Method: a loop with lag, forty samples.
func TestSampledResponse(t *testing.T) {
	l := Rational([]float64{4}, []float64{1, 3, 0}, 0.2)
	again := Sampled(l.Sample(Grid(0.1, 60, 200)))
	for _, w := range Grid(0.15, 50, 77) {
		assert.InDelta(t, 0, cmplx.Abs(again(w)/l(w)-1), 3e-3, "%g rad/s", w)
	}
	a, b := Of(l, 0.2, 50), Of(again, 0.2, 50)
	assert.InEpsilon(t, a.Gain, b.Gain, 2e-3)
	assert.InDelta(t, a.Phase, b.Phase, 2e-3)
}
