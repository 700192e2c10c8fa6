package sense

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The Allan deviation is the tool with which gyros and accelerometers are
// judged, so the tool itself is checked first. Method: W. J. Riley and D. A.
// Howe, Handbook of Frequency Stability Analysis, NIST SP 1065 (2008), equations
// 10 (classic), 11 (overlapping) and 14 (modified), for rates y at spacing tau0.

// allan returns the classic deviation at averages of m samples.
func allan(y []float64, m int) float64 {
	n := len(y) / m
	sum, last := 0.0, mean(y[:m])
	for i := 1; i < n; i++ {
		next := mean(y[i*m : (i+1)*m])
		sum += (next - last) * (next - last)
		last = next
	}
	return math.Sqrt(sum / (2 * float64(n-1)))
}

// allanOverlapping returns the overlapping deviation.
func allanOverlapping(y []float64, m int) float64 {
	x := phase(y)
	sum, n := 0.0, 0
	for i := 0; i+2*m < len(x); i++ {
		d := x[i+2*m] - 2*x[i+m] + x[i]
		sum += d * d
		n++
	}
	return math.Sqrt(sum / (2 * float64(m) * float64(m) * float64(n)))
}

// allanModified returns the modified deviation.
func allanModified(y []float64, m int) float64 {
	x := phase(y)
	sum, n := 0.0, 0
	for j := 0; j+3*m <= len(x); j++ {
		inner := 0.0
		for i := j; i < j+m; i++ {
			inner += x[i+2*m] - 2*x[i+m] + x[i]
		}
		sum += inner * inner
		n++
	}
	return math.Sqrt(sum / (2 * math.Pow(float64(m), 4) * float64(n)))
}

func phase(y []float64) []float64 {
	x := make([]float64, len(y)+1)
	for i, v := range y {
		x[i+1] = x[i] + v
	}
	return x
}

func mean(y []float64) float64 {
	sum := 0.0
	for _, v := range y {
		sum += v
	}
	return sum / float64(len(y))
}

// deviation returns the standard deviation about the mean.
func deviation(y []float64) float64 {
	m, sum := mean(y), 0.0
	for _, v := range y {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(len(y)-1))
}

// Goal: the helpers give the published values of the handbook's two test suites
// (section 12.4, tables 30 and 31).
func TestAllanHelpersAgainstNIST(t *testing.T) {
	nine := []float64{892, 809, 823, 798, 671, 644, 883, 903, 677}
	thousand := make([]float64, 1000)
	n := uint64(1234567890)
	for i := range thousand {
		thousand[i] = float64(n) / 2147483647
		n = 16807 * n % 2147483647
	}
	for _, c := range []struct {
		name string
		f    func([]float64, int) float64
		y    []float64
		m    int
		want float64
	}{
		{"classic 9 points", allan, nine, 1, 91.22945},
		{"classic 9 points", allan, nine, 2, 115.8082},
		{"overlapping 9 points", allanOverlapping, nine, 2, 85.95287},
		{"classic 1000", allan, thousand, 1, 2.922319e-1},
		{"classic 1000", allan, thousand, 10, 9.965736e-2},
		{"classic 1000", allan, thousand, 100, 3.897804e-2},
		{"overlapping 1000", allanOverlapping, thousand, 1, 2.922319e-1},
		{"overlapping 1000", allanOverlapping, thousand, 10, 9.159953e-2},
		{"overlapping 1000", allanOverlapping, thousand, 100, 3.241343e-2},
		{"modified 1000", allanModified, thousand, 1, 2.922319e-1},
		{"modified 1000", allanModified, thousand, 10, 6.172376e-2},
		{"modified 1000", allanModified, thousand, 100, 2.170921e-2},
	} {
		assert.InEpsilonf(t, c.want, c.f(c.y, c.m), 1e-6, "%s, m = %d", c.name, c.m)
	}
	assert.InDelta(t, 0.489774463, mean(thousand), 1e-9, "mean, table 31")
	assert.InDelta(t, 0.288466365, deviation(thousand), 1e-9, "standard deviation, table 31")
}
