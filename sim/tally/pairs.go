package tally

import (
	"math"
)

// Pairs counts pairs of tries of two, the first and the second, under the same
// conditions and seed, by which of them succeeded.
type Pairs struct {
	Both    int `json:"both"`
	First   int `json:"first"`  // the first alone
	Second  int `json:"second"` // the second alone
	Neither int `json:"neither"`
}

// Add counts one pair.
func (p *Pairs) Add(first, second bool) {
	switch {
	case first && second:
		p.Both++
	case first:
		p.First++
	case second:
		p.Second++
	default:
		p.Neither++
	}
}

// Count returns the number of pairs.
func (p Pairs) Count() int { return p.Both + p.First + p.Second + p.Neither }

// Difference returns the first's share of success less the second's.
func (p Pairs) Difference() float64 { return float64(p.First-p.Second) / float64(p.Count()) }

// McNemar returns the exact two-sided probability of a difference as great as
// this one or greater where there is none: twice the lesser tail of the binomial
// of the pairs that differ, at most 1. Q. McNemar, "Note on the sampling error of
// the difference between correlated proportions or percentages", Psychometrika
// 12(2), 1947; the exact form as in A. Agresti, Categorical Data Analysis, 2nd
// edition, 2002, section 10.1, from memory.
func (p Pairs) McNemar() float64 {
	n, k := p.First+p.Second, min(p.First, p.Second)
	tail := 0.0
	for i := 0; i <= k; i++ {
		tail += math.Exp(logChoose(n, i) - float64(n)*math.Ln2)
	}
	return math.Min(1, 2*tail)
}

func logChoose(n, k int) float64 {
	all, _ := math.Lgamma(float64(n + 1))
	some, _ := math.Lgamma(float64(k + 1))
	rest, _ := math.Lgamma(float64(n - k + 1))
	return all - some - rest
}

// Newcombe returns the interval of Difference: the Wilson intervals of the two
// shares, squared and added, less what they have in common. R. G. Newcombe,
// "Improved confidence intervals for the difference between binomial proportions
// based on paired data", Statistics in Medicine 17, 1998, 2635–2650, method 10.
func (p Pairs) Newcombe(confidence float64) Interval {
	n := p.Count()
	if n == 0 {
		return Interval{-1, 1}
	}
	first, second := Share{p.Both + p.First, n}, Share{p.Both + p.Second, n}
	a, b := first.Wilson(confidence), second.Wilson(confidence)
	phi, d := p.phi(), p.Difference()
	spread := func(x, y float64) float64 { return math.Sqrt(math.Max(0, x*x-2*phi*x*y+y*y)) }
	return Interval{
		clamp(d-spread(first.Of()-a.Low, b.High-second.Of()), -1, 1),
		clamp(d+spread(a.High-first.Of(), second.Of()-b.Low), -1, 1),
	}
}

// phi is the correlation of the two outcomes, brought nearer to zero as method 10
// asks where it is positive; zero where one of the outcomes never changes.
func (p Pairs) phi() float64 {
	both, first, second, neither := float64(p.Both), float64(p.First), float64(p.Second), float64(p.Neither)
	margins := (both + first) * (second + neither) * (both + second) * (first + neither)
	if margins == 0 {
		return 0
	}
	c := both*neither - first*second
	if half := float64(p.Count()) / 2; c > 0 {
		c = math.Max(0, c-half)
	}
	return c / math.Sqrt(margins)
}
