package kernel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// advance takes n equal steps from 0 to end and returns y.
func advance(f Slope, y []float64, end float64, n int) []float64 {
	y = append([]float64(nil), y...)
	h := end / float64(n)
	for i := range n {
		RungeKutta(f, h*float64(i), h, y)
	}
	return y
}

// Goal: the published test problems for solvers of differential equations, of
// one equation and of small systems, to 1e-8 at t = 20. A step taken at the wrong
// time, a stage from the wrong point or a wrong weight fails all of them.
// Source: T. E. Hull, W. H. Enright, B. M. Fellen and A. E. Sedgwick, "Comparing
// numerical methods for ordinary differential equations", SIAM J. Numer. Anal.
// 9(4), 1972, pp. 603–637, problems A1–A5 and B1–B5; values at 20 from closed
// forms where there are any, else computed to 1e-13 with an 8th-order method.
func TestRungeKuttaPublishedProblems(t *testing.T) {
	for _, p := range []struct {
		name string
		y    []float64
		f    Slope
		want []float64
		tol  float64
	}{
		{"A1 decay", []float64{1}, func(_ float64, y, dy []float64) { dy[0] = -y[0] }, []float64{2.061153622e-9}, 1e-15},
		{"A2 a cube", []float64{1}, func(_ float64, y, dy []float64) { dy[0] = -y[0] * y[0] * y[0] / 2 }, []float64{.2182178902}, 1e-9},
		{"A3 in time", []float64{1}, func(t float64, y, dy []float64) { dy[0] = y[0] * math.Cos(t) }, []float64{2.4916502719}, 1e-8},
		{"A4 growth", []float64{1}, func(_ float64, y, dy []float64) { dy[0] = y[0] / 4 * (1 - y[0]/20) }, []float64{17.7301664813}, 1e-8},
		{"A5 spiral", []float64{4}, func(t float64, y, dy []float64) { dy[0] = (y[0] - t) / (y[0] + t) }, []float64{-.7887826689}, 1e-8},
		{"B1 prey and hunters", []float64{1, 3}, func(_ float64, y, dy []float64) {
			dy[0], dy[1] = 2*(y[0]-y[0]*y[1]), -(y[1] - y[0]*y[1])
		}, []float64{.6761876, .18608161}, 1e-7}, // printed to 7 and 8 digits
		{"B2 linear", []float64{2, 0, 1}, func(_ float64, y, dy []float64) {
			dy[0], dy[1], dy[2] = -y[0]+y[1], y[0]-2*y[1]+y[2], y[1]-y[2]
		}, []float64{1, 1, 1}, 1e-8},
		{"B3 reaction", []float64{1, 0, 0}, func(_ float64, y, dy []float64) {
			dy[0], dy[1], dy[2] = -y[0], y[0]-y[1]*y[1], y[1]*y[1]
		}, []float64{2.0612e-9, .0525722802, .947427718}, 1e-9},
		{"B4 on a torus", []float64{3, 0, 0}, func(_ float64, y, dy []float64) {
			r := math.Hypot(y[0], y[1])
			dy[0], dy[1], dy[2] = -y[1]-y[0]*y[2]/r, y[0]-y[1]*y[2]/r, y[0]/r
		}, []float64{.98269509, 2.19844708, .91294525}, 1e-8},
		{"B5 rigid body", []float64{0, 1, 1}, func(_ float64, y, dy []float64) {
			dy[0], dy[1], dy[2] = y[1]*y[2], -y[0]*y[2], -0.51*y[0]*y[1]
		}, []float64{-0.9396570798729, -0.3421177754001, 0.7414126596200}, 1e-11},
	} {
		got := advance(p.f, p.y, 20, 20000)
		assert.InDeltaSlice(t, p.want, got, p.tol, "%s: %v", p.name, got)
	}
}

// kepler is the motion about a fixed centre of unit strength: place x, y and
// velocity.
func kepler(_ float64, y, dy []float64) {
	r2 := y[0]*y[0] + y[1]*y[1]
	r3 := r2 * math.Sqrt(r2)
	dy[0], dy[1], dy[2], dy[3] = y[2], y[3], -y[0]/r3, -y[1]/r3
}

