package kernel

import "math"

// NormalInv returns the x below which a standard normal number lies with
// probability p; −Inf at 0, +Inf at 1, NaN outside. Relative error about 1e-15.
// Source: M. J. Wichura, "Algorithm AS 241: The percentage points of the normal
// distribution", Applied Statistics 37 (1988) 477–484, PPND16: three quotients
// of polynomials of degree 7, the first for |p − ½| ≤ 0.425; coefficients from
// memory, held by the tests to 1e-14 of the true quantile.
func NormalInv(p float64) float64 {
	q := p - 0.5
	if math.Abs(q) <= 0.425 {
		return float64(q * normalInvCentre(0.180625-float64(q*q)))
	}
	if !(p > 0 && p < 1) {
		return normalInvEdge(p)
	}
	tail := p
	if q > 0 {
		tail = 1 - p
	}
	return math.Copysign(normalInvTail(math.Sqrt(-Log(tail))), q)
}

// normalInvEdge returns the limits at p = 0 and 1, NaN elsewhere.
func normalInvEdge(p float64) float64 {
	switch p {
	case 0:
		return math.Inf(-1)
	case 1:
		return math.Inf(1)
	}
	return math.NaN()
}

// normalInvCentre returns x/(p − ½) for r = 0.425² − (p − ½)².
func normalInvCentre(r float64) float64 {
	return poly7(r, 3.3871328727963666080e0, 1.3314166789178437745e2,
		1.9715909503065514427e3, 1.3731693765509461125e4,
		4.5921953931549871457e4, 6.7265770927008700853e4,
		3.3430575583588128105e4, 2.5090809287301226727e3) /
		poly7(r, 1, 4.2313330701600911252e1,
			6.8718700749205790830e2, 5.3941960214247511077e3,
			2.1213794301586595867e4, 3.9307895800092710610e4,
			2.8729085735721942674e4, 5.2264952788528545610e3)
}

// normalInvTail returns |x| for r = √(−ln of the smaller tail).
func normalInvTail(r float64) float64 {
	if r <= 5 {
		r -= 1.6
		return poly7(r, 1.42343711074968357734e0, 4.63033784615654529590e0,
			5.76949722146069140550e0, 3.64784832476320460504e0,
			1.27045825245236838258e0, 2.41780725177450611770e-1,
			2.27238449892691845833e-2, 7.74545014278341407640e-4) /
			poly7(r, 1, 2.05319162663775882187e0,
				1.67638483018380384940e0, 6.89767334985100004550e-1,
				1.48103976427480074590e-1, 1.51986665636164571966e-2,
				5.47593808499534494600e-4, 1.05075007164441684324e-9)
	}
	r -= 5
	return poly7(r, 6.65790464350110377720e0, 5.46378491116411436990e0,
		1.78482653991729133580e0, 2.96560571828504891230e-1,
		2.65321895265761230930e-2, 1.24266094738807843860e-3,
		2.71155556874348757815e-5, 2.01033439929228813265e-7) /
		poly7(r, 1, 5.99832206555887937690e-1,
			1.36929880922735805310e-1, 1.48753612908506148525e-2,
			7.86869131145613259100e-4, 1.84631831751005468180e-5,
			1.42151175831644588870e-7, 2.04426310338993978564e-15)
}

// poly7 returns c0 + c1·x + … + c7·x⁷, summed in pairs.
func poly7(x, c0, c1, c2, c3, c4, c5, c6, c7 float64) float64 {
	x2 := float64(x * x)
	low := (c0 + float64(c1*x)) + float64(x2*(c2+float64(c3*x)))
	high := (c4 + float64(c5*x)) + float64(x2*(c6+float64(c7*x)))
	return low + float64(float64(x2*x2)*high)
}

// NormalCDF returns the probability that a standard normal number lies below x.
// Relative error below 1e-13, also in the lower tail. It is for reports, not for
// the tick: it costs up to a microsecond.
func NormalCDF(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x < -39:
		return 0
	case x > 9:
		return 1
	case x < -2.5:
		return normalTail(-x)
	case x > 2.5:
		return 1 - normalTail(x)
	}
	return 0.5 + float64(normalDensity(x)*normalSeries(x))
}

// normalDensity returns e^(−x²/2)/√(2π).
func normalDensity(x float64) float64 {
	p, e := twoProduct(x, x)
	return float64(0x1.9884533d43651p-2 * expSum(float64(-0.5*p), float64(-0.5*e)))
}

// normalSeries returns x + x³/3 + x⁵/(3·5) + … (G. Marsaglia, "Evaluating the
// normal distribution", J. Statistical Software 11(4), 2004).
func normalSeries(x float64) float64 {
	z := float64(x * x)
	sum, term := x, x
	for n := 3.0; n < 100; n += 2 {
		term = float64(term * z / n)
		sum += term
	}
	return sum
}

// normalTail returns the probability above x ≥ 2.5 by the continued fraction
// density/(x + 1/(x + 2/(x + 3/…))) (Abramowitz and Stegun, 1964, 26.2.14).
func normalTail(x float64) float64 {
	f := x
	for n := 120.0; n > 0; n-- {
		f = x + n/f
	}
	return normalDensity(x) / f
}
