package kernel

import (
	"math"
	"math/big"
	"math/rand/v2"
)

// The references below are plain power series in 300-bit arithmetic, far more
// digits than float64 has, so that the error of a function can be told in units
// of the last place.

const refBits = 300

func bigOf(x float64) *big.Float { return new(big.Float).SetPrec(refBits).SetFloat64(x) }

func newBig() *big.Float { return new(big.Float).SetPrec(refBits) }

// refPi and refLn2 are computed, not typed: Machin's formula
// π = 16·atan(1/5) − 4·atan(1/239), and ln 2 = 2·atanh(1/3).
var (
	refPi = newBig().Sub(
		newBig().Mul(bigOf(16), refAtanSeries(newBig().Quo(bigOf(1), bigOf(5)), -1)),
		newBig().Mul(bigOf(4), refAtanSeries(newBig().Quo(bigOf(1), bigOf(239)), -1)))
	refLn2 = newBig().Mul(bigOf(2), refAtanSeries(newBig().Quo(bigOf(1), bigOf(3)), 1))
)

// refAtanSeries sums t + sign·t³/3 + t⁵/5 + …: atan for sign −1, atanh for +1.
func refAtanSeries(t *big.Float, sign float64) *big.Float {
	z := newBig().Mul(t, t)
	z.Mul(z, bigOf(sign))
	sum, power := newBig(), newBig().Set(t)
	for n := 1.0; power.Sign() != 0 && power.MantExp(nil) > t.MantExp(nil)-refBits; n += 2 {
		sum.Add(sum, newBig().Quo(power, bigOf(n)))
		power.Mul(power, z)
	}
	return sum
}

// refExpBig returns e^x by its series on x/2^16, squared 16 times.
func refExpBig(x *big.Float) *big.Float {
	r := newBig().SetMantExp(x, -16)
	sum, term := bigOf(1), bigOf(1)
	for n := 1.0; n < 40; n++ {
		term.Mul(term, r)
		term.Quo(term, bigOf(n))
		sum.Add(sum, term)
	}
	for range 16 {
		sum.Mul(sum, sum)
	}
	return sum
}

func refExp(x float64) *big.Float { return refExpBig(bigOf(x)) }

func refExpm1(x float64) *big.Float { return newBig().Sub(refExp(x), bigOf(1)) }

// refTanh is (e^2x − 1)/(e^2x + 1).
func refTanh(x float64) *big.Float {
	e := refExpm1(2 * x)
	return newBig().Quo(e, newBig().Add(e, bigOf(2)))
}

// refLog is e·ln 2 + 2·atanh((m−1)/(m+1)) with x = m·2^e.
func refLog(x float64) *big.Float {
	frac, exp := math.Frexp(x)
	if frac < math.Sqrt2/2 {
		frac, exp = 2*frac, exp-1
	}
	m := bigOf(frac)
	t := newBig().Quo(newBig().Sub(m, bigOf(1)), newBig().Add(m, bigOf(1)))
	l := newBig().Mul(bigOf(2), refAtanSeries(t, 1))
	return l.Add(l, newBig().Mul(bigOf(float64(exp)), refLn2))
}

func refPow(x, y float64) *big.Float { return refExpBig(newBig().Mul(bigOf(y), refLog(x))) }

// refSinCos sums the two series after taking off whole turns.
func refSinCos(x float64) (sin, cos *big.Float) {
	turn := newBig().Mul(bigOf(2), refPi)
	turns := math.Round(x / (2 * math.Pi))
	r := newBig().Sub(bigOf(x), newBig().Mul(bigOf(turns), turn))
	sin, cos = newBig(), newBig()
	term := bigOf(1)
	for n := 0; n < 100; n++ {
		switch n % 4 {
		case 0:
			cos.Add(cos, term)
		case 1:
			sin.Add(sin, term)
		case 2:
			cos.Sub(cos, term)
		case 3:
			sin.Sub(sin, term)
		}
		term.Mul(term, r)
		term.Quo(term, bigOf(float64(n+1)))
	}
	return sin, cos
}

func refSin(x float64) *big.Float { s, _ := refSinCos(x); return s }
func refCos(x float64) *big.Float { _, c := refSinCos(x); return c }

// refAngle returns the angle of the point (x, y): the ratio is halved three
// times by tan(a/2) = t/(1 + √(1 + t²)) before the series.
func refAngle(y, x *big.Float) *big.Float {
	switch {
	case y.Sign() < 0:
		return newBig().Neg(refAngle(newBig().Neg(y), x))
	case x.Sign() < 0:
		return newBig().Sub(refPi, refAngle(y, newBig().Neg(x)))
	case x.Cmp(y) < 0:
		return newBig().Sub(newBig().Quo(refPi, bigOf(2)), refAngle(x, y))
	}
	t := newBig().Quo(y, x)
	for range 3 {
		root := newBig().Add(bigOf(1), newBig().Mul(t, t))
		root.Sqrt(root)
		t.Quo(t, root.Add(root, bigOf(1)))
	}
	return newBig().Mul(bigOf(8), refAtanSeries(t, -1))
}

func refAtan2(y, x float64) *big.Float { return refAngle(bigOf(y), bigOf(x)) }
func refAtan(x float64) *big.Float     { return refAtan2(x, 1) }

// refCofactor returns √(1 − x²).
func refCofactor(x float64) *big.Float {
	c := newBig().Sub(bigOf(1), newBig().Mul(bigOf(x), bigOf(x)))
	return c.Sqrt(c)
}

func refAsin(x float64) *big.Float { return refAngle(bigOf(x), refCofactor(x)) }
func refAcos(x float64) *big.Float { return refAngle(refCofactor(x), bigOf(x)) }

// ulps returns |got − want| in units of the last place of want.
func ulps(got float64, want *big.Float) float64 {
	w, _ := want.Float64()
	if math.IsNaN(got) || math.IsInf(got, 0) {
		return math.Inf(1)
	}
	w = math.Abs(w)
	unit := math.Nextafter(w, math.Inf(1)) - w
	d, _ := newBig().Quo(newBig().Sub(bigOf(got), want), bigOf(unit)).Float64()
	return math.Abs(d)
}

// source returns a fixed stream of test points, apart from the package's own.
func source(n uint64) *rand.Rand { return rand.New(rand.NewPCG(20240501, n)) }

// between returns a draw that is even over lo … hi.
func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// spread returns a draw of either sign whose logarithm is even over lo … hi.
func spread(r *rand.Rand, lo, hi float64) float64 {
	x := math.Exp(between(r, math.Log(lo), math.Log(hi)))
	if r.Uint64()&1 == 0 {
		return -x
	}
	return x
}
