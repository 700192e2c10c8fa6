package tally

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// Goal: the score interval is that of print. Method: R. G. Newcombe, Statistics in
// Medicine 17, 1998, 857–872, table I (from memory), and a quadratic solved by
// another road: each end p of the interval satisfies |p̂ − p| = z √(p(1 − p)/n).
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		some, all int
		low, high float64
	}{
		{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718},
	} {
		got := Share{c.some, c.all}.Wilson(0.95)
		assert.InDelta(t, c.low, got.Low, 5e-5, "%d/%d", c.some, c.all) // four digits in print
		assert.InDelta(t, c.high, got.High, 5e-5, "%d/%d", c.some, c.all)
	}
	z := distuv.UnitNormal.Quantile(0.95)
	for _, s := range []Share{{5, 5}, {8, 10}, {10, 10}, {0, 3}, {7, 20}, {199, 200}} {
		got, n := s.Wilson(0.90), float64(s.All)
		for _, end := range []float64{got.Low, got.High} {
			assert.InDelta(t, 0, math.Abs(s.Of()-end)*(math.Abs(s.Of()-end)-z*math.Sqrt(end*(1-end)/n)), 1e-12, "%v at %v", s, end)
		}
	}
	assert.Equal(t, Interval{0, 1}, Share{}.Wilson(0.95))
	assert.Panics(t, func() { Share{3, 2}.Wilson(0.95) })
	assert.Panics(t, func() { Share{1, 2}.Wilson(95) })
}

// Goal: what a clean sheet shows. Method: the numbers of tries without a failure
// that demonstrate a rate at a confidence, n = ln(1 − C)/ln R rounded up
// (reliability demonstration, NIST/SEMATECH e-Handbook, section 8.3.1; table from
// memory), and the rule of three of Hanley and Lippman-Hand 1983.
func TestAtLeast(t *testing.T) {
	for _, c := range []struct {
		rate, confidence float64
		n                int
	}{{0.90, 0.90, 22}, {0.95, 0.90, 45}, {0.90, 0.95, 29}, {0.95, 0.95, 59}, {0.99, 0.90, 230}, {0.99, 0.95, 299}} {
		assert.GreaterOrEqual(t, AtLeast(c.n, c.confidence), c.rate)
		assert.Less(t, AtLeast(c.n-1, c.confidence), c.rate)
	}
	for _, n := range []int{100, 1000, 10000} {
		assert.InEpsilon(t, 3/float64(n), 1-AtLeast(n, 0.95), 0.02)
	}
	assert.Zero(t, AtLeast(0, 0.9))
}

// Goal: paired shares as in print. Method: airway hyper-responsiveness before and
// after a stem cell transplantation, 1, 1, 7, 12 (M. W. Fagerland, S. Lydersen and
// P. Laake, "Recommended tests and confidence intervals for paired binomial
// proportions", Statistics in Medicine 33, 2014, from memory: difference −0.286,
// Newcombe −0.507 to −0.026, exact McNemar 0.070) and 14, 5, 0, 22 (D. G. Altman
// and others, Statistics with Confidence, 2nd edition, 2000, table 6.2, from
// memory: 0.122, 0.01 to 0.23).
func TestPairs(t *testing.T) {
	p := Pairs{Both: 1, First: 1, Second: 7, Neither: 12}
	assert.InDelta(t, -0.286, p.Difference(), 5e-4)
	assert.InDelta(t, -0.507, p.Newcombe(0.95).Low, 5e-4)
	assert.InDelta(t, -0.026, p.Newcombe(0.95).High, 5e-4)
	assert.InDelta(t, 18.0/256, p.McNemar(), 1e-12) // twice (1 + 8) of 2⁸

	p = Pairs{Both: 14, First: 5, Neither: 22}
	assert.InDelta(t, 0.122, p.Difference(), 5e-4)
	assert.InDelta(t, 0.01, p.Newcombe(0.95).Low, 5e-3)
	assert.InDelta(t, 0.23, p.Newcombe(0.95).High, 5e-3)
	assert.InDelta(t, 2.0/32, p.McNemar(), 1e-12)

	assert.Equal(t, 1.0, Pairs{Both: 3, Neither: 4}.McNemar(), "none differs")
	assert.Equal(t, 1.0, Pairs{First: 2, Second: 2}.McNemar())
	assert.Equal(t, Interval{-1, 1}, Pairs{}.Newcombe(0.95))
}