// Goal: orbits of growing eccentricity come out where Kepler's equation says, to
// 1e-8 at t = 20, three turns and a bit. The steps are as many as that takes: the
// narrow orbits turn fast near the centre.
// Source: Hull and others 1972 (as above), problems D1–D5, start (1−e, 0) with
// speed √((1+e)/(1−e)) across; place at 20 from E − e·sin E = 20, computed again
// here by Newton's rule.
func TestRungeKuttaKepler(t *testing.T) {
	for _, p := range []struct {
		e, x, y float64
		steps   int
	}{
		{.1, .2198835352, .9427076846, 20_000},
		{.3, -.1777027357, .9467784720, 20_000},
		{.5, -.5780432953, .8633840009, 20_000},
		{.7, -.9538990293, .6907409024, 40_000},
		{.9, -1.2952662510, .4003938964, 400_000},
	} {
		angle := 20.0
		for range 50 {
			angle -= (angle - p.e*math.Sin(angle) - 20) / (1 - p.e*math.Cos(angle))
		}
		assert.InDelta(t, p.x, math.Cos(angle)-p.e, 1e-10, "e = %v", p.e)
		assert.InDelta(t, p.y, math.Sqrt(1-p.e*p.e)*math.Sin(angle), 1e-10, "e = %v", p.e)

		got := advance(kepler, []float64{1 - p.e, 0, 0, math.Sqrt((1 + p.e) / (1 - p.e))}, 20, p.steps)
		assert.InDelta(t, p.x, got[0], 1e-8, "e = %v", p.e)
		assert.InDelta(t, p.y, got[1], 1e-8, "e = %v", p.e)
	}
}

// Goal: the periodic orbit of a small body between earth and moon closes. It
// passes the moon so near that errors grow by many powers of ten, so equal
// steps, which is what there is here, must be many.
// Source: R. F. Arenstorf's orbit as in Hairer, Nørsett and Wanner, Solving
// Ordinary Differential Equations I, 2nd ed. 1993, pp. 129–130 (start, mass ratio
// and period).
func TestRungeKuttaThreeBodies(t *testing.T) {
	const mu, period = 0.012277471, 17.0652165601579625588917206249
	f := func(_ float64, y, dy []float64) {
		d1 := math.Pow((y[0]+mu)*(y[0]+mu)+y[1]*y[1], 1.5)
		d2 := math.Pow((y[0]-1+mu)*(y[0]-1+mu)+y[1]*y[1], 1.5)
		dy[0], dy[1] = y[2], y[3]
		dy[2] = y[0] + 2*y[3] - (1-mu)*(y[0]+mu)/d1 - mu*(y[0]-1+mu)/d2
		dy[3] = y[1] - 2*y[2] - (1-mu)*y[1]/d1 - mu*y[1]/d2
	}
	start := []float64{0.994, 0, 0, -2.00158510637908252240537862224}
	assert.InDeltaSlice(t, start, advance(f, start, period, 200_000), 1e-4)
}

// Goal: errors on y' = −y and on the oscillator are those of the method, to the
// digits given, so its order is four and not merely near it.
// Source: the method's stability polynomial 1 + z + z²/2 + z³/6 + z⁴/24.
func TestRungeKuttaOrder(t *testing.T) {
	decay := func(_ float64, y, dy []float64) { dy[0] = -y[0] }
	for n, want := range map[int]float64{5: 5.796954e-6, 10: 3.332411e-7, 20: 1.997610e-8, 40: 1.222742e-9} {
		assert.InEpsilon(t, want, advance(decay, []float64{1}, 1, n)[0]-math.Exp(-1), 1e-5, "%d steps", n)
	}
	turn := func(_ float64, y, dy []float64) { dy[0], dy[1] = y[1], -y[0] }
	for n, want := range map[int]float64{100: 2.6656e-4, 200: 1.6665e-5, 400: 1.0416e-6, 800: 6.5104e-8} {
		y := advance(turn, []float64{1, 0}, 20, n)
		assert.InEpsilon(t, want, math.Hypot(y[0]-math.Cos(20), y[1]+math.Sin(20)), 2e-4, "%d steps", n)
	}
}
