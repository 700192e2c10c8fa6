package kernel

import "math"

const (
	tanEighthPi = 0x1.a827999fcef32p-2 // tan(π/8) = √2 − 1
	largeNumber = 0x1p1000             // sums and ratios of anything smaller are finite

	// Angles as a rounded number and the rest.
	piHigh     = 0x1.921fb54442d18p+1
	piLow      = 0x1.1a62633145c07p-53
	halfPiHigh = 0x1.921fb54442d18p+0
	halfPiLow  = 0x1.1a62633145c07p-54
	eighthHigh = 0x1.921fb54442d18p-1 // π/4, an eighth of a turn
	eighthLow  = 0x1.1a62633145c07p-55
	threeHigh  = 0x1.2d97c7f3321d2p+1 // 3π/4, three eighths
	threeLow   = 0x1.a79394c9e8a0ap-54
)

// atanTail returns (atan t − t)/t as a polynomial in z = t² for |t| ≤ tan(π/8).
// It is the Taylor series made shorter: the polynomial that meets atan at 11
// Chebyshev nodes, computed with 60 digits; it is off by 2^−57 of atan t.
func atanTail(z float64) float64 {
	z2 := float64(z * z)
	z4 := float64(z2 * z2)
	p0 := -0.3333333333333333 + float64(z*0.1999999999999552)
	p1 := -0.14285714284666542 + float64(z*0.11111111015256359)
	p2 := -0.09090904578123767 + float64(z*0.07692183190822927)
	p3 := -0.06664511447337443 + float64(z*0.058581489124155936)
	p4 := -0.050854497359171004 + float64(z*0.039231658237138915)
	q0 := p0 + float64(z2*p1)
	q1 := p2 + float64(z2*p3)
	q2 := p4 + float64(z2*-0.01917688704748212)
	return float64(z * (q0 + float64(z4*(q1+float64(z4*q2)))))
}

// Atan returns the arc tangent of x, −π/2 … π/2 (rad). Error at most 2 ulp.
func Atan(x float64) float64 { return Atan2(x, 1) }

// Atan2 returns the angle (rad, −π … π) of the point (x, y) from the x axis.
// Signed zeros and infinities are taken as limits, as in ISO C. Error at most
// 2 ulp.
func Atan2(y, x float64) float64 {
	ay, ax := math.Abs(y), math.Abs(x)
	if !(ay <= largeNumber && ax <= largeNumber) || ay+ax == 0 {
		return atan2Edge(y, x)
	}
	var t, base, low float64
	switch {
	case ay <= float64(tanEighthPi*ax):
		t = ay / ax
		if x < 0 {
			t, base, low = -t, piHigh, piLow
		}
	case ax <= float64(tanEighthPi*ay):
		t, base, low = -x/ay, halfPiHigh, halfPiLow
	default:
		t, base, low = (ay-ax)/(ay+ax), eighthHigh, eighthLow
		if x < 0 {
			t, base, low = -t, threeHigh, threeLow
		}
	}
	a := base + (t + (float64(t*atanTail(float64(t*t))) + low))
	return math.Copysign(a, y)
}

// atan2Edge handles zeros, infinities, NaN and numbers too large to add.
func atan2Edge(y, x float64) float64 {
	switch {
	case math.IsNaN(x) || math.IsNaN(y):
		return math.NaN()
	case math.IsInf(x, 0) && math.IsInf(y, 0):
		return Atan2(math.Copysign(1, y), math.Copysign(1, x))
	case math.IsInf(y, 0):
		return math.Copysign(halfPiHigh, y)
	case x == 0 && y == 0 || math.IsInf(x, 0):
		if math.Signbit(x) {
			return math.Copysign(piHigh, y)
		}
		return math.Copysign(0, y)
	}
	return Atan2(float64(y*0x1p-60), float64(x*0x1p-60))
}

// Asin returns the arc sine of x, −π/2 … π/2 (rad); NaN outside −1 … 1. Error
// at most 2 ulp.
func Asin(x float64) float64 {
	return Atan2(x, math.Sqrt(float64((1-x)*(1+x))))
}

// Acos returns the arc cosine of x, 0 … π (rad); NaN outside −1 … 1. Error at
// most 2 ulp.
func Acos(x float64) float64 {
	return Atan2(math.Sqrt(float64((1-x)*(1+x))), x)
}
