package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

const knot = 1852.0 / 3600 // m/s

// Goal: scales and intensities. Source: MIL-F-8785C (5 Nov 1980) §3.7.3, figs 10
// and 11; "light" is 15 kt at 20 ft.
func TestDrydenScales(t *testing.T) {
	for _, row := range []struct{ h, upL, alongL, alongLm, ratio, alongS float64 }{
		{10, 3.05, 75.64, 23.05, 1.96298, 1.515},
		{20, 6.10, 143.59, 43.77, 1.92914, 1.489},
		{50, 15.24, 310.79, 94.73, 1.83865, 1.419},
		{100, 30.48, 505.17, 153.98, 1.71585, 1.324},
		{200, 60.96, 725.79, 221.22, 1.53671, 1.186},
		{500, 152.40, 944.66, 287.93, 1.23624, 0.954},
		{1000, 304.80, 1000.00, 304.80, 1.00000, 0.772},
	} {
		alongL, upL, alongS, upS := DrydenScales(row.h*0.3048, 15*knot)
		assert.InDelta(t, row.upL, upL, 0.005, "Lw at %v ft", row.h)
		assert.InDelta(t, row.alongL, alongL/0.3048, 0.006, "Lu at %v ft", row.h)
		assert.InDelta(t, row.alongLm, alongL, 0.006)
		assert.InDelta(t, row.ratio, alongS/upS, 1e-5)
		assert.InDelta(t, row.alongS, alongS, 6e-4)
		assert.InDelta(t, 0.7717, upS, 1e-4)
	}
	low, _, _, _ := DrydenScales(0.5, 5)
	least, _, _, _ := DrydenScales(3.048, 5)
	assert.Equal(t, least, low, "held below 10 ft")
	top, _, _, _ := DrydenScales(1000*0.3048, 5)
	above, _, _, _ := DrydenScales(5000*0.3048, 5)
	assert.Equal(t, top, above, "held above 1000 ft")
}

// Goal: the sampled filters have the Dryden process's variance and
// autocorrelation at every lag, exactly. Source: Ru = σ²·e^{−Vt/Lu}, Rw =
// σ²·e^{−Vt/Lw}·(1 − Vt/(2Lw)), the transforms of the spectra of MIL-F-8785C
// §3.7.3; the coefficient at 20 ft, 5 m/s and 10 ms is 0.9988582. Method: the
// covariance equation of the filters, no samples.
func TestDrydenFilters(t *testing.T) {
	alongL, upL, _, _ := DrydenScales(20*0.3048, 15*knot)
	assert.InDelta(t, 8.7532, alongL/5, 1e-3)
	u := newLag1(alongL/5, 2)
	assert.InDelta(t, 0.9988582, math.Pow(u.keep, 10), 1e-7)
	assert.InDelta(t, 4, u.noise*u.noise/(1-u.keep*u.keep), 1e-9)

	for _, T := range []float64{upL / 5, 0.01, 1e-4, 60} {
		f := newLag2(T, 1.5)
		p11, p12, p22 := 0.5, 0.25, 0.25 // stationary covariance
		next11 := f.keep*f.keep*p11 + f.n11*f.n11
		next12 := f.keep*f.keep*(p12+f.step*p11) + f.n11*f.n21
		next22 := f.keep*f.keep*(p22+2*f.step*p12+f.step*f.step*p11) + f.n21*f.n21 + f.n22*f.n22
		assert.InDelta(t, p11, next11, 1e-14)
		assert.InDelta(t, p12, next12, 1e-14)
		assert.InDelta(t, p22, next22, 1e-14)
		for _, lag := range []float64{0, 0.5, 1, 2, 3} { // in time constants
			k := math.Round(lag / f.step)
			e, d := math.Pow(f.keep, k), k*f.step
			c11, c12, c21, c22 := e*p11, e*p12, e*(p12+d*p11), e*(p22+d*p12)
			got := f.out1*f.out1*c11 + f.out1*f.out2*(c12+c21) + f.out2*f.out2*c22
			assert.InDelta(t, 1.5*1.5*math.Exp(-d)*(1-d/2), got, 1e-9, "T %v, lag %v", T, d)
		}
	}
}

