package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// Flow through a rotor disc after momentum theory, everything in units of the
// hover inflow vh. Pure functions; prop.go applies them.
//
// Sources: J. G. Leishman, Principles of Helicopter Aerodynamics, 2nd ed.
// (2006), §§2.2–2.14, eqs 2.14, 2.45, 2.96 (from memory); W. Johnson,
// Rotorcraft Aeromechanics (2013), ch. 3 (from memory).

// HoverInflow returns vh = √(T/(2ρA)) in m/s for thrust T (N, ≥ 0), air density
// (kg/m³) and disc area (m²).
func HoverInflow(thrust, density, area float64) float64 {
	return math.Sqrt(thrust / (2 * density * area))
}

// IdealPower returns T^1.5/√(2ρA) in W, the least power that hovers with thrust
// T (N, ≥ 0) on a disc of that area (m²) in air of that density (kg/m³).
func IdealPower(thrust, density, area float64) float64 {
	return thrust * HoverInflow(thrust, density, area)
}

// FigureOfMerit returns ideal power per shaft power of a propeller at rest,
// √(2/π)·CT^1.5/CP.
func FigureOfMerit(ct, cp float64) float64 {
	return math.Sqrt(2/math.Pi) * ct * math.Sqrt(ct) / cp
}

// InducedRatio returns vi/vh at the climb speed x = V/vh (negative in descent).
//
//	x ≥ 0        momentum theory: −x/2 + √(x²/4 + 1)
//	−2 ≤ x < 0   the measured bridge over the vortex-ring state
//	x < −2       windmill: −x/2 − √(x²/4 − 1)
//
// The published bridge starts from the induced power factor κ at x = 0 and
// meets the windmill branch (1 at x = −2) only for κ = 0.974, so it would jump
// by 0.026 at x = 0, where the climb branch gives 1. Here the missing
// 0.026·(1 + x/2) is added: exactly 1 at both ends, and the published curve in
// between within 0.026. Losses of a real rotor are in its measured CP.
func InducedRatio(x float64) float64 {
	h := float64(0.5 * x)
	switch {
	case x >= 0:
		return math.Sqrt(float64(h*h)+1) - h
	case x >= -2:
		return InducedBridge(x, 0.974) + float64(0.026*(1+h))
	}
	return -h - math.Sqrt(float64(h*h)-1)
}

// InducedBridge returns the empirical fit of vi/vh for −2 ≤ x ≤ 0, starting from
// the induced power factor kappa. Leishman (2006), eq. 2.96 (from memory).
func InducedBridge(x, kappa float64) float64 {
	p := -1.718 - float64(0.655*x)
	p = -1.372 + float64(x*p)
	p = -1.125 + float64(x*p)
	return kappa + float64(x*p)
}

// Glauert returns the induced velocity in level edgewise flight, vi/vh, at the
// speed x = V/vh: √(−x²/2 + √(x⁴/4 + 1)). Leishman (2006), §2.14 (from memory).
func Glauert(x float64) float64 { return glauertSq(float64(x * x)) }

// glauertSq is Glauert of the square of the speed ratio, in the form that loses
// no digits at high speed.
func glauertSq(xx float64) float64 {
	h := float64(0.5 * xx)
	return math.Sqrt(1 / (h + math.Sqrt(float64(h*h)+1)))
}

// glauertGrid holds Glauert over the square of the speed ratio, 0 … glauertMost,
// for the tick: two roots and a quotient a rotor would cost more than all the
// rest. Straight lines between are within 4e-5; faster flow takes the formula.
var glauertGrid = func() (g [glauertCells + 1]float64) {
	for i := range g {
		g[i] = glauertSq(float64(i) * (glauertMost / glauertCells))
	}
	return g
}()

const (
	glauertCells = 256
	glauertMost  = 16.0
)

// glauertAt is glauertSq from the grid; exactly 1 without edgewise flow, also
// where rounding makes its square a little negative.
func glauertAt(xx float64) float64 {
	u := float64(xx * (glauertCells / glauertMost))
	if u >= glauertCells {
		return glauertSq(xx)
	}
	u = max(u, 0)
	k := uint(int(u)) % glauertCells
	return glauertGrid[k] + float64((u-float64(int(k)))*(glauertGrid[k+1]-glauertGrid[k]))
}

// Vortex-ring state: thrust is unsteady between 0.5 and 1.5 times the hover
// inflow, worst near 1. W. Johnson, NASA/TP-2005-213477 (from memory). The
// depth and the period are choices of this program: a tenth of the thrust
// (standard deviation) at the worst, changing over 64 ms.
const (
	ringFrom, ringTo = -0.5, -1.5
	ringDepth        = 0.10
	ringTicks        = 64
)

var streamRing = kernel.NewStream("dynamics/vortex-ring")

// ringRatio returns the factor on rotor i's thrust at climb speed x = V/vh,
// exactly 1 outside the band: noise by counter, straight between values
// ringTicks apart, so that a fork of the run meets the same.
func ringRatio(in *Input, i int, x float64) float64 {
	if x >= ringFrom || x <= ringTo {
		return 1
	}
	k := in.Tick / ringTicks
	f := float64(in.Tick-k*ringTicks) / ringTicks
	a := kernel.Normal(in.Seed, streamRing, k, uint64(i))
	b := kernel.Normal(in.Seed, streamRing, k+1, uint64(i))
	depth := ringDepth * (1 - math.Abs(2*(x+1)))
	return 1 + float64(depth*(a+float64(f*(b-a))))
}
