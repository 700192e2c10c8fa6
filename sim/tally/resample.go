package tally

import (
	"math"
	"slices"

	"lapwing/dynamics/kernel"
)

// Bootstrap is a figure worked out from n things, and how it scatters when the
// things are drawn again with replacement. Things that belong together, such as
// the times of two pilots under one seed, are one thing: that keeps them paired.
type Bootstrap struct {
	Figure float64   // of the things as they are
	Drawn  []float64 // of each drawing, sorted
	skew   float64   // the acceleration, from leaving each thing out once
}

var streamDraw = kernel.NewStream("tally.draw")

// Resample works out figure for the things as they are and for so many drawings.
// figure is given the places of the things, 0 … n−1, some of them more than once;
// it must not keep the slice. The draws are a function of seed alone. B. Efron and
// R. J. Tibshirani, An Introduction to the Bootstrap, 1993.
func Resample(n, drawings int, seed uint64, figure func(places []int) float64) Bootstrap {
	if n < 2 || drawings < 1 {
		panic("tally: resampling needs two things and one drawing")
	}
	places := make([]int, n)
	for i := range places {
		places[i] = i
	}
	b := Bootstrap{Figure: figure(places), Drawn: make([]float64, drawings)}
	b.skew = acceleration(n, figure)
	for k := range b.Drawn {
		for i := range places {
			places[i] = int(kernel.Uniform(seed, streamDraw, int64(k), uint64(i)) * float64(n))
		}
		b.Drawn[k] = figure(places)
	}
	slices.Sort(b.Drawn)
	return b
}

// acceleration is the skewness of the figure as each thing is left out, over 6:
// Efron and Tibshirani, equation 14.15.
func acceleration(n int, figure func([]int) float64) float64 {
	left, mean := make([]float64, n), 0.0
	places := make([]int, n-1)
	for out := range n {
		for i := range places {
			places[i] = i
			if i >= out {
				places[i]++
			}
		}
		left[out] = figure(places)
		mean += left[out] / float64(n)
	}
	squares, cubes := 0.0, 0.0
	for _, x := range left {
		squares += (mean - x) * (mean - x)
		cubes += (mean - x) * (mean - x) * (mean - x)
	}
	if squares == 0 {
		return 0
	}
	return cubes / (6 * math.Pow(squares, 1.5))
}

// StandardError is the standard deviation of the drawn figures.
func (b *Bootstrap) StandardError() float64 {
	mean, squares := 0.0, 0.0
	for _, x := range b.Drawn {
		mean += x / float64(len(b.Drawn))
	}
	for _, x := range b.Drawn {
		squares += (x - mean) * (x - mean)
	}
	return math.Sqrt(squares / float64(len(b.Drawn)-1))
}

// Percentile returns the interval between the drawn figures that cut off as much
// on either side.
func (b *Bootstrap) Percentile(confidence float64) Interval {
	checkConfidence(confidence)
	return Interval{b.at(0.5 - confidence/2), b.at(0.5 + confidence/2)}
}

// Corrected returns the interval corrected for bias and skewness, BCa: Efron and
// Tibshirani, equations 14.9 to 14.15. It is never wider than what was drawn.
func (b *Bootstrap) Corrected(confidence float64) Interval {
	checkConfidence(confidence)
	below := 0.0
	for _, x := range b.Drawn {
		switch {
		case x < b.Figure:
			below++
		case x == b.Figure:
			below += 0.5 // figures that take few values tie
		}
	}
	n := float64(len(b.Drawn))
	bias := kernel.NormalInv(clamp(below/n, 0.5/n, 1-0.5/n))
	end := func(share float64) float64 {
		z := bias + kernel.NormalInv(share)
		return b.at(kernel.NormalCDF(bias + z/(1-b.skew*z)))
	}
	return Interval{end(0.5 - confidence/2), end(0.5 + confidence/2)}
}

// at returns the drawn figure below which the share lies.
func (b *Bootstrap) at(share float64) float64 {
	last := len(b.Drawn) - 1
	return b.Drawn[int(clamp(math.Floor(share*float64(len(b.Drawn))), 0, float64(last)))]
}
