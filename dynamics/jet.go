package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// The round free jet of a fan.

const (
	// Centre-line speed 6.06·U·D/x: S. B. Pope, Turbulent Flows (2000), §5.1,
	// table 5.1 (from memory). The half width 0.0972·x follows from it, so that a
	// Gaussian profile carries the mouth's momentum at every distance: B·S =
	// √(ln 2 / 2). Pope gives 0.096.
	jetDecay  = 6.06
	jetSpread = 0.09715
	jetTail   = 4.0 // half widths from the core beyond which the air stands: 2^−16 of the centre's speed
)

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
