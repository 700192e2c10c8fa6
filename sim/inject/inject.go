// Package inject is what is made to go wrong: which thing, how hard, and when.
//
// It stands apart because only it knows what is coming; every other stage sees
// its effects and nothing else. The way of the data:
//
//  1. a Plan says what may come (this file), each inject with an Onset: a mark
//     of the flight, a floor, and a random wait above it;
//  2. as the flight passes its Marks, each inject's tick is drawn (due.go);
//  3. from that tick on its Effects act: factors, offsets, losses;
//  4. an instructor may send one now, withdraw it, hold it back or make it
//     ready again.
//
// An inject of zero severity leaves every effect exactly as without it.
package inject

import "fmt"

// MaxInjects bounds the injects of one plan.
const MaxInjects = 4

// Never stands for a tick that has not come.
const Never int64 = -1

// Forever is for Lasts: the inject stays until the run ends.
const Forever int64 = 1 << 62

// AllRotors is for Rotor: the inject strikes all rotors alike.
const AllRotors = -1

// Kind is what goes wrong.
type Kind uint8

// The kinds, with what Severity means for each.
const (
	None            Kind = iota
	EstimateDrift        // the camera's position walks off: m/s
	EstimateJump         // the camera's position is off by a fixed step: m
	EstimateRunaway      // the camera's position walks off ever faster: m/s²
	HeadingError         // the camera's heading is off by a fixed angle: rad, + is left
	VisionLost           // no camera fixes: 1
	LostLink             // no frame sent is heard: 1
	MotorFailure         // a motor reaches less speed: share lost, 1 stops it
	ThrustLoss           // a propeller gives less thrust: share lost
	Gust                 // wind: m/s at its full strength
	VoltageSag           // each cell gives less: V
	kindCount
)

var kindWords = [kindCount]string{"none", "estimate-drift", "estimate-jump", "estimate-runaway", "heading-error",
	"vision-lost", "lost-link", "motor-failure", "thrust-loss", "gust", "voltage-sag"}

// unit and largest sensible severity of each kind. The limits are judgements:
// beyond them the craft's model or the room's size says nothing any more.
var severities = [kindCount]struct {
	unit string
	max  float64
}{
	None: {"", 0}, EstimateDrift: {"m/s", 10}, EstimateJump: {"m", 20}, EstimateRunaway: {"m/s²", 20},
	HeadingError: {"rad", 3.2}, VisionLost: {"", 1}, LostLink: {"", 1}, MotorFailure: {"share", 1},
	ThrustLoss: {"share", 1}, Gust: {"m/s", 20}, VoltageSag: {"V for each cell", 4.2},
}

// String returns the word for k.
func (k Kind) String() string { return wordOf(int(k), kindWords[:]) }

// ParseKind returns the kind called w; none cannot be asked for.
func ParseKind(w string) (Kind, bool) { i := indexOf(w, kindWords[1:]); return Kind(i + 1), i >= 0 }

// KindWords lists the kinds' words.
func KindWords() []string { return kindWords[1:] }

// Unit is the unit of severity, "" where it is 0 or 1.
func (k Kind) Unit() string { return severities[min(k, kindCount-1)].unit }

// OnRotor tells whether Rotor matters.
func (k Kind) OnRotor() bool { return k == MotorFailure || k == ThrustLoss }

// Directed tells whether DirectionW matters.
func (k Kind) Directed() bool {
	return k == EstimateDrift || k == EstimateJump || k == EstimateRunaway || k == Gust
}

// Switches tells whether the inject is there or not, with nothing between.
func (k Kind) Switches() bool { return k == VisionLost || k == LostLink }

// Inject is one thing made to go wrong.
type Inject struct {
	Kind       Kind
	Onset      Onset
	Severity   float64 // 0 nothing; unit by kind; only HeadingError may be negative
	DirectionW float64 // rad from room x towards y: the way the estimate walks or the air moves
	Rotor      int     // 0 … rotors−1, or AllRotors
	RampTicks  int64   // ticks from nothing to full severity, 0 at once
	LastsTicks int64   // ticks from onset to end, > 0, or Forever
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
	markCount
)

var markWords = [markCount]string{"start", "armed", "airborne", "hover", "position-hold", "path", "landed"}

// String returns the word for m.
func (m Mark) String() string { return wordOf(int(m), markWords[:]) }

// ParseMark returns the mark called w.
func ParseMark(w string) (Mark, bool) { i := indexOf(w, markWords[:]); return Mark(i), i >= 0 }

// MarkWords lists the marks' words.
func MarkWords() []string { return markWords[:] }

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

func wordOf(i int, words []string) string {
	if i < 0 || i >= len(words) {
		return "unknown"
	}
	return words[i]
}

func indexOf(w string, words []string) int {
	for i, candidate := range words {
		if candidate == w {
			return i
		}
	}
	return -1
}

// Says says in plain words, as the second half of a sentence, what the inject
// does to the craft.
func (in *Inject) Says() string {
	switch in.Kind {
	case EstimateDrift:
		return fmt.Sprintf("the position estimate began to slide away at %.2f m/s", in.Severity)
	case EstimateJump:
		return fmt.Sprintf("the position estimate jumped by %.1f m", in.Severity)
	case EstimateRunaway:
		return fmt.Sprintf("the position estimate began to run away at %.1f m/s²", in.Severity)
	case HeadingError:
		return fmt.Sprintf("the heading estimate went wrong by %.0f degrees", in.Severity*57.29577951308232)
	case VisionLost:
		return "the camera stopped giving positions"
	case LostLink:
		return "the link to the craft went dead"
	case MotorFailure:
		if in.Severity >= 1 {
			return "a motor stopped"
		}
		return fmt.Sprintf("a motor lost %.0f %% of its speed", 100*in.Severity)
	case ThrustLoss:
		return fmt.Sprintf("a propeller lost %.0f %% of its thrust", 100*in.Severity)
	case Gust:
		return fmt.Sprintf("a gust of %.1f m/s came", in.Severity)
	case VoltageSag:
		return fmt.Sprintf("each cell's voltage began to sag by %.2f V", in.Severity)
	}
	return "nothing was made to go wrong"
}
