// Package margins says how far a control loop is from trouble: crossover, phase,
// gain, delay and disk margins, bandwidth, and how a step is answered.
//
// It stands apart from the law, because it only looks at what a law does: a loop
// is opened at one signal, that signal is swung a little in a simulated flight
// without noise, and what comes back is compared with what was put in. So it is
// the same for a built-in law and for any other. The way of the data:
//
//  1. a loop is measured, frequency by frequency      (measure.go, loops.go)
//  2. the samples become a smooth response            (response.go)
//  3. margins are read off it                         (margins.go)
//  4. neighbouring loops are compared                 (lint.go)
//
// Reports only: nothing of it reaches the state of a rehearsal.
package margins

import (
	"math"
	"math/cmplx"
	"sort"
)

// Response is a loop's transfer function L(jω) for ω in rad/s, with the sign
// that makes 1 + L the return difference: negative feedback.
type Response func(w float64) complex128

// Sample is a response at one frequency.
type Sample struct {
	W float64 // rad/s
	L complex128
}

// Sampled returns the response through samples, ordered by frequency: logarithm
// of the gain and unwrapped phase, linear over the logarithm of the frequency.
// Outside the samples it goes on along the nearest pair. It needs two samples.
func Sampled(samples []Sample) Response {
	n := len(samples)
	if n < 2 {
		panic("margins: a response needs two samples")
	}
	x, gain, phase := make([]float64, n), make([]float64, n), Phases(samples)
	for i, s := range samples {
		x[i], gain[i] = math.Log(s.W), math.Log(cmplx.Abs(s.L))
	}
	return func(w float64) complex128 {
		at := math.Log(w)
		i := min(max(sort.SearchFloat64s(x, at), 1), n-1)
		k := (at - x[i-1]) / (x[i] - x[i-1])
		between := func(y []float64) float64 { return y[i-1] + k*(y[i]-y[i-1]) }
		return cmplx.Rect(math.Exp(between(gain)), between(phase))
	}
}

// Phases returns the unwrapped phases (rad) of samples ordered by frequency. The
// first lies in −3π/2 … π/2, where the phase of a loop with integral action
// begins.
func Phases(samples []Sample) []float64 {
	phase := make([]float64, len(samples))
	for i, s := range samples {
		p := cmplx.Phase(s.L)
		if i == 0 {
			if p > math.Pi/2 {
				p -= 2 * math.Pi
			}
		} else {
			p += 2 * math.Pi * math.Round((phase[i-1]-p)/(2*math.Pi))
		}
		phase[i] = p
	}
	return phase
}

// Grid returns n frequencies (rad/s) from lo to hi, evenly spaced in their
// logarithm.
func Grid(lo, hi float64, n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = lo * math.Pow(hi/lo, float64(i)/float64(n-1))
	}
	return w
}

// Sample takes a response at the frequencies w (rad/s).
func (l Response) Sample(w []float64) []Sample {
	samples := make([]Sample, len(w))
	for i := range w {
		samples[i] = Sample{w[i], l(w[i])}
	}
	return samples
}

// Rational returns the response of num(s)/den(s)·e^(−delay·s), coefficients from
// the highest power down, delay in s.
func Rational(num, den []float64, delay float64) Response {
	at := func(c []float64, s complex128) (y complex128) {
		for _, k := range c {
			y = y*s + complex(k, 0)
		}
		return y
	}
	return func(w float64) complex128 {
		s := complex(0, w)
		return at(num, s) / at(den, s) * cmplx.Exp(-s*complex(delay, 0))
	}
}
