package kernel

import (
	"hash/fnv"
	"math"
	"math/bits"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

var testStream = NewStream("test")

// walks are the ways in which a simulation moves through the counters. Each
// must look like independent draws, so each is tested by the same measures.
var walks = []struct {
	name string
	bits func(i int) uint64
}{
	{"index", func(i int) uint64 { return Bits(1, testStream, 7, uint64(i)) }},
	{"tick", func(i int) uint64 { return Bits(1, testStream, int64(i), 0) }},
	{"seed", func(i int) uint64 { return Bits(uint64(i), testStream, 0, 0) }},
	{"small streams", func(i int) uint64 { return Bits(1, Stream(i), 0, 0) }},
	{"tick and index together", func(i int) uint64 { return Bits(1, testStream, int64(i), uint64(i)) }},
	{"tick down, index up", func(i int) uint64 { return Bits(1, testStream, int64(-i), uint64(i)) }},
	{"six per tick", func(i int) uint64 { return Bits(1, testStream, int64(i/6), uint64(i%6)) }},
	{"seed and tick together", func(i int) uint64 { return Bits(uint64(i), testStream, int64(i), 0) }},
}

const walkLength = 100000

// uniformOf maps bits as Uniform does.
func uniformOf(b uint64) float64 { return (float64(b>>12) + 0.5) * 0x1p-52 }

// Goal: uniforms have mean ½ and variance 1/12, the right distribution and no
// serial correlation along every walk. Method: bounds at 5 standard errors;
// Kolmogorov-Smirnov distance below 1.95/√n (its 0.1 % point).
func TestUniformWalks(t *testing.T) {
	for _, w := range walks {
		t.Run(w.name, func(t *testing.T) {
			n := float64(walkLength)
			u := make([]float64, walkLength)
			for i := range u {
				u[i] = uniformOf(w.bits(i))
			}
			mean, variance := stat.MeanVariance(u, nil)
			assert.InDelta(t, 0.5, mean, 5*math.Sqrt(1/12.0/n))
			assert.InDelta(t, 1/12.0, variance, 5*math.Sqrt(1/180.0/n)) // var of (u−½)² is 1/180
			for _, lag := range []int{1, 2, 3, 6, 1000} {
				assert.InDelta(t, 0, stat.Correlation(u[lag:], u[:walkLength-lag], nil), 5/math.Sqrt(n), "lag %d", lag)
			}
			assert.Less(t, ksDistance(u, func(x float64) float64 { return x }), 1.95/math.Sqrt(n))
		})
	}
}

// ksDistance returns the largest gap between the sample and the distribution; it
// sorts a copy.
func ksDistance(sample []float64, cdf func(float64) float64) float64 {
	s := append([]float64(nil), sample...)
	sort.Float64s(s)
	n, d := float64(len(s)), 0.0
	for i, x := range s {
		c := cdf(x)
		d = max(d, c-float64(i)/n, float64(i+1)/n-c)
	}
	return d
}

// Goal: every output bit is set half of the time along every walk, and every
// bit of every input word flips every output bit half of the time (avalanche).
func TestBitsBalanceAndAvalanche(t *testing.T) {
	for _, w := range walks {
		var ones [64]int
		for i := range walkLength {
			b := w.bits(i)
			for k := range ones {
				ones[k] += int(b >> k & 1)
			}
		}
		for k, c := range ones {
			// 6 standard deviations of a fair coin: √n/2 each.
			assert.InDelta(t, walkLength/2, c, 3*math.Sqrt(walkLength), "%s, bit %d", w.name, k)
		}
	}
	const trials = 2000
	for word := range 4 {
		for bit := range 64 {
			flips := 0
			for i := range trials {
				in := [4]uint64{uint64(i), uint64(testStream), uint64(3 * i), uint64(i % 7)}
				a := Bits(in[0], Stream(in[1]), int64(in[2]), in[3])
				in[word] ^= 1 << bit
				flips += bits.OnesCount64(a ^ Bits(in[0], Stream(in[1]), int64(in[2]), in[3]))
			}
			assert.InDelta(t, 32, float64(flips)/trials, 6*4/math.Sqrt(trials), "word %d bit %d", word, bit)
		}
	}
}

// Goal: no two counters in the box that a simulation uses give the same bits.
// Method: 2^20 counters; for a random function the chance of one clash is 3e-8.
func TestBitsNoClash(t *testing.T) {
	seen := make(map[uint64]struct{}, 1<<20)
	streams := []Stream{NewStream("gust"), NewStream("gyro"), NewStream("a"), NewStream("b"), NewStream(""), Stream(0), Stream(1), Stream(2)}
	for seed := range uint64(8) {
		for _, s := range streams {
			for tick := range int64(256) {
				for index := range uint64(64) {
					seen[Bits(seed, s, tick, index)] = struct{}{}
				}
			}
		}
	}
	assert.Len(t, seen, 1<<20)
}

// Goal: streams, ticks and indices are independent of each other, also after
// the map to normals. Method: correlation of 1e5 pairs, bound 5/√n.
func TestNormalIndependence(t *testing.T) {
	other := NewStream("other")
	pairs := []struct {
		name string
		b    func(i int) float64
	}{
		{"next index", func(i int) float64 { return Normal(1, testStream, int64(i), 1) }},
		{"next tick", func(i int) float64 { return Normal(1, testStream, int64(i)+1, 0) }},
		{"other stream", func(i int) float64 { return Normal(1, other, int64(i), 0) }},
		{"next seed", func(i int) float64 { return Normal(2, testStream, int64(i), 0) }},
	}
	a, b := make([]float64, walkLength), make([]float64, walkLength)
	for _, p := range pairs {
		for i := range a {
			a[i], b[i] = Normal(1, testStream, int64(i), 0), p.b(i)
		}
		assert.InDelta(t, 0, stat.Correlation(a, b, nil), 5/math.Sqrt(walkLength), p.name)
		for i := range a {
			a[i], b[i] = a[i]*a[i], b[i]*b[i]
		}
		assert.InDelta(t, 0, stat.Correlation(a, b, nil), 5/math.Sqrt(walkLength), "%s, squares", p.name)
	}
}

// Goal: normal and exponential numbers have the moments and the distribution of
// their names. Method: n = 4e5; standard errors from the exact moments: normal
// x, x², x³, x⁴ have variances 1, 2, 15, 96; exponential x, x² have 1, 20.
func TestNormalAndExponentialMoments(t *testing.T) {
	const n = 400000
	x, e := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i] = Normal(3, testStream, int64(i), 5)
		e[i] = Exponential(3, testStream, int64(i), 6)
	}
	moment := func(v []float64, power float64) float64 {
		sum := 0.0
		for _, y := range v {
			sum += math.Pow(y, power)
		}
		return sum / n
	}
	cases := []struct {
		name                string
		v                   []float64
		power, want, spread float64
	}{
		{"normal mean", x, 1, 0, 1}, {"normal variance", x, 2, 1, 2},
		{"normal skew", x, 3, 0, 15}, {"normal kurtosis", x, 4, 3, 96},
		{"exponential mean", e, 1, 1, 1}, {"exponential square", e, 2, 2, 20},
	}
	for _, c := range cases {
		assert.InDelta(t, c.want, moment(c.v, c.power), 4.5*math.Sqrt(c.spread/n), c.name)
	}
	assert.Less(t, ksDistance(x, distuv.UnitNormal.CDF), 1.95/math.Sqrt(n))
	assert.Less(t, ksDistance(e, func(y float64) float64 { return 1 - math.Exp(-y) }), 1.95/math.Sqrt(n))
}

