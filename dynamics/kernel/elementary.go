package kernel

import "math"

// The elementary functions here use only sums, products and quotients rounded
// one by one, in a written order, so they give the same bits on every
// processor. Each one folds its argument into a short interval and sums a
// Taylor series there; the tests hold every one to at most 2 units in the last
// place (ulp) of the true value on the ranges named.

const (
	inverseLn2 = 0x1.71547652b82fep+0  // 1/ln 2
	ln2High    = 0x1.62e42fefa0000p-1  // leading 38 bits of ln 2: an exponent times it is exact
	ln2Low     = 0x1.cf79abc9e3b3ap-40 // ln 2 − ln2High

	// roundingShift added to a number below 2^51 pushes its fraction out of the
	// mantissa, so adding and subtracting it rounds to the nearest integer.
	roundingShift = 0x1.8p52

	expOverflow  = 0x1.62e42fefa39efp+9  // ln of the largest finite number, 709.78
	expUnderflow = -0x1.74910d52d3053p+9 // ln of half the smallest number, −745.13
)

// Exp returns e^x, +Inf above 709.78 and 0 below −745.13. Error at most 1 ulp
// where the result is a normal number.
func Exp(x float64) float64 {
	if !(x <= expOverflow && x >= expUnderflow) {
		return expOutside(x)
	}
	k, r, low := reduceLn2(x)
	return scaleByPowerOfTwo(1+expm1Series(r, low), int(k))
}

// expOutside returns e^x where x is NaN or beyond the exponents there are.
func expOutside(x float64) float64 {
	if x > 0 {
		return math.Inf(1)
	}
	if x < 0 {
		return 0
	}
	return x
}

// expSum returns e^(x + low) for |low| at most a last place of x.
func expSum(x, low float64) float64 {
	if !(x <= expOverflow && x >= expUnderflow) {
		return expOutside(x)
	}
	k, r, rLow := reduceLn2(x)
	r, rLow = twoSum(r, rLow+low)
	return scaleByPowerOfTwo(1+expm1Series(r, rLow), int(k))
}

// Expm1 returns e^x − 1 without loss near 0. Error at most 2 ulp.
func Expm1(x float64) float64 {
	if !(x <= 700 && x >= -40) {
		if x < 0 {
			return -1
		}
		return Exp(x)
	}
	k, r, low := reduceLn2(x)
	e := expm1Series(r, low)
	if k == 0 {
		return e
	}
	if k > 60 {
		return scaleByPowerOfTwo(1+e, int(k))
	}
	p := scaleByPowerOfTwo(1, int(k))
	return (p - 1) + float64(p*e)
}

// reduceLn2 splits x = k·ln 2 + r + low with |r| ≤ ln 2/2 and low below the
// last place of r.
func reduceLn2(x float64) (k, r, low float64) {
	k = float64(x*inverseLn2) + roundingShift - roundingShift
	a := x - float64(k*ln2High) // exact
	b := float64(k * ln2Low)
	r = a - b
	return k, r, (a - r) - b
}

// expm1Series returns e^(r+low) − 1 for |r| ≤ 0.35 by the Taylor series up to
// r^13/13!; the first term left out is below 2^−57 of the sum.
func expm1Series(r, low float64) float64 {
	r2 := float64(r * r)
	r4 := float64(r2 * r2)
	p0 := 1.0/6 + float64(r*(1.0/24))
	p1 := 1.0/120 + float64(r*(1.0/720))
	p2 := 1.0/5040 + float64(r*(1.0/40320))
	p3 := 1.0/362880 + float64(r*(1.0/3628800))
	p4 := 1.0/39916800 + float64(r*(1.0/479001600))
	q0 := p0 + float64(r2*p1)
	q1 := p2 + float64(r2*p3)
	q2 := p4 + float64(r2*(1.0/6227020800))
	tail := q0 + float64(r4*(q1+float64(r4*q2)))
	half := float64(0.5 * r2)
	return r + (half + (float64(float64(r2*r)*tail) + (low + float64(low*r))))
}

// scaleByPowerOfTwo returns x·2^k for x in 0.5 … 2 and |k| ≤ 1100, in two
// steps where the exponent of the result is near the end of its range.
func scaleByPowerOfTwo(x float64, k int) float64 {
	if k > -1000 && k < 1000 {
		return float64(x * math.Float64frombits(uint64(k+1023)<<52))
	}
	h := k / 2
	return float64(float64(x*math.Float64frombits(uint64(h+1023)<<52)) *
		math.Float64frombits(uint64(k-h+1023)<<52))
}

// Tanh returns the hyperbolic tangent of x. Error at most 2 ulp.
func Tanh(x float64) float64 {
	a := math.Abs(x)
	if a > 20 {
		return math.Copysign(1, x)
	}
	if !(a > 1e-9) { // tanh x = x − x³/3 …; also NaN
		return x
	}
	if a > 0.55 {
		return math.Copysign(1-2/(Exp(float64(2*a))+1), x)
	}
	e := Expm1(float64(2 * a))
	return math.Copysign(e/(e+2), x)
}