// Goal: exchanging the two turns every figure about, and the exact probability is
// that of the binomial distribution. Method: many tables; gonum's binomial.
func TestPairsTurnedAbout(t *testing.T) {
	for _, p := range []Pairs{{10, 15, 5, 20}, {0, 3, 9, 1}, {40, 0, 0, 2}, {7, 25, 2, 68}, {0, 0, 0, 5}, {150, 30, 11, 9}} {
		q := Pairs{p.Both, p.Second, p.First, p.Neither}
		a, b := p.Newcombe(0.95), q.Newcombe(0.95)
		assert.InDelta(t, a.Low, -b.High, 1e-12)
		assert.InDelta(t, a.High, -b.Low, 1e-12)
		assert.LessOrEqual(t, a.Low, p.Difference())
		assert.GreaterOrEqual(t, a.High, p.Difference())
		assert.InDelta(t, p.McNemar(), q.McNemar(), 1e-12)
		if n := p.First + p.Second; n > 0 {
			tail := distuv.Binomial{N: float64(n), P: 0.5}.CDF(float64(min(p.First, p.Second)))
			assert.InDelta(t, math.Min(1, 2*tail), p.McNemar(), 1e-9)
		}
	}
}

// Goal: pairs are counted where they belong.
func TestAddPairs(t *testing.T) {
	var p Pairs
	for _, pair := range [][2]bool{{true, true}, {true, false}, {true, false}, {false, true}, {false, false}} {
		p.Add(pair[0], pair[1])
	}
	require.Equal(t, Pairs{Both: 1, First: 2, Second: 1, Neither: 1}, p)
}

// Goal: d′ with the log-linear correction. Method: 20 of 25 hits and 10 of 25 false
// alarms (H. Stanislaw and N. Todorov, "Calculation of signal detection theory
// measures", Behavior Research Methods 31(1), 1999, from memory: corrected rates
// .788 and .404); and what it is for: clean sheets stay finite and in order.
func TestSensitivity(t *testing.T) {
	normal := distuv.UnitNormal.Quantile
	got, ok := Detection{Share{20, 25}, Share{10, 25}}.Sensitivity()
	require.True(t, ok)
	assert.InDelta(t, normal(0.788)-normal(0.404), got, 5e-3) // three digits in print
	clean, _ := Detection{Share{8, 8}, Share{0, 4}}.Sensitivity()
	reflex, _ := Detection{Share{8, 8}, Share{3, 4}}.Sensitivity()
	missing, _ := Detection{Share{6, 8}, Share{0, 4}}.Sensitivity()
	assert.InDelta(t, normal(8.5/9)-normal(0.5/5), clean, 1e-9)
	assert.Greater(t, clean, missing)
	assert.Greater(t, missing, reflex)
	_, ok = Detection{Hits: Share{8, 8}}.Sensitivity()
	assert.False(t, ok, "without runs of nothing there is nothing to tell apart")
}

// Goal: times of which some were never seen to end. Method: the example of Kaplan
// and Meier 1958 (ends at 0.8, 3.1, 5.4, 9.2; losses at 1.0, 2.7, 7.0, 12.1; from
// memory: .875, .700, .525, .262) and remissions of leukaemia with 6-MP (E. J.
// Freireich and others, Blood 21, 1963, as in D. R. Cox, J. Royal Statistical
// Society B 34, 1972, from memory: .857, .807, .753, .690, .627, .538, .448, the
// median 23 weeks; of the placebo group 8).
func TestWaits(t *testing.T) {
	w := waits([]float64{0.8, 3.1, 5.4, 9.2}, []float64{1.0, 2.7, 7.0, 12.1})
	assert.Equal(t, 4, w.Came())
	for at, want := range map[float64]float64{0.5: 1, 0.8: 0.875, 3.1: 0.700, 6: 0.525, 9.2: 0.2625, 20: 0.2625} {
		assert.InDelta(t, want, w.Remaining(at), 1e-9, "at %v", at)
	}
	w = waits([]float64{6, 6, 6, 7, 10, 13, 16, 22, 23}, []float64{6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35})
	for at, want := range map[float64]float64{6: 0.857, 7: 0.807, 10: 0.753, 13: 0.690, 16: 0.627, 22: 0.538, 23: 0.448} {
		assert.InDelta(t, want, w.Remaining(at), 5e-4, "at %v", at)
	}
	median, ok := w.Percentile(0.5)
	assert.True(t, ok)
	assert.Equal(t, 23.0, median)
	_, ok = w.Percentile(0.95)
	assert.False(t, ok, "not reached while anybody was watched")

	placebo := waits([]float64{1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23}, nil)
	median, _ = placebo.Percentile(0.5)
	assert.Equal(t, 8.0, median)
	_, ok = Waits{}.Percentile(0.5)
	assert.False(t, ok)
}

func waits(came, watched []float64) (w Waits) {
	for _, s := range came {
		w = append(w, Wait{s, true})
	}
	for _, s := range watched {
		w = append(w, Wait{s, false})
	}
	return w
}

// Goal: many tests, one answer. Method: four probabilities worked by hand: .005 × 4,
// .01 × 3, .03 × 2, and .04, which may not fall below the one before it.
func TestHolm(t *testing.T) {
	got := Holm([]float64{0.01, 0.04, 0.03, 0.005})
	for i, want := range []float64{0.03, 0.06, 0.06, 0.02} {
		assert.InDelta(t, want, got[i], 1e-12)
	}
	assert.Equal(t, []float64{1, 1}, Holm([]float64{0.9, 0.6}))
	assert.Empty(t, Holm(nil))
}
