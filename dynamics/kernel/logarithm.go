package kernel

import "math"

// sqrtHalfBits are the bits of √½: the mantissa is folded to √½ … √2.
const sqrtHalfBits = 0x3fe6a09e667f3bcd

// splitExponent returns x = 2^k·(1 + f) with 1 + f in √½ … √2, for positive
// finite x.
func splitExponent(x float64) (k, f float64) {
	shift := 0.0
	if x < 0x1p-1022 {
		x = float64(x * 0x1p54)
		shift = 54
	}
	b := math.Float64bits(x)
	n := int64(b-sqrtHalfBits) >> 52 // floor: mantissas below √½ belong to the octave below
	m := math.Float64frombits(b - uint64(n)<<52)
	return float64(n) - shift, m - 1
}

// atanhTail returns 2s²/3 + 2s⁴/5 + … for z = s² ≤ 0.0295, so that
// ln(1+f) = 2s + s·atanhTail with s = f/(2+f). The first term left out is below
// 2^−59.
func atanhTail(z float64) float64 {
	z2 := float64(z * z)
	z4 := float64(z2 * z2)
	p0 := 2.0/3 + float64(z*(2.0/5))
	p1 := 2.0/7 + float64(z*(2.0/9))
	p2 := 2.0/11 + float64(z*(2.0/13))
	p3 := 2.0/15 + float64(z*(2.0/17))
	p4 := 2.0/19 + float64(z*(2.0/21))
	q0 := p0 + float64(z2*p1)
	q1 := p2 + float64(z2*p3)
	return float64(z * (q0 + float64(z4*(q1+float64(z4*p4)))))
}

// Log returns the natural logarithm of x: −Inf at 0, NaN below 0. Error at most
// 1 ulp. With s = f/(2+f) it is 2s = f − s·f, so ln(1+f) = f − s·(f − tail), in
// which the rounding of s counts little.
func Log(x float64) float64 {
	if !(x > 0 && x <= math.MaxFloat64) {
		return logOutside(x)
	}
	k, f := splitExponent(x)
	s := f / (2 + f)
	t := atanhTail(float64(s * s))
	return float64(k*ln2High) + (f - (float64(s*(f-t)) - float64(k*ln2Low)))
}

// logOutside returns ln x for x that is not a positive finite number.
func logOutside(x float64) float64 {
	if x == 0 {
		return math.Inf(-1)
	}
	if x < 0 {
		return math.NaN()
	}
	return x // +Inf or NaN
}

// Pow returns x^y for x > 0 (0^y is 0, 1 or +Inf; NaN for x below 0). Error at
// most 2 ulp for results in 1e-50 … 1e50, some 10 at the ends of the range.
func Pow(x, y float64) float64 {
	if y == 0 || x == 1 {
		return 1
	}
	if !(x > 0 && x <= math.MaxFloat64) {
		return powOutside(x, y)
	}
	h, l := logTwoParts(x)
	p, e := twoProduct(y, h)
	if !(math.Abs(p) < 1000) { // also y infinite or NaN
		return expOutside(float64(y * h))
	}
	return expSum(p, e+float64(y*l))
}

// powOutside returns x^y for x that is not a positive finite number, y ≠ 0.
func powOutside(x, y float64) float64 {
	if x < 0 || math.IsNaN(x) || math.IsNaN(y) {
		return math.NaN()
	}
	if (x == 0) == (y > 0) {
		return 0
	}
	return math.Inf(1)
}

// logTwoParts returns ln x as an unevaluated sum with a relative error near
// 2^−59, for positive finite x.
func logTwoParts(x float64) (high, low float64) {
	k, f := splitExponent(x)
	d := 2 + f
	dLow := f - (d - 2)
	s := f / d
	p, e := twoProduct(s, d)
	sLow := ((f - p) - e - float64(s*dLow)) / d
	t := atanhTail(float64(s * s))
	// k·ln2High is exact; 2s comes next in size, then the small parts.
	a, aLow := twoSum(float64(k*ln2High), float64(2*s))
	small := float64(s*t) + float64(sLow*(2+float64(3*t)))
	b, bLow := twoSum(a, small)
	return twoSum(b, aLow+bLow+float64(k*ln2Low))
}

// twoSum returns a + b as rounded sum and exact rest.
func twoSum(a, b float64) (sum, rest float64) {
	sum = a + b
	bb := sum - a
	return sum, (a - (sum - bb)) + (b - bb)
}

// twoProduct returns a·b as rounded product and exact rest, by splitting each
// factor in halves (Dekker, "A floating-point technique for extending the
// available precision", Numerische Mathematik 18, 1971). Not for products near
// the ends of the exponent range.
func twoProduct(a, b float64) (product, rest float64) {
	ah, bh := upperHalf(a), upperHalf(b)
	al, bl := a-ah, b-bh
	product = float64(a * b)
	rest = float64(ah*bh) - product
	rest += float64(ah * bl)
	rest += float64(al * bh)
	return product, rest + float64(al*bl)
}

// upperHalf returns x cut to its leading 26 bits.
func upperHalf(x float64) float64 {
	return math.Float64frombits(math.Float64bits(x) &^ (1<<27 - 1))
}
