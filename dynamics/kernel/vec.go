// Package kernel holds the arithmetic that everything else stands on: vectors,
// quaternions, small solvers, elementary functions and random numbers.
//
// It stands apart because a rehearsal must give the same bits on every machine.
// Go may fuse x*y + z into one rounding on some processors and not on others,
// and the functions of package math differ between them, so here every product
// that feeds a sum is rounded by an explicit conversion, float64(x*y), and the
// elementary functions are our own. Code outside this package that touches
// state keeps the same rule; a test disassembles the built commands and fails
// on the first fused instruction.
package kernel

import "math"

// Vec3 is a vector with x forward, y left, z up (axes as in ISO 8855; the
// flight-mechanics standard ISO 1151 has z down). Whether its components stand
// in the room frame W or the body frame B is said by the suffix of its name.
type Vec3 struct{ X, Y, Z float64 }

// Add returns a + b.
func (a Vec3) Add(b Vec3) Vec3 { return Vec3{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a − b.
func (a Vec3) Sub(b Vec3) Vec3 { return Vec3{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Scale returns k·a.
func (a Vec3) Scale(k float64) Vec3 {
	return Vec3{float64(k * a.X), float64(k * a.Y), float64(k * a.Z)}
}

// AddScaled returns a + k·b.
func (a Vec3) AddScaled(k float64, b Vec3) Vec3 {
	return Vec3{a.X + float64(k*b.X), a.Y + float64(k*b.Y), a.Z + float64(k*b.Z)}
}

// Neg returns −a.
func (a Vec3) Neg() Vec3 { return Vec3{-a.X, -a.Y, -a.Z} }

// Dot returns a·b.
func (a Vec3) Dot(b Vec3) float64 {
	return float64(a.X*b.X) + float64(a.Y*b.Y) + float64(a.Z*b.Z)
}

// Cross returns a × b.
func (a Vec3) Cross(b Vec3) Vec3 {
	return Vec3{
		float64(a.Y*b.Z) - float64(a.Z*b.Y),
		float64(a.Z*b.X) - float64(a.X*b.Z),
		float64(a.X*b.Y) - float64(a.Y*b.X),
	}
}

// NormSq returns |a|².
func (a Vec3) NormSq() float64 { return a.Dot(a) }

// Norm returns |a|.
func (a Vec3) Norm() float64 { return math.Sqrt(a.Dot(a)) }

// NormXY returns the length of the horizontal part of a.
func (a Vec3) NormXY() float64 {
	return math.Sqrt(float64(a.X*a.X) + float64(a.Y*a.Y))
}

// Unit returns a/|a|, or fallback where a is shorter than 1e-12.
func (a Vec3) Unit(fallback Vec3) Vec3 {
	n := a.Norm()
	if n < 1e-12 {
		return fallback
	}
	return a.Scale(1 / n)
}

// Clamp returns x held within lo … hi. lo must not exceed hi.
func Clamp(x, lo, hi float64) float64 {
	if x < lo {
		return lo
	}
	if x > hi {
		return hi
	}
	return x
}

// IsFinite tells whether x is neither infinite nor not-a-number.
func IsFinite(x float64) bool { return x-x == 0 }

// Finite tells whether every component of a is a finite number.
func (a Vec3) Finite() bool { return IsFinite(a.X) && IsFinite(a.Y) && IsFinite(a.Z) }