// Goal: Uniform never gives 0 or 1, so Normal and Exponential are always finite.
// Method: the two ends of the map by hand.
func TestUniformOpenInterval(t *testing.T) {
	low, high := uniformOf(0), uniformOf(math.MaxUint64)
	assert.Positive(t, low)
	assert.Less(t, high, 1.0)
	assert.Equal(t, 1-high, low)
	assert.Equal(t, -NormalInv(low), NormalInv(high))
	assert.InDelta(t, 8.2, NormalInv(high), 0.1)
	for i := range 1000 {
		assert.Equal(t, uniformOf(Bits(9, testStream, 4, uint64(i))), Uniform(9, testStream, 4, uint64(i)))
	}
}

// Goal: the name hash is FNV-1a, mixed; package hash/fnv is the reference.
func TestNewStream(t *testing.T) {
	for _, name := range []string{"", "gust", "gyro noise", "±"} {
		h := fnv.New64a()
		h.Write([]byte(name))
		assert.Equal(t, Stream(mix(h.Sum64())), NewStream(name), name)
	}
}

// Goal: Normal3 of neighbouring indices share no number.
func TestNormal3Indices(t *testing.T) {
	a, b := Normal3(1, testStream, 2, 0), Normal3(1, testStream, 2, 1)
	assert.Equal(t, Vec3{Normal(1, testStream, 2, 0), Normal(1, testStream, 2, 1), Normal(1, testStream, 2, 2)}, a)
	assert.Equal(t, Vec3{Normal(1, testStream, 2, 3), Normal(1, testStream, 2, 4), Normal(1, testStream, 2, 5)}, b)
}

// Goal: NormalInv and NormalCDF agree with gonum's quantile and math.Erfc, and with
// each other into the far tails.
func TestNormalInvAndCDF(t *testing.T) {
	for i := 1; i < 100000; i++ {
		p := float64(i) / 100000
		assertClose(t, NormalInv(p), mathext.NormalQuantile(p), 1e-14, 1e-15, "NormalInv(%v)", p)
	}
	for x := -37.0; x <= 9; x += 0.01 {
		p := NormalCDF(x)
		assertClose(t, p, 0.5*math.Erfc(-x/math.Sqrt2), 3e-13, 0, "NormalCDF(%v)", x)
		if x < 5 && p > 1e-300 {
			// Near p = 1 a last place of p moves x by ulp(p)/density.
			slack := 0x1p-52 * p / (math.Exp(-x*x/2) / math.Sqrt(2*math.Pi))
			assertClose(t, NormalInv(p), x, 1e-13, slack, "NormalInv(NormalCDF(%v))", x)
		}
	}
	// Wichura 1988, check values of PPND16, from memory.
	assert.InDelta(t, -0.6744897501960817, NormalInv(0.25), 1e-15)
	assert.InDelta(t, -3.090232306167814, NormalInv(0.001), 1e-14)
	assert.InDelta(t, -9.262340089798408, NormalInv(1e-20), 1e-13)
}

// assertClose fails where got is off want by more than rel·|want| + abs.
func assertClose(t *testing.T, got, want, rel, abs float64, format string, args ...any) {
	t.Helper()
	if !(math.Abs(got-want) <= rel*math.Abs(want)+abs) {
		assert.Failf(t, "not close", format+": got %v, want %v", append(args, got, want)...)
	}
}
