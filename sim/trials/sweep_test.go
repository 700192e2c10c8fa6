package trials_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/trials"
)

var axes = []trials.Axis{{Of: trials.OfLaw, Key: "a", From: 2, To: 4, Steps: 3}, {Of: trials.OfCraft, Key: "b", From: -1, To: 1, Steps: 2}}

// Goal: a grid is every step with every step, both ends among them, the last axis
// changing fastest; without axes there is one point at which nothing is changed.
func TestGrid(t *testing.T) {
	s := trials.Sweep{Design: trials.Grid, Axes: axes}
	var got [][2]float64
	for _, p := range s.Settings() {
		got = append(got, [2]float64{p[0].Value, p[1].Value})
	}
	assert.Equal(t, [][2]float64{{2, -1}, {2, 1}, {3, -1}, {3, 1}, {4, -1}, {4, 1}}, got)
	assert.Equal(t, [][]trials.Setting{nil}, (&trials.Sweep{}).Settings())
	assert.Equal(t, "craft.b=-1", s.Settings()[0][1].String())
}

// Goal: drawn points stay between the ends, are the same for the same draw, and
// the low-discrepancy ones fill the square more evenly. Method: 256 points; the
// star discrepancy over the corners of a 16 × 16 grid, which for drawn points is
// near 1/√n and for a Halton sequence near (log n)²/n: J. H. Halton, "On the
// efficiency of certain quasi-random sequences of points", Numerische Mathematik
// 2, 1960.
func TestDrawnPoints(t *testing.T) {
	worst := map[trials.Design]float64{}
	for _, design := range []trials.Design{trials.Random, trials.LowDiscrepancy} {
		s := trials.Sweep{Design: design, Axes: axes, Points: 256, Draw: 5}
		points := s.Settings()
		require.Len(t, points, 256)
		assert.Equal(t, points, s.Settings(), "the same draw")
		s.Draw = 6
		assert.NotEqual(t, points, s.Settings(), "another")
		for i := 1; i <= 16; i++ {
			for j := 1; j <= 16; j++ {
				x, y, inside := float64(i)/16, float64(j)/16, 0.0
				for _, p := range points {
					u, v := (p[0].Value-2)/2, (p[1].Value+1)/2
					require.True(t, u >= 0 && u <= 1 && v >= 0 && v <= 1)
					if u < x && v < y {
						inside++
					}
				}
				worst[design] = math.Max(worst[design], math.Abs(inside/256-x*y))
			}
		}
	}
	assert.Less(t, worst[trials.LowDiscrepancy], 0.025)
	assert.Greater(t, worst[trials.Random], 1.5*worst[trials.LowDiscrepancy])
}
