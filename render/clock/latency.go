package clock

import "time"

// What is done about late pictures. The limits are judgements: above a tenth of
// a second a person feels the delay in the hand; above a quarter it is as long as
// an answer itself, and a time with a limit says more of the machine.
const (
	WarnLatency   = 100 * time.Millisecond
	RefuseLatency = 250 * time.Millisecond
)

// LeastSamples is how many samples a verdict needs.
const LeastSamples = 20

// Latency is the time from a moved stick to the first picture that shows it. The
// zero value is ready.
type Latency struct{ samples []time.Duration }

// Add takes one sample; extra delay that is known (of the screen, or of sound) is
// for the caller to add.
func (l *Latency) Add(d time.Duration) { l.samples = append(l.samples, d) }

// Count is the number of samples.
func (l *Latency) Count() int { return len(l.samples) }

// At returns the latency that share q (0 … 1) of the samples did not exceed; 0
// without samples.
func (l *Latency) At(q float64) time.Duration { return quantile(l.samples, q) }

// Ruling is what follows from the latency.
type Ruling uint8

// The rulings.
const (
	RuleUnknown Ruling = iota // too few samples
	RuleGood
	RuleWarn   // above WarnLatency: say so
	RuleRefuse // above RefuseLatency: no timed scoring
)

// String returns the word for r, as a key of texts.
func (r Ruling) String() string {
	return [...]string{"unknown", "good", "warn", "refuse"}[min(r, RuleRefuse)]
}

// Rule says what follows, from the 95th percentile: what happens once in twenty
// happens in every rehearsal.
func (l *Latency) Rule() Ruling {
	switch at := l.At(0.95); {
	case len(l.samples) < LeastSamples:
		return RuleUnknown
	case at > RefuseLatency:
		return RuleRefuse
	case at > WarnLatency:
		return RuleWarn
	}
	return RuleGood
}
