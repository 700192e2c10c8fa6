package identify

import (
	"math"
	"slices"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// How the errors are found: the flight is cut into blocks of a second, longer
// than residuals remember, and as many blocks are drawn again and again with
// replacement; the spread of what is fitted to the draws is the error (the block
// bootstrap: Künsch, "The jackknife and the bootstrap for general stationary
// observations", Ann. Statist. 17, 1989). Residuals may so be correlated within
// a block and of unequal size between blocks.
const (
	blockTime = 1.0 // s
	draws     = 400
	drawSeed  = 1
)

var drawStream = kernel.NewStream("identify: blocks drawn again")

// Estimate is a fitted number with its error.
type Estimate struct {
	Value float64 `json:"value"`
	Error float64 `json:"standard_error"`
	Low   float64 `json:"low_95"`  // 2.5 % of the draws lie below
	High  float64 `json:"high_95"` // 2.5 % of the draws lie above
}

// maxTerms is the most terms of a straight model: a constant, the rotors and a
// damping.
const maxTerms = 2 + dynamics.MaxRotors

// sums are the sums of products that least squares needs of rows (terms …,
// response).
type sums struct {
	terms int
	count float64
	cross [(maxTerms + 1) * (maxTerms + 1)]float64
}

func (s *sums) add(row []float64) {
	n := len(row)
	for i := range n {
		for j := range n {
			s.cross[i*n+j] += float64(row[i] * row[j])
		}
	}
	s.terms = n - 1
	s.count++
}

func (s *sums) plus(o *sums) {
	n := (o.terms + 1) * (o.terms + 1)
	for i := range n {
		s.cross[i] += o.cross[i]
	}
	s.terms = max(s.terms, o.terms)
	s.count += o.count
}

// fit returns the coefficients and the sum of squared residuals; ok is false
// where the terms cannot be told apart.
func (s *sums) fit() (c [maxTerms]float64, rest float64, ok bool) {
	n, w := s.terms, s.terms+1
	var a [maxTerms * maxTerms]float64
	for i := range n {
		copy(a[i*n:i*n+n], s.cross[i*w:i*w+n])
		c[i] = s.cross[i*w+n]
	}
	if n == 0 || !kernel.SolveLU(n, a[:n*n], c[:n]) {
		return c, 0, false
	}
	rest = s.cross[w*w-1]
	for i := range n {
		rest -= float64(c[i] * s.cross[i*w+n])
		if !kernel.IsFinite(c[i]) {
			return c, 0, false
		}
	}
	return c, max(rest, 0), true
}

// spread returns the sum of squares of the response about its mean; the first
// term must be a constant 1.
func (s *sums) spread() float64 {
	w := s.terms + 1
	mean := s.cross[w-1] / s.count
	return max(0, s.cross[w*w-1]-float64(mean*s.cross[w-1]))
}

// blocks are the sums of each block of time.
type blocks []sums

func newBlocks(s *series) blocks {
	span := s.time[len(s.time)-1] - s.time[0]
	return make(blocks, max(1, int(span/blockTime)))
}

// at returns the block of row i of s. The last one takes what is left over.
func (b blocks) at(s *series, i int) *sums {
	return &b[min(int((s.time[i]-s.time[0])/blockTime), len(b)-1)]
}

// sum adds up the blocks that are drawn.
func (b blocks) sum(drawn []int) (s sums) {
	for _, i := range drawn {
		s.plus(&b[i])
	}
	return s
}

// everyOne draws each of n blocks once: the flight itself.
func everyOne(n int) []int {
	drawn := make([]int, n)
	for i := range drawn {
		drawn[i] = i
	}
	return drawn
}

// again draws n of n blocks with replacement, the same for the same number.
func again(n, number int) []int {
	drawn := make([]int, n)
	for i := range drawn {
		drawn[i] = min(n-1, int(float64(float64(n)*kernel.Uniform(drawSeed, drawStream, int64(number), uint64(i)))))
	}
	return drawn
}

// estimates calls fit with the flight itself and then with each draw, and
// returns how the numbers that it gives spread. A draw that cannot be fitted is
// left out; ok is false where the flight itself cannot.
func estimates(blocks int, fit func(drawn []int) ([]float64, bool)) (all []Estimate, ok bool) {
	values, ok := fit(everyOne(blocks))
	if !ok {
		return nil, false
	}
	drawn := make([][]float64, len(values))
	for n := range draws {
		x, ok := fit(again(blocks, n))
		for i := range x {
			if ok {
				drawn[i] = append(drawn[i], x[i])
			}
		}
	}
	for i, v := range values {
		all = append(all, spreadOf(v, drawn[i]))
	}
	return all, true
}

func spreadOf(value float64, drawn []float64) Estimate {
	e := Estimate{Value: value, Low: value, High: value}
	if len(drawn) < 2 {
		return e
	}
	mean, sum := 0.0, 0.0
	for _, x := range drawn {
		mean += x / float64(len(drawn))
	}
	for _, x := range drawn {
		sum += float64((x - mean) * (x - mean))
	}
	e.Error = math.Sqrt(sum / float64(len(drawn)-1))
	slices.Sort(drawn)
	e.Low, e.High = drawn[len(drawn)/40], drawn[len(drawn)-1-len(drawn)/40]
	return e
}
