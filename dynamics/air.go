package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// The wind at the craft in one tick: steady wind, an injected gust, fans
// (jet.go) and turbulence (dryden.go), added up.

var (
	streamGustU = kernel.NewStream("dynamics/turbulence-along")
	streamGustV = kernel.NewStream("dynamics/turbulence-across")
	streamGustW = kernel.NewStream("dynamics/turbulence-up")
)

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
