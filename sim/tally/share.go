package tally

import (
	"math"

	"lapwing/dynamics/kernel"
)

// Share is so many of all.
type Share struct {
	Some int `json:"some"`
	All  int `json:"all"`
}

// Of returns the share, 0 … 1, NaN where nothing was tried.
func (s Share) Of() float64 { return float64(s.Some) / float64(s.All) }

// Wilson returns the score interval of a share at a confidence such as 0.95; of
// nothing tried it is 0 … 1. E. B. Wilson, "Probable inference, the law of
// succession, and statistical inference", J. American Statistical Association
// 22(158), 1927. It keeps its level with small numbers and at the ends, where the
// textbook interval does not (L. D. Brown, T. T. Cai and A. DasGupta, "Interval
// estimation for a binomial proportion", Statistical Science 16(2), 2001).
func (s Share) Wilson(confidence float64) Interval {
	checkConfidence(confidence)
	checkCount(s.Some, s.All)
	if s.All == 0 {
		return Interval{0, 1}
	}
	z := kernel.NormalInv(0.5 + confidence/2)
	n, p := float64(s.All), s.Of()
	middle := p + z*z/(2*n)
	half := z * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	i := Interval{clamp((middle-half)/(1+z*z/n), 0, 1), clamp((middle+half)/(1+z*z/n), 0, 1)}
	if s.Some == 0 {
		i.Low = 0 // exactly, where rounding leaves a trace
	}
	if s.Some == s.All {
		i.High = 1
	}
	return i
}

// AtLeast returns what n tries without a failure show: a rate of success of at
// least this, at the one-sided confidence. It solves rateⁿ = 1 − confidence; at
// 0.95 and many tries the rate of failure is about 3/n, the rule of three (J. A.
// Hanley and A. Lippman-Hand, "If nothing goes wrong, is everything all right?",
// JAMA 249(13), 1983).
func AtLeast(n int, confidence float64) float64 {
	checkConfidence(confidence)
	if n <= 0 {
		return 0
	}
	return math.Pow(1-confidence, 1/float64(n))
}