// Goal: hours of samples have the stated variance and correlation within 10 %:
// catches noise that is too small by √π or is not fresh each tick. Source as
// above; the relative s.d. of the variance over 4 h is 3.5 % for the slowest.
func TestTurbulenceSamples(t *testing.T) {
	p := &Place{Max: Vec3{X: 1, Y: 1, Z: 2 * 20 * 0.3048}, Air: Air{
		Density: 1.2, TurbulenceWind: 15 * knot, TurbulenceSpeed: 5, WindW: Vec3{Y: -2},
	}}
	p.Prepare()
	in := DefaultInput()
	in.Seed = 7
	s := &State{}
	airStart(p, s, &in)
	const ticks, every = 4 * 3600 * 1000, 20
	series := [3][]float64{} // along, across, up
	for k := range int64(ticks) {
		in.Tick = k
		airStep(p, s, &in)
		if k%every == 0 {
			wind := s.Gust.WindW.Sub(p.Air.WindW)
			series[0] = append(series[0], -wind.Y)
			series[1] = append(series[1], wind.X)
			series[2] = append(series[2], wind.Z)
		}
	}
	covariance := func(x []float64, lag float64) float64 {
		k := int(lag / (every * DT))
		sum := 0.0
		for i := range len(x) - k {
			sum += x[i] * x[i+k]
		}
		return sum / float64(len(x)-k)
	}
	alongL, upL, alongS, upS := DrydenScales(20*0.3048, 15*knot)
	assert.InEpsilon(t, alongS*alongS, covariance(series[0], 0), 0.1, "variance along")
	assert.InEpsilon(t, alongS*alongS, covariance(series[1], 0), 0.1, "variance across")
	assert.InEpsilon(t, upS*upS, covariance(series[2], 0), 0.1, "variance up")
	assert.InDelta(t, math.Exp(-1), covariance(series[0], alongL/5)/covariance(series[0], 0), 0.1, "along, one length on")
	assert.InDelta(t, 0, covariance(series[1], 2*alongL/5)/covariance(series[1], 0), 0.1, "across, two lengths on")
	assert.InDelta(t, 0, covariance(series[2], 2*upL/5)/covariance(series[2], 0), 0.1, "up, two lengths on")
}

// Goal: no turbulence asked for is exactly none, and the parts of the wind add.
func TestStillAir(t *testing.T) {
	_, p, s, in := plusQuad(t)
	airStart(p, s, in)
	airStep(p, s, in)
	assert.Equal(t, Gust{}, s.Gust)
	p.Air.WindW = Vec3{X: 1, Y: 2}
	in.GustW = Vec3{X: 0.5, Z: -1}
	airStep(p, s, in)
	assert.Equal(t, Vec3{X: 1.5, Y: 2, Z: -1}, s.Gust.WindW)
}

// Goal: turbulence is a function of seed and tick: the same run again, and a
// start from its stationary spread.
func TestTurbulenceByCounter(t *testing.T) {
	_, p, s, in := dearest(t)
	run := func(seed uint64) Gust {
		in.Seed = seed
		airStart(p, s, in)
		for in.Tick = 0; in.Tick < 100; in.Tick++ {
			airStep(p, s, in)
		}
		return s.Gust
	}
	assert.Equal(t, run(1), run(1))
	assert.NotEqual(t, run(1), run(2))
	_, _, alongS, upS := DrydenScales(0.3, 5)
	sum := Vec3{}
	p.Air.FanCount = 0
	for seed := range uint64(4000) {
		in.Seed = seed
		airStart(p, s, in)
		w := s.Gust.WindW
		sum = sum.Add(Vec3{X: w.X * w.X, Y: w.Y * w.Y, Z: w.Z * w.Z}.Scale(1.0 / 4000))
	}
	assert.InEpsilon(t, alongS*alongS, sum.X, 0.1)
	assert.InEpsilon(t, alongS*alongS, sum.Y, 0.1)
	assert.InEpsilon(t, upS*upS, sum.Z, 0.1)
}

