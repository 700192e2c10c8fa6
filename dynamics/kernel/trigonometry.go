package kernel

import "math"

// π/2 in three parts. The first two have 33 bits, so a count of quarter turns
// below 2^20 times one of them is exact (Cody and Waite, "Software Manual for
// the Elementary Functions", 1980, chapter 8).
const (
	quarterTurn1 = 0x1.921fb54400000p+0
	quarterTurn2 = 0x1.0b4611a600000p-34
	quarterTurn3 = 0x1.3198a2e037073p-69

	inverseQuarterTurn = 0x1.45f306dc9c883p-1 // 2/π

	// angleLimit is the largest angle (rad) taken; a finite angle beyond it is
	// a fault of the caller, and the answer is NaN.
	angleLimit = 1 << 20
)

// reduceQuarterTurns splits x = n·π/2 + r + low with |r| ≤ π/4; n counts modulo
// 2^64. x must be within angleLimit.
func reduceQuarterTurns(x float64) (n int64, r, low float64) {
	k := float64(x*inverseQuarterTurn) + roundingShift - roundingShift
	a := x - float64(k*quarterTurn1) // exact
	b := float64(k * quarterTurn2)   // exact
	s := a - b
	c := float64(k*quarterTurn3) - ((a - s) - b)
	r = s - c
	return int64(k), r, (s - r) - c
}

// sinSeries returns sin(r + low) for |r| ≤ π/4, by the Taylor series up to
// r^17/17!; the first term left out is below 2^−62 of the sum.
func sinSeries(r, low float64) float64 {
	z := float64(r * r)
	z2 := float64(z * z)
	p0 := -1.0/6 + float64(z*(1.0/120))
	p1 := -1.0/5040 + float64(z*(1.0/362880))
	p2 := -1.0/39916800 + float64(z*(1.0/6227020800))
	p3 := -1.0/1307674368000 + float64(z*(1.0/355687428096000))
	z4 := float64(z2 * z2)
	p := (p0 + float64(z2*p1)) + float64(z4*(p2+float64(z2*p3)))
	return r + (float64(float64(r*z)*p) + (low - float64(low*float64(0.5*z))))
}

// cosSeries returns cos(r + low) for |r| ≤ π/4, by the Taylor series up to
// r^16/16!; the first term left out is below 2^−58 of the sum.
func cosSeries(r, low float64) float64 {
	z := float64(r * r)
	z2 := float64(z * z)
	z4 := float64(z2 * z2)
	p0 := 1.0/24 + float64(z*(-1.0/720))
	p1 := 1.0/40320 + float64(z*(-1.0/3628800))
	p2 := 1.0/479001600 + float64(z*(-1.0/87178291200))
	p := (p0 + float64(z2*p1)) + float64(z4*(p2+float64(z2*(1.0/20922789888000))))
	h := float64(0.5 * z)
	w := 1 - h
	return w + (((1 - w) - h) + (float64(z2*p) - float64(r*low)))
}

// Sin returns the sine of x (rad). Error at most 1 ulp for |x| ≤ 1e5; NaN
// beyond about 1e6 rad.
func Sin(x float64) float64 {
	if !(math.Abs(x) <= angleLimit) {
		return math.NaN()
	}
	if x == 0 {
		return x // keeps −0
	}
	n, r, low := reduceQuarterTurns(x)
	return sinOfQuarter(n, r, low)
}

// Cos returns the cosine of x (rad). Error at most 1 ulp for |x| ≤ 1e5; NaN
// beyond about 1e6 rad.
func Cos(x float64) float64 {
	if !(math.Abs(x) <= angleLimit) {
		return math.NaN()
	}
	n, r, low := reduceQuarterTurns(x)
	return sinOfQuarter(n+1, r, low)
}

// sinOfQuarter returns sin(n·π/2 + r + low).
func sinOfQuarter(n int64, r, low float64) float64 {
	var v float64
	if n&1 == 0 {
		v = sinSeries(r, low)
	} else {
		v = cosSeries(r, low)
	}
	if n&2 != 0 {
		return -v
	}
	return v
}

// SinCos returns the sine and cosine of x (rad), the same bits as Sin and Cos.
func SinCos(x float64) (sin, cos float64) {
	if !(math.Abs(x) <= angleLimit) {
		return math.NaN(), math.NaN()
	}
	if x == 0 {
		return x, 1
	}
	n, r, low := reduceQuarterTurns(x)
	sin, cos = sinSeries(r, low), cosSeries(r, low)
	if n&1 != 0 {
		sin, cos = cos, -sin
	}
	if n&2 != 0 {
		sin, cos = -sin, -cos
	}
	return sin, cos
}
