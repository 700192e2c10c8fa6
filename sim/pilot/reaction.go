package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
)

// ExGauss is the ex-Gaussian distribution of a response time: a normal part and
// an exponential part added (R. D. Luce, "Response Times", Oxford, 1986). Its
// long right tail is why reports give medians and 95 % points, never a mean with
// two standard deviations.
type ExGauss struct {
	Mu    float64 // s, mean of the normal part
	Sigma float64 // s, its standard deviation, ≥ 0
	Tau   float64 // s, mean of the exponential part, ≥ 0
}

// Detection is the simple response of a person who waits for one known signal:
// the ex-Gaussian of greatest likelihood for 12,845 measured answers between
// 0.1 and 1 s to a detection response task (a test fits them again where they
// are at hand). Answers below 0.1 s are anticipations.
var Detection = ExGauss{Mu: 0.194, Sigma: 0.0243, Tau: 0.1218}

// Mean returns the mean (s): μ + τ.
func (d ExGauss) Mean() float64 { return d.Mu + d.Tau }

// SD returns the standard deviation (s): √(σ² + τ²).
func (d ExGauss) SD() float64 { return math.Sqrt(float64(d.Sigma*d.Sigma) + float64(d.Tau*d.Tau)) }

// Skew returns the skewness: 2τ³/(σ² + τ²)^1.5.
func (d ExGauss) Skew() float64 {
	sd := d.SD()
	if sd == 0 {
		return 0
	}
	r := d.Tau / sd
	return 2 * r * r * r
}

// Scaled returns d with every time multiplied by k: the shape stays.
func (d ExGauss) Scaled(k float64) ExGauss { return ExGauss{k * d.Mu, k * d.Sigma, k * d.Tau} }

// CDF returns the share of responses not later than t (s):
// Φ(z) − exp(σ²/2τ² − (t−μ)/τ)·Φ(z − σ/τ), z = (t−μ)/σ. σ and τ above 0. For
// reports and tests, not for the tick.
func (d ExGauss) CDF(t float64) float64 {
	z, r := (t-d.Mu)/d.Sigma, d.Sigma/d.Tau
	return kernel.NormalCDF(z) - float64(kernel.Exp(float64(0.5*r*r)-float64(z*r))*kernel.NormalCDF(z-r))
}

// Density returns the probability density (1/s) at t.
func (d ExGauss) Density(t float64) float64 {
	z, r := (t-d.Mu)/d.Sigma, d.Sigma/d.Tau
	return kernel.Exp(float64(0.5*r*r)-float64(z*r)) * kernel.NormalCDF(z-r) / d.Tau
}

// Quantile returns the time (s) not passed by the share p of responses, by
// bisection of CDF.
func (d ExGauss) Quantile(p float64) float64 {
	lo, hi := d.Mu-float64(10*d.Sigma), d.Mu+float64(10*d.Sigma)+float64(40*d.Tau)
	for range 100 {
		mid := float64(0.5 * (lo + hi))
		if d.CDF(mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return float64(0.5 * (lo + hi))
}

// Sample draws the response time (s) of an index of stream s: the sum of a
// normal and an exponential number.
func (d ExGauss) Sample(seed uint64, s kernel.Stream, index uint64) float64 {
	normal := kernel.Normal(seed, s, 0, 2*index)
	wait := kernel.Exponential(seed, s, 0, 2*index+1)
	return d.Mu + float64(d.Sigma*normal) + float64(d.Tau*wait)
}
