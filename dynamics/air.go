package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// The wind at the craft in one tick: steady wind, fans, turbulence and an
// injected gust, added up. Turbulence is a frozen field that passes the craft at
// a set speed, so it is a function of time alone.

// Wind models: MIL-F-8785C, Flying Qualities of Piloted Airplanes, 5 November
// 1980, §3.7.3 (Dryden form and its scales at low altitude).
const (
	foot        = 0.3048
	drydenLeast = 10.0   // ft, below which the scales are held: the model begins there
	drydenMost  = 1000.0 // ft, where the low-altitude scales end

	// Potential core and decay of a round jet: centre-line speed 6.06·U·D/x; S.
	// B. Pope, Turbulent Flows (2000), §5.1, table 5.1 (from memory). The half
	// width 0.0972·x follows from it, so that a Gaussian profile carries the
	// mouth's momentum at every distance: B·S = √(ln 2 / 2). Pope gives 0.096.
	jetDecay  = 6.06
	jetSpread = 0.09715
	jetTail   = 4.0 // half widths from the core beyond which the air stands: 2^−16 of the centre's speed
)

var (
	streamGustU = kernel.NewStream("dynamics/turbulence-along")
	streamGustV = kernel.NewStream("dynamics/turbulence-across")
	streamGustW = kernel.NewStream("dynamics/turbulence-up")
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

// Prepare fills the derived fields of the place: turbulence scales are those at
// half the room's height. Whoever changes a place's air calls it before the next
// Step.
func (p *Place) Prepare() {
	a := &p.Air
	a.turbulence = dryden{}
	if a.TurbulenceWind == 0 {
		return
	}
	t := &a.turbulence
	t.on = true
	t.along = Vec3{X: a.WindW.X, Y: a.WindW.Y}.Unit(Vec3{X: 1})
	t.across = Vec3{X: -t.along.Y, Y: t.along.X}
	alongL, upL, alongS, upS := DrydenScales(0.5*(p.Max.Z-p.Min.Z), a.TurbulenceWind)
	t.u = newLag1(alongL/a.TurbulenceSpeed, alongS)
	t.v = newLag2(alongL/a.TurbulenceSpeed, alongS)
	t.w = newLag2(upL/a.TurbulenceSpeed, upS)
}

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

// airStart gives the turbulence its stationary state, so that it does not begin
// with a lull, and the wind that follows from it.
func airStart(p *Place, s *State, in *Input) {
	s.Gust = Gust{}
	t := &p.Air.turbulence
	if t.on {
		alongS := t.u.noise / math.Sqrt(1-float64(t.u.keep*t.u.keep))
		s.Gust.U = alongS * kernel.Normal(in.Seed, streamGustU, -1, 0)
		settle(&s.Gust.V, in.Seed, streamGustV)
		settle(&s.Gust.W, in.Seed, streamGustW)
	}
	s.Gust.WindW = windAt(p, s, in)
}

// airStep moves the air on by a tick and writes the wind at the craft. Without
// turbulence and fans it costs a few additions.
func airStep(p *Place, s *State, in *Input) {
	t := &p.Air.turbulence
	if t.on {
		g := &s.Gust
		g.U = float64(t.u.keep*g.U) + float64(t.u.noise*kernel.Normal(in.Seed, streamGustU, in.Tick, 0))
		t.v.move(&g.V, in, streamGustV)
		t.w.move(&g.W, in, streamGustW)
	} else if p.Air.TurbulenceWind != 0 {
		panic("dynamics: Place.Prepare was not called")
	}
	s.Gust.WindW = windAt(p, s, in)
}

// move takes two equal lags one step on.
func (l *lag2) move(x *[2]float64, in *Input, stream kernel.Stream) {
	a := kernel.Normal(in.Seed, stream, in.Tick, 0)
	b := kernel.Normal(in.Seed, stream, in.Tick, 1)
	x[1] = float64(l.keep*(x[1]+float64(l.step*x[0]))) + float64(l.n21*a) + float64(l.n22*b)
	x[0] = float64(l.keep*x[0]) + float64(l.n11*a)
}

// windAt returns the wind at the craft, m/s, room axes.
func windAt(p *Place, s *State, in *Input) Vec3 {
	a := &p.Air
	wind := a.WindW.Add(in.GustW)
	for i := range min(a.FanCount, MaxFans) {
		f := &a.Fans[i]
		wind = wind.AddScaled(f.SpeedAt(s.PosW), f.DirW)
	}
	if t := &a.turbulence; t.on {
		g := &s.Gust
		v := float64(t.v.out1*g.V[0]) + float64(t.v.out2*g.V[1])
		w := float64(t.w.out1*g.W[0]) + float64(t.w.out2*g.W[1])
		wind = wind.AddScaled(g.U, t.along).AddScaled(v, t.across)
		wind.Z += w
	}
	return wind
}

// SpeedAt returns the speed of the fan's jet along its direction at a place in
// the room, m/s: a core that keeps the mouth's speed and narrows to nothing at
// 6.06 diameters, a Gaussian edge round it, and behind that the self-similar jet
// whose centre slows with 1/distance. Nothing behind the mouth.
func (f *Fan) SpeedAt(posW Vec3) float64 {
	from := posW.Sub(f.PosW)
	x := from.Dot(f.DirW)
	if x < 0 || f.Speed == 0 {
		return 0
	}
	r := from.AddScaled(-x, f.DirW).Norm()
	core := max(0, float64(0.5*f.Width)-float64(x*(0.5/jetDecay)))
	if r <= core && core > 0 {
		return f.Speed
	}
	width := float64(jetSpread * x)
	off := r - core
	if off >= float64(jetTail*width) {
		return 0
	}
	centre := min(f.Speed, f.Speed*jetDecay*f.Width/x)
	q := off / width
	return centre * kernel.Exp(-math.Ln2*q*q)
}

// OneCosine returns the shape, 0 … 1, of the gust that rises and falls again
// over twice the gradient distance: (1 − cos(πx/length))/2 for 0 ≤ x ≤ 2·length,
// 0 outside. x and length (> 0) in the same unit. CS 25.341(a) and 14 CFR
// 25.341(a) (from memory).
func OneCosine(x, length float64) float64 {
	if x < 0 || x > 2*length {
		return 0
	}
	return 0.5 - float64(0.5*kernel.Cos(math.Pi*x/length))
}

// RampGust returns the shape, 0 … 1, of the gust that rises over length and then
// stays. MIL-F-8785C (1980) §3.7.2.3 (from memory).
func RampGust(x, length float64) float64 {
	if x >= length {
		return 1
	}
	return OneCosine(x, length)
}
