package path

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// These serve checks and pages, not the tick.

// curveSteps is how finely a figure-eight is walked for its length and extent.
// The rule below is exact to rounding for so smooth a closed curve.
const (
	curveSteps = 1024
	twoPi      = 2 * math.Pi
)

// Begin is where the path begins, after the lead-in (m, room axes).
func (p *Params) Begin() kernel.Vec3 { return p.point(0) }

// Distance is the length of the way (m) in all laps, without the lead-in.
func (p *Params) Distance() float64 {
	sum := 0.0
	if p.Kind == FigureEight {
		for i := range curveSteps {
			c := p.eight(float64(i) * (twoPi / curveSteps))
			sum += kernel.Vec3{X: c.dx, Y: c.dy}.Norm()
		}
		return sum * twoPi / curveSteps * float64(p.Laps)
	}
	for j := range p.legs() {
		sum += p.point(j + 1).Sub(p.point(j)).Norm()
	}
	return sum
}

// Duration is how long the path takes (s), turns included, without the lead-in.
func (p *Params) Duration() float64 {
	var s State
	if p.Kind == None {
		return 0
	}
	s.begin(p, p.point(0), p.yawOf(1, p.Yaw), 0)
	for !s.Done {
		s.next(p)
	}
	return float64(s.LegStart) * dynamics.DT
}

// Bounds is the box (m, room axes) that the path keeps within, without the
// lead-in.
func (p *Params) Bounds() (lo, hi kernel.Vec3) {
	lo, hi = p.point(0), p.point(0)
	grow := func(v kernel.Vec3) {
		lo = kernel.Vec3{X: min(lo.X, v.X), Y: min(lo.Y, v.Y), Z: min(lo.Z, v.Z)}
		hi = kernel.Vec3{X: max(hi.X, v.X), Y: max(hi.Y, v.Y), Z: max(hi.Z, v.Z)}
	}
	if p.Kind == FigureEight {
		for i := range curveSteps {
			c := p.eight(float64(i) * (twoPi / curveSteps))
			grow(p.place(c.x, c.y))
		}
		return lo, hi
	}
	for j := range p.legs() {
		grow(p.point(j + 1))
	}
	return lo, hi
}
