package margins

import (
	"fmt"
	"math"
	"runtime"
	"sync"
)

// Studied is one loop, measured.
type Studied struct {
	Loop    Loop
	Samples []Sample
	Margins Margins
	Inner   float64 // crossover of the loop just inside over this one's; NaN for an innermost loop
}

// Study measures every loop of a law about a point of flight, on all cores. The
// result does not depend on their number. near holds each loop's expected
// crossover (rad/s), round which it is measured. Place, the last of the loops,
// is left out in forward flight: the stick that flies there opens it.
func Study(start func() Law, hover float64, p *Point, near [LoopCount]float64) []Studied {
	all := make([]Studied, LoopCount)
	if p.Forward > 0 {
		all = all[:Place]
	}
	inParallel(len(all), func(i int) {
		grid := Grid(near[i]/below, math.Min(near[i]*above, highest), points)
		s := Measure(start, hover, p, Loop(i), grid)
		all[i] = Studied{Loop: Loop(i), Samples: s, Margins: Of(Sampled(s), s[0].W, s[len(s)-1].W)}
	})
	for i := range all {
		all[i].Inner = math.NaN()
		if in := inside[i]; in != Loop(i) {
			all[i].Inner = all[in].Margins.Crossover / all[i].Margins.Crossover
		}
	}
	return all
}

const (
	below   = 4.0   // how far below the expected crossover a loop is measured
	above   = 10.0  // and how far above
	highest = 400.0 // rad/s: a swing of sixteen ticks
	points  = 25    // frequencies a loop is measured at
)

// What a loop should have at least. Phase and gain: common practice of flight
// control (MIL-DTL-9490E asks for 45° and 6 dB, from memory); separation: see
// control.RatioWarning.
const (
	PhaseWanted = math.Pi / 4
	GainWanted  = 2.0
)

// Finding is something about a loop that a developer should know.
type Finding struct {
	Loop  Loop
	Grave bool // an error rather than a warning
	Says  string
}

// Lint looks for what is wrong with measured loops: margins below the usual, and
// loops too near the one inside them. warn and refuse are the least ratios of
// their crossovers.
func Lint(all []Studied, warn, refuse float64) (found []Finding) {
	add := func(l Loop, grave bool, format string, args ...any) {
		found = append(found, Finding{l, grave, fmt.Sprintf(format, args...)})
	}
	for i := range all {
		s := &all[i]
		m := &s.Margins
		switch {
		case math.IsNaN(m.Crossover):
			add(s.Loop, true, "its gain does not fall through 1 between %.3g and %.3g rad/s", s.Samples[0].W, s.Samples[len(s.Samples)-1].W)
			continue
		case m.Phase <= 0 || m.Gain <= 1:
			add(s.Loop, true, "it is not stable: phase margin %.0f°, gain margin %.2f", m.Phase*180/math.Pi, m.Gain)
		case m.Phase < PhaseWanted:
			add(s.Loop, false, "phase margin of %.0f°, usual are %.0f° or more", m.Phase*180/math.Pi, PhaseWanted*180/math.Pi)
		}
		if m.Gain > 1 && m.Gain < GainWanted {
			add(s.Loop, false, "the gain may grow by %.2f only, usual is %.0f or more", m.Gain, GainWanted)
		}
		if s.Inner < warn {
			add(s.Loop, s.Inner < refuse, "it is only %.1f times slower than the loop inside it (%s); below %.1f they work against each other", s.Inner, inside[s.Loop], warn)
		}
	}
	return found
}

// inParallel calls work(0) … work(n−1) on all processors; each writes only what
// is its own.
func inParallel(n int, work func(i int)) {
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range n {
		slots <- struct{}{}
		wait.Go(func() {
			defer func() { <-slots }()
			work(i)
		})
	}
	wait.Wait()
}
