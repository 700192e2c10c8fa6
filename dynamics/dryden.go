package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// Turbulence after the Dryden model: a frozen field that passes the craft at a
// set speed, so it is a function of time alone. Scales first, then the filters
// that make it from white noise.
//
// MIL-F-8785C, Flying Qualities of Piloted Airplanes, 5 November 1980, §3.7.3.

const (
	foot        = 0.3048
	drydenLeast = 10.0   // ft, below which the scales are held: the model begins there
	drydenMost  = 1000.0 // ft, where the low-altitude scales end
)

// DrydenScales returns the length scales (m) along and across the wind (alike)
// and upwards, and the standard deviations (m/s) along and across (alike) and
// upwards, at a height (m) in a mean wind at 6 m (20 ft) height (m/s). Heights
// are held to 3.05 … 304.8 m, where the low-altitude model is stated.
//
// MIL-F-8785C (1980) §3.7.3.4, figures 10 and 11: Lw = h, Lu = Lv =
// h/(0.177 + 0.000823h)^1.2, σw = 0.1·W20, σu = σv = σw/(0.177 + 0.000823h)^0.4
// with h in feet. (MIL-HDBK-1797 prints half these lengths with spectra in 2L.)
func DrydenScales(height, wind float64) (alongL, upL, alongS, upS float64) {
	h := kernel.Clamp(height/foot, drydenLeast, drydenMost)
	base := 0.177 + float64(0.000823*h)
	upS = 0.1 * wind
	return h / kernel.Pow(base, 1.2) * foot, h * foot, upS / kernel.Pow(base, 0.4), upS
}

// dryden is the turbulence of a place, ready for the tick. The filters
//
//	Hu = σ·√(2T)/(1 + T·s)        Hw = σ·√T·(1 + √3·T·s)/(1 + T·s)²
//
// with T = L/V, driven by white noise of unit intensity, are sampled exactly: the
// samples have the continuous process's variances and correlations at every lag.
type dryden struct {
	on            bool
	along, across Vec3 // unit, room axes; up is z
	u             lag1
	v, w          lag2
}

// lag1 is x⁺ = keep·x + noise·ξ.
type lag1 struct{ keep, noise float64 }

// lag2 is two equal lags in a row, in units of their time constant:
//
//	x1⁺ = keep·x1 + n11·ξ1          y = out1·x1 + out2·x2
//	x2⁺ = keep·(x2 + step·x1) + n21·ξ1 + n22·ξ2
type lag2 struct{ keep, step, n11, n21, n22, out1, out2 float64 }

// newLag1 samples a first-order process of time constant T (s) and standard
// deviation sigma.
func newLag1(T, sigma float64) lag1 {
	return lag1{
		keep:  kernel.Exp(-DT / T),
		noise: sigma * math.Sqrt(-kernel.Expm1(-2*DT/T)),
	}
}

// newLag2 samples the second-order Dryden process of time constant T (s) and
// standard deviation sigma. The noise covariance over a step δ is that of
// ∫ e^{−s}(1, s)·dξ: the matrix of ∫ s^k e^{−2s} ds, k = 0, 1, 2, over 0 … δ.
func newLag2(T, sigma float64) lag2 {
	step := DT / T
	n11 := math.Sqrt(decayMoment(0, step))
	n21 := decayMoment(1, step) / n11
	n22 := math.Sqrt(max(0, decayMoment(2, step)-float64(n21*n21)))
	return lag2{
		keep: kernel.Exp(-step), step: step,
		n11: n11, n21: n21, n22: n22,
		out1: math.Sqrt(3) * sigma, out2: (1 - math.Sqrt(3)) * sigma,
	}
}

// decayMoment returns ∫ s^k e^{−2s} ds from 0 to x: in closed form, by parts, and
// for small x by the power series, which keeps the digits that the closed form
// loses there.
func decayMoment(k int, x float64) float64 {
	if x > 2 {
		e := kernel.Exp(-2 * x)
		sum := 0.5 * (1 - e)
		for i := range k {
			e = float64(e * x)
			sum = 0.5 * (float64(float64(i+1)*sum) - e)
		}
		return sum
	}
	power := x
	for range k {
		power *= x
	}
	sum, term := 0.0, power
	for m := range 40 {
		sum += term / float64(m+k+1)
		term *= -2 * x / float64(m+1)
	}
	return sum
}

// settle draws the state of two equal lags from its stationary distribution,
// whose covariance is (1/2, 1/4; 1/4, 1/4).
func settle(x *[2]float64, seed uint64, stream kernel.Stream) {
	a := kernel.Normal(seed, stream, -1, 0)
	b := kernel.Normal(seed, stream, -1, 1)
	x[0] = math.Sqrt(0.5) * a
	x[1] = float64(math.Sqrt(0.125)*a) + float64(math.Sqrt(0.125)*b)
}

// move takes two equal lags one step on.
func (l *lag2) move(x *[2]float64, in *Input, stream kernel.Stream) {
	a := kernel.Normal(in.Seed, stream, in.Tick, 0)
	b := kernel.Normal(in.Seed, stream, in.Tick, 1)
	x[1] = float64(l.keep*(x[1]+float64(l.step*x[0]))) + float64(l.n21*a) + float64(l.n22*b)
	x[0] = float64(l.keep*x[0]) + float64(l.n11*a)
}
