package tally

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
)

// Data of Efron and Tibshirani, An Introduction to the Bootstrap, 1993, from
// memory: tables 3.1 (law schools), 2.1 (mice), 14.1 (spatial test, A).
var (
	lawTest  = []float64{576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594}
	lawGrade = []float64{3.39, 3.30, 2.81, 3.03, 3.44, 3.07, 3.00, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96}
	control  = []float64{52, 104, 146, 10, 51, 30, 40, 27, 46}
	spatial  = []float64{48, 36, 20, 29, 42, 42, 20, 42, 22, 41, 45, 14, 6, 0, 33, 28, 34, 4, 32, 24, 47, 41, 24, 26, 30, 41}
)

func picked(from []float64, places []int) []float64 {
	some := make([]float64, len(places))
	for i, place := range places {
		some[i] = from[place]
	}
	return some
}

// Goal: a figure of pairs keeps its pairs. Method: the correlation of the law
// schools, .776, whose bootstrap standard error is about .134 (200 000 drawings),
// and the control mice, whose ideal standard error of the mean is 13.35.
func TestStandardErrors(t *testing.T) {
	const drawings = 10000
	law := Resample(len(lawTest), drawings, 1, func(places []int) float64 {
		return stat.Correlation(picked(lawTest, places), picked(lawGrade, places), nil)
	})
	assert.InDelta(t, 0.776374, law.Figure, 5e-7)
	assert.InEpsilon(t, 0.1339, law.StandardError(), 0.02)
	mice := Resample(len(control), drawings, 2, func(places []int) float64 { return stat.Mean(picked(control, places), nil) })
	assert.InEpsilon(t, 13.3489, mice.StandardError(), 0.02)
}

// Goal: the intervals are those of print. Method: the variance of the spatial test
// scores, 171.5, at 90 %: percentile 100.8 to 233.9, corrected 115.8 to 259.6, with
// an acceleration of .061 (Efron and Tibshirani, table 14.2 and section 14.3, from
// memory; theirs are of 2000 drawings, ours of 20 000).
func TestIntervals(t *testing.T) {
	variance := Resample(len(spatial), 20000, 3, func(places []int) float64 {
		some := picked(spatial, places)
		return stat.PopVariance(some, nil)
	})
	assert.InDelta(t, 171.5, variance.Figure, 0.05)
	assert.InDelta(t, 0.061, variance.skew, 5e-4)
	plain, corrected := variance.Percentile(0.90), variance.Corrected(0.90)
	assert.InDelta(t, 100.8, plain.Low, 4) // twice the scatter of that end with 2000 drawings
	assert.InDelta(t, 233.9, plain.High, 4)
	assert.InDelta(t, 115.8, corrected.Low, 4)
	assert.InDelta(t, 259.6, corrected.High, 6)
}

// Goal: the same seed draws the same, another seed another; a figure that never
// changes has an interval of no width.
func TestDrawing(t *testing.T) {
	mean := func(places []int) float64 { return stat.Mean(picked(control, places), nil) }
	a, b, c := Resample(9, 500, 7, mean), Resample(9, 500, 7, mean), Resample(9, 500, 8, mean)
	assert.Equal(t, a, b)
	assert.NotEqual(t, a.Drawn, c.Drawn)
	same := Resample(9, 50, 1, func([]int) float64 { return 4 })
	assert.Equal(t, Interval{4, 4}, same.Corrected(0.95))
	assert.False(t, math.IsNaN(same.StandardError()))
	assert.Panics(t, func() { Resample(1, 10, 1, mean) })
}