// Goal: gust shapes. Sources: MIL-F-8785C §3.7.2.3; CS and 14 CFR 25.341(a)
// (from memory).
func TestGustShapes(t *testing.T) {
	for _, row := range []struct{ x, ramp, cosine float64 }{
		{-0.1, 0, 0}, {0, 0, 0}, {0.25, 0.1464466094, 0.1464466094}, {0.5, 0.5, 0.5}, {0.75, 0.8535533906, 0.8535533906},
		{1, 1, 1}, {1.5, 1, 0.5}, {2, 1, 0}, {3, 1, 0},
	} {
		assert.InDelta(t, row.ramp, RampGust(row.x*7, 7), 1e-9, "ramp at %v", row.x)
		assert.InDelta(t, row.cosine, OneCosine(row.x*7, 7), 1e-9, "1 − cos at %v", row.x)
	}
}

// Goal: a fan's jet keeps its speed in the core, decays with 1/distance, spreads,
// and carries the mouth's momentum at every distance in the self-similar part.
// Source: Pope, Turbulent Flows (2000), §5.1 (from memory): u0 = 6.06·U·D/x,
// half width about 0.1·x.
func TestFan(t *testing.T) {
	f := Fan{PosW: Vec3{Z: 1}, DirW: Vec3{X: 1}, Width: 0.4, Speed: 5}
	at := func(x, r float64) float64 { return f.SpeedAt(Vec3{X: x, Y: r, Z: 1}) }
	assert.Equal(t, 5.0, at(0, 0.19))
	assert.Equal(t, 0.0, at(0, 0.21))
	assert.Equal(t, 0.0, at(-0.01, 0))
	assert.Equal(t, 5.0, at(2, 0), "core")
	assert.InDelta(t, 6.06*5*0.4/10, at(10, 0), 1e-12)
	assert.InDelta(t, 0.5, at(10, 0.9715)/at(10, 0), 1e-9, "half width")
	assert.InDelta(t, at(6.06*0.4, 0), at(6.06*0.4+1e-9, 0), 1e-6, "no step at the core's end")
	for _, row := range []struct{ x, tol float64 }{{0.5, 0.1}, {1.2, 0.1}, {3, 0.005}, {10, 0.005}} {
		sum := 0.0
		for r := 0.0005; r < 6; r += 0.001 {
			sum += at(row.x, r) * at(row.x, r) * 2 * math.Pi * r * 0.001
		}
		assert.InEpsilon(t, 25*math.Pi*0.2*0.2, sum, row.tol, "momentum at %v m", row.x)
	}
	turned := Fan{PosW: f.PosW, DirW: Vec3{Y: 1}, Width: 0.4, Speed: 5}
	assert.InDelta(t, at(3, 0.2), turned.SpeedAt(Vec3{X: -0.2, Y: 3, Z: 1}), 1e-15)
	assert.InDelta(t, math.Sqrt(math.Ln2/2), jetDecay*jetSpread, 1e-4, "the momentum's condition")
}

// Goal: the power series of the noise's moments against the closed forms.
func TestDecayMoment(t *testing.T) {
	for _, x := range []float64{0.1, 0.5, 2, 5, 8, 30} {
		e := math.Exp(-2 * x)
		assert.InDelta(t, (1-e)/2, decayMoment(0, x), 1e-13)
		assert.InDelta(t, (1-e*(1+2*x))/4, decayMoment(1, x), 1e-13)
		assert.InDelta(t, (1-e*(1+2*x+2*x*x))/4, decayMoment(2, x), 1e-13)
	}
	assert.InEpsilon(t, 1e-12/3, decayMoment(2, 1e-4), 2e-4)
}
