package pilot

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
)

// Goal: the ex-Gaussian is the one of the books. Method: moments by their closed
// forms (mean μ+τ, variance σ²+τ², skew 2τ³/(σ²+τ²)^1.5; Luce 1986) and
// quantiles computed beforehand with high precision for μ = 300, σ = 30,
// τ = 100 ms.
func TestExGaussClosedForm(t *testing.T) {
	d := ExGauss{Mu: 0.300, Sigma: 0.030, Tau: 0.100}
	assert.InDelta(t, 0.400, d.Mean(), 1e-12)
	assert.InDelta(t, 0.1044031, d.SD(), 1e-7)
	assert.InDelta(t, 1.757479, d.Skew(), 1e-6)
	assert.InDelta(t, 0.8584355, d.CDF(0.500), 1e-7)
	for _, c := range []struct{ p, want float64 }{
		{.05, .2845824}, {.5, .3736632}, {.95, .6040732}, {.99, .7650170}, // far out .3 + .1·(.045 + ln 20) = .60407323
	} {
		assert.InDelta(t, c.want, d.Quantile(c.p), 1e-7, "quantile %g", c.p)
	}
	h := 1e-5
	assert.InEpsilon(t, (d.CDF(0.4+h)-d.CDF(0.4-h))/(2*h), d.Density(0.4), 1e-6, "density is the slope of the CDF")
}

// Goal: the sampler draws from that distribution. Method: 200,000 draws against
// the closed forms; tolerances are four standard errors or more.
func TestExGaussSampler(t *testing.T) {
	d := ExGauss{Mu: 0.300, Sigma: 0.030, Tau: 0.100}
	const n = 200_000
	stream := kernel.NewStream("test-response")
	var m1, m2, m3 float64
	limits := []struct {
		p, x  float64
		below int
	}{{.05, .2845824, 0}, {.5, .3736632, 0}, {.95, .6040732, 0}, {.99, .7650170, 0}}
	for i := range uint64(n) {
		x := d.Sample(7, stream, i)
		y := x - 0.4
		m1, m2, m3 = m1+x, m2+y*y, m3+y*y*y
		for k := range limits {
			if x < limits[k].x {
				limits[k].below++
			}
		}
	}
	assert.InDelta(t, 0.400, m1/n, 0.001)
	assert.InDelta(t, 0.1044031, math.Sqrt(m2/n), 0.001)
	assert.InDelta(t, 1.757479, m3/n/math.Pow(m2/n, 1.5), 0.1)
	for _, l := range limits {
		assert.InDelta(t, l.p, float64(l.below)/n, 4*math.Sqrt(l.p*(1-l.p)/n), "share below the quantile %g", l.p)
	}
	assert.Equal(t, d.Sample(7, stream, 3), d.Sample(7, stream, 3), "same counter, same draw")
	assert.NotEqual(t, d.Sample(7, stream, 3), d.Sample(8, stream, 3), "another seed, another draw")
}

// detectionTimes reads the answers (s) of the detection response task, or skips
// the test where the measurements are not at hand.
func detectionTimes(t *testing.T) []float64 {
	path := filepath.Join("..", "..", "..", "shared", "data", "reaction", "detection.csv")
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skipf("skipped: the measured response times %s are not here (a detection response task, 20 subjects; not part of this module)", path)
	}
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var rt, hit int
	for i, name := range rows[0] {
		switch name {
		case "rt_ms":
			rt = i
		case "hit":
			hit = i
		}
	}
	var times []float64
	for _, row := range rows[1:] {
		ms, err := strconv.ParseFloat(row[rt], 64)
		require.NoError(t, err)
		if row[hit] == "1" && ms >= 100 && ms <= 1000 {
			times = append(times, ms/1000)
		}
	}
	return times
}

// Goal: the constants carried in code are what the measurements say. Method:
// greatest likelihood by coordinate search from a far start.
func TestDetectionFitsMeasurements(t *testing.T) {
	times := detectionTimes(t)
	require.Greater(t, len(times), 5000)
	got := fitExGauss(times)
	t.Logf("n = %d, fitted mu %.4f sigma %.4f tau %.4f s", len(times), got.Mu, got.Sigma, got.Tau)
	assert.InEpsilon(t, got.Mu, Detection.Mu, 0.02)
	assert.InEpsilon(t, got.Sigma, Detection.Sigma, 0.05)
	assert.InEpsilon(t, got.Tau, Detection.Tau, 0.03)
}

// fitExGauss maximises the likelihood by stepping each parameter by a share
// that shrinks once no step helps.
func fitExGauss(times []float64) ExGauss {
	count := map[float64]float64{}
	for _, x := range times {
		count[x]++
	}
	cost := func(d ExGauss) (sum float64) {
		for x, n := range count {
			sum -= n * math.Log(math.Max(d.Density(x), 1e-300))
		}
		return sum
	}
	best := ExGauss{Mu: 0.2, Sigma: 0.05, Tau: 0.1}
	least := cost(best)
	for step := 0.2; step > 1e-5; {
		improved := false
		for i := range 6 {
			try, k := best, 1+step
			if i%2 == 1 {
				k = 1 / k
			}
			switch i / 2 {
			case 0:
				try.Mu *= k
			case 1:
				try.Sigma *= k
			case 2:
				try.Tau *= k
			}
			if c := cost(try); c < least {
				best, least, improved = try, c, true
			}
		}
		if !improved {
			step /= 2
		}
	}
	return best
}
