package clock

import (
	"slices"
	"time"
)

// What makes a scored run void. Judgements: a tenth of a second is about half
// the quickest answer of a person to a sight (R. D. Luce, Response Times, 1986,
// from memory), so a longer gap takes more from the person than the person can
// lose; lags of up to a twentieth happen on sound machines now and then.
const (
	MaxGap      = 100 * time.Millisecond // between two pictures
	MaxLag      = 50 * time.Millisecond  // age of what a picture shows
	MaxLagShare = 0.01                   // of the time, that lag may be above MaxLag
)

// CheckTime is how long pictures must have been steady before scoring starts.
const CheckTime = 2 * time.Second

// frames is how many frame times are kept for the figures: 10 minutes at 60 a
// second. Later ones only count in the verdict.
const frames = 36000

// Steady keeps how steadily pictures came. The zero value is ready.
type Steady struct {
	last    time.Duration // when the last picture was shown
	started bool
	shown   time.Duration // sum of the times between pictures
	lagging time.Duration // of it, with what was shown older than MaxLag
	gap     time.Duration // longest
	lag     time.Duration // greatest
	gaps    int           // longer than MaxGap
	times   []time.Duration
}

// Begin starts anew at now: at a start, and after each pause, with clear.
func (s *Steady) Begin(now time.Duration, clear bool) {
	if clear {
		*s = Steady{times: s.times[:0]}
	}
	s.last, s.started = now, true
}

// Shown notes that a picture was shown at now, of the world as it stood at of:
// the now that was given to Ticks for it.
func (s *Steady) Shown(now, of time.Duration) {
	if !s.started {
		s.Begin(now, false)
		return
	}
	gap, lag := now-s.last, now-of
	s.last = now
	s.shown += gap
	if lag > MaxLag {
		s.lagging += gap
	}
	if gap > MaxGap {
		s.gaps++
	}
	s.gap, s.lag = max(s.gap, gap), max(s.lag, lag)
	if len(s.times) < frames {
		s.times = append(s.times, gap)
	}
}

// Finding is what Steady found.
type Finding uint8

// The findings.
const (
	FindSteady Finding = iota
	FindGap            // a gap longer than MaxGap
	FindLag            // lag above MaxLag for more than MaxLagShare of the time
)

// String returns the word for f, as a key of texts.
func (f Finding) String() string { return [...]string{"steady", "gap", "lag"}[min(f, FindLag)] }

// Find says what was found. In a scored run anything but FindSteady makes it
// void; in practice it is a warning.
func (s *Steady) Find() Finding {
	switch {
	case s.gaps > 0:
		return FindGap
	case s.LagShare() > MaxLagShare:
		return FindLag
	}
	return FindSteady
}

// shortest is the length that a run under way counts as at least: in a shorter
// one a single late picture would be more than MaxLagShare. A judgement.
const shortest = 20 * time.Second

// Soon says what is found of a run that is still under way, so that one that will
// not count ends at once.
func (s *Steady) Soon() Finding {
	switch {
	case s.gaps > 0:
		return FindGap
	case float64(s.lagging) > MaxLagShare*float64(max(s.shown, shortest)):
		return FindLag
	}
	return FindSteady
}

// Checked tells whether pictures have been watched long enough to start scoring.
func (s *Steady) Checked() bool { return s.shown >= CheckTime }

// LagShare is the share of the time with lag above MaxLag.
func (s *Steady) LagShare() float64 {
	if s.shown == 0 {
		return 0
	}
	return float64(s.lagging) / float64(s.shown)
}

// Longest returns the longest gap and the greatest lag.
func (s *Steady) Longest() (gap, lag time.Duration) { return s.gap, s.lag }

// Gaps is the number of gaps longer than MaxGap.
func (s *Steady) Gaps() int { return s.gaps }

// Frame returns the frame time that share q (0 … 1) of the frames did not
// exceed; 0 without frames.
func (s *Steady) Frame(q float64) time.Duration { return quantile(s.times, q) }

// quantile is the nearest-rank quantile.
func quantile(x []time.Duration, q float64) time.Duration {
	if len(x) == 0 {
		return 0
	}
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	rank := int(q*float64(len(sorted))+0.999999) - 1
	return sorted[min(max(rank, 0), len(sorted)-1)]
}
