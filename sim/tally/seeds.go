package tally

import (
	"math"

	"lapwing/dynamics/kernel"
)

// McNemarMidP is McNemar with only half of the outcome that was seen counted into
// the tail. The exact probability is too high for few pairs that differ; this one
// keeps near its level: M. W. Fagerland, S. Lydersen and P. Laake, "The McNemar
// test for binary matched-pairs data: mid-p and asymptotic are better than exact
// conditional", BMC Medical Research Methodology 13:91, 2013, from memory.
func (p Pairs) McNemarMidP() float64 {
	n, k := p.First+p.Second, min(p.First, p.Second)
	if n == 0 {
		return 1
	}
	tail, last := 0.0, 0.0
	for i := 0; i <= k; i++ {
		last = math.Exp(logChoose(n, i) - float64(n)*math.Ln2)
		tail += last
	}
	if p.First == p.Second {
		return 1 - last/2
	}
	return 2*tail - last
}

var streamFlip = kernel.NewStream("tally.flip")

// SignFlip returns the two-sided probability of paired differences whose mean lies
// as far from zero as that of these or farther, where the sign of each is a matter
// of chance: R. A. Fisher, The Design of Experiments, 1935, section 21. So many
// patterns of signs are drawn by seed; what was seen counts as one of them, so the
// level is kept exactly (B. Phipson and G. K. Smyth, "Permutation p-values should
// never be zero", Statistical Applications in Genetics and Molecular Biology 9(1),
// 2010).
func SignFlip(differences []float64, drawings int, seed uint64) float64 {
	seen, scale := 0.0, 0.0
	for _, d := range differences {
		seen += d
		scale += math.Abs(d)
	}
	seen = math.Abs(seen) - 1e-12*scale // rounding of the sums
	asFar := 1
	for k := range drawings {
		sum, bits := 0.0, uint64(0)
		for i, d := range differences {
			if i%64 == 0 {
				bits = kernel.Bits(seed, streamFlip, int64(k), uint64(i/64))
			}
			if bits&1 == 0 {
				d = -d
			}
			sum += d
			bits >>= 1
		}
		if math.Abs(sum) >= seen {
			asFar++
		}
	}
	return float64(asFar) / float64(drawings+1)
}

// SeedsForShares returns how many pairs show a difference of two shares with the
// chance power, tested on both sides at level, where one side alone succeeds in
// the shares first and second of pairs: R. J. Connor, "Sample size for testing
// differences in proportions for the paired-sample design", Biometrics 43, 1987.
func SeedsForShares(first, second, level, power float64) int {
	differ, d := first+second, first-second
	if d == 0 || differ <= 0 {
		return math.MaxInt32
	}
	z := kernel.NormalInv(1-level/2)*math.Sqrt(differ) + kernel.NormalInv(power)*math.Sqrt(math.Max(0, differ-d*d))
	return ceil(z * z / (d * d))
}

// SeedsForMean is SeedsForShares for paired differences with a mean and a standard
// deviation: the usual formula of the normal distribution, with the square of its
// quantile over two added for the deviation being estimated (W. C. Guenther,
// "Sample size formulas for normal theory t tests", The American Statistician 35,
// 1981, from memory).
func SeedsForMean(mean, deviation, level, power float64) int {
	if mean == 0 {
		return math.MaxInt32
	}
	z := kernel.NormalInv(1 - level/2)
	needed := (z + kernel.NormalInv(power)) * deviation / mean
	return ceil(needed*needed + z*z/2)
}

func ceil(x float64) int { return int(math.Min(math.Ceil(x), math.MaxInt32)) }
