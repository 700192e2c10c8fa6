package margins

import (
	"math"
	"math/cmplx"
)

// Margins are what a loop has to spare. A margin that does not exist in the
// range looked at is infinite; a crossover that does not exist is NaN.
type Margins struct {
	Crossover float64 // rad/s, highest frequency at which the gain falls through 1
	Phase     float64 // rad, least phase margin over all crossovers; negative is unstable
	Delay     float64 // s, least time lag that takes the phase margin away
	PhaseW    float64 // rad/s, lowest frequency at which the phase falls through −180°
	Gain      float64 // factor by which the gain may grow; below 1 is unstable
	Bandwidth float64 // rad/s, where the closed loop's gain falls to −3 dB of its gain at the lowest frequency
	Peak      float64 // greatest gain of the closed loop L/(1+L)
	Sense     float64 // greatest gain of the sensitivity 1/(1+L)
	Disk      Disk
}

// Disk is the balanced disk margin: gain and phase may change together. After
// Seiler, Packard and Gahinet, "An introduction to disk margins", IEEE Control
// Systems Magazine 40(5), 2020, equations 17 to 20 (from memory): with
// α = 1/max|S − ½|, the gain may change by (2+α)/(2−α) either way or the phase
// by 2·atan(α/2).
type Disk struct {
	Alpha float64 // size of the disk, 0 … 2
	Gain  float64 // factor either way
	Phase float64 // rad either way
}

// scan is how many frequencies Of looks at; between them it refines.
const scan = 4000

// Of returns the margins of l, looked for from lo to hi (rad/s).
func Of(l Response, lo, hi float64) Margins {
	m := Margins{Crossover: math.NaN(), Phase: math.Inf(1), Delay: math.Inf(1), PhaseW: math.NaN(), Gain: math.Inf(1), Bandwidth: math.NaN()}
	grid := Grid(lo, hi, scan)
	samples := l.Sample(grid)
	phase := Phases(samples)
	worst := 0.0
	first := cmplx.Abs(closed(samples[0].L))
	for i, s := range samples {
		m.Peak = math.Max(m.Peak, cmplx.Abs(closed(s.L)))
		m.Sense = math.Max(m.Sense, cmplx.Abs(1/(1+s.L)))
		worst = math.Max(worst, cmplx.Abs(1/(1+s.L)-0.5))
		if i == 0 {
			continue
		}
		m.crossing(l, grid[i-1], grid[i])
		m.turning(l, grid[i-1], grid[i], phase[i-1], phase[i])
		level := first / math.Sqrt2
		if math.IsNaN(m.Bandwidth) && cmplx.Abs(closed(samples[i-1].L)) >= level && cmplx.Abs(closed(s.L)) < level {
			m.Bandwidth = root(grid[i-1], grid[i], func(w float64) float64 { return cmplx.Abs(closed(l(w))) - level })
		}
	}
	m.Disk = disk(1 / worst)
	return m
}

func closed(l complex128) complex128 { return l / (1 + l) }

// crossing notes a fall of the gain through 1 between two frequencies.
func (m *Margins) crossing(l Response, lo, hi float64) {
	if cmplx.Abs(l(lo)) < 1 == (cmplx.Abs(l(hi)) < 1) {
		return
	}
	w := root(lo, hi, func(w float64) float64 { return math.Log(cmplx.Abs(l(w))) })
	margin := math.Pi + cmplx.Phase(l(w))
	if margin > math.Pi {
		margin -= 2 * math.Pi
	}
	if cmplx.Abs(l(lo)) >= 1 {
		m.Crossover = w
	}
	m.Phase = math.Min(m.Phase, margin)
	if margin > 0 {
		m.Delay = math.Min(m.Delay, margin/w)
	} else {
		m.Delay = 0
	}
}

// turning notes a fall of the phase through −180° (and −540°, …) between two
// frequencies. Of several it keeps the one with the least to spare.
func (m *Margins) turning(l Response, lo, hi, from, to float64) {
	odd := func(p float64) float64 { return math.Floor((p + math.Pi) / (2 * math.Pi)) }
	if odd(from) <= odd(to) {
		return
	}
	w := root(lo, hi, func(w float64) float64 { return cmplx.Phase(-l(w)) })
	if g := 1 / cmplx.Abs(l(w)); g < m.Gain {
		m.Gain, m.PhaseW = g, w
	}
}

func disk(alpha float64) Disk {
	d := Disk{Alpha: math.Min(alpha, 2), Gain: math.Inf(1), Phase: 2 * math.Atan(alpha/2)}
	if alpha < 2 {
		d.Gain = (2 + alpha) / (2 - alpha)
	}
	return d
}

// root bisects f between lo and hi, where its sign changes, in the logarithm.
func root(lo, hi float64, f func(w float64) float64) float64 {
	rising := f(lo) < 0
	for range 60 {
		mid := math.Sqrt(lo * hi)
		if (f(mid) < 0) == rising {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Sqrt(lo * hi)
}
