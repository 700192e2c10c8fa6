// Package inject is what is made to go wrong: which thing, how hard, and when.
//
// It stands apart because only it knows what is coming; every other stage sees
// its effects and nothing else. The way of the data:
//
//  1. a Plan says what may come (this file), each inject with an Onset: a mark
//     of the flight, a floor, and a random wait above it;
//  2. as the flight passes its Marks, each inject's tick is drawn (due.go);
//  3. from that tick on it acts (act.go) through the Effects, of which each stage
//     reads its own part (effects.go);
//  4. an instructor may send one now, withdraw it, hold it back or make it
//     ready again.
//
// An inject of zero severity leaves every effect exactly as without it.
package inject

// MaxInjects bounds the injects of one plan.
const MaxInjects = 4

// Never stands for a tick that has not come.
const Never int64 = -1

// Forever is for Lasts: the inject stays until the run ends.
const Forever int64 = 1 << 62

// AllRotors is for Rotor: the inject strikes all rotors alike.
const AllRotors = -1

// Inject is one thing made to go wrong.
type Inject struct {
	Kind       Kind
	Onset      Onset
	Severity   float64 // 0 nothing; unit by kind
	Direction  float64 // rad: in the room from x towards y, in the body from the nose towards the left
	Rotor      int     // 0 … rotors−1, or AllRotors
	RampTicks  int64   // ticks from nothing to full severity, 0 at once
	LastsTicks int64   // ticks from onset to end, > 0, or Forever

	How      How     // of VisionLost
	Axis     Axis    // of StuckAxis
	At       float64 // of StuckAxis: where the stick stands, −1 … 1 (throttle 0 … 1)
	Partner  int     // of RotorsSwapped: the other rotor
	Distance float64 // m, of PersonEnters: how far they walk before they stop, > 0
}

// Onset is when an inject comes: the first time After is passed, plus
// DelayTicks, plus a random wait. The wait is exponential, for with an even one
// the chance rises as time passes and people come to expect it (foreperiod
// literature; common practice of reaction-time studies).
type Onset struct {
	After      Mark
	DelayTicks int64 // ≥ 0, the floor
	MeanTicks  int64 // ≥ 0, mean of the random wait before it is capped, 0 for none
	CapTicks   int64 // longest random wait, > 0 where MeanTicks is, else 0
}

// Mark is a moment of the flight.
type Mark uint8

// The marks. Each counts when it first happens.
const (
	MarkStart        Mark = iota // tick 0
	MarkArmed                    // armed
	MarkAirborne                 // off the floor
	MarkHover                    // off the floor and settled in the briefed hover
	MarkPositionHold             // position-hold in force in the air
	MarkPath                     // the path is being followed
	MarkLanded                   // down again
	MarkEvent                    // the first inject has come
	markCount
)

var markWords = [markCount]string{"start", "armed", "airborne", "hover", "position-hold", "path", "landed", "event"}

// String returns the word for m.
func (m Mark) String() string { return wordOf(int(m), markWords[:]) }

// ParseMark returns the mark called w.
func ParseMark(w string) (Mark, bool) { i := indexOf(w, markWords[:]); return Mark(i), i >= 0 }

// MarkWords lists the marks' words.
func MarkWords() []string { return markWords[:] }

// SeenMarkWords lists the words of the marks that a person can see.
func SeenMarkWords() []string { return markWords[:MarkEvent] }

// Marks holds the tick at which each mark was first passed, Never before.
type Marks struct{ At [markCount]int64 }

// NoMarks is the flight's beginning: only the start is passed.
func NoMarks() Marks {
	var m Marks
	for i := range m.At {
		m.At[i] = Never
	}
	m.At[MarkStart] = 0
	return m
}

// Note notes that mark is passed at tick when passed says so; only the first
// time counts.
func (m *Marks) Note(mark Mark, passed bool, tick int64) {
	if passed && m.At[mark] == Never {
		m.At[mark] = tick
	}
}

// Plan is what may go wrong in one run. It never changes in a run.
type Plan struct {
	Injects [MaxInjects]Inject
	Count   int // 0 … MaxInjects
}
