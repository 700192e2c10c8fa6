// Package judge notes what happened and what was done about it: when the fault
// began, when a person could perceive it, the first input, the first right
// action, each step after, what was left out and what should not have been
// done. It notes facts; package score turns them into GO or NO-GO.
package judge

import (
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Bounds of a drill; the reader of scenario files refuses more.
const (
	MaxCues        = 4
	MaxDemands     = 8
	MaxCommissions = 8
	MaxExceedances = 4
	MaxChoices     = 3
)

// NoLimit stands for a time limit that never comes.
const NoLimit int64 = 1 << 40

// Drill is what is expected of the person in one event.
type Drill struct {
	Event     uint8 // row of the events table, 0 when none
	Class     Class
	Announced Announced
	Target    float64 // s from the cue to the first right action
	Limit     float64 // s, the class limit or tighter

	Demonstration bool  // shown on purpose: neither GO nor NO-GO, and motors may be restarted the wrong way
	Emerges       bool  // no inject makes it: it begins with its cue
	From          uint8 // of Emerges: the inject.Mark from which on its cues are watched
	MaySwitchOff  bool  // procedures permit switching the transmitter off as the first response

	Cues     [MaxCues]percept.Rule // any of them starts the clock
	CueCount int

	Demands     [MaxDemands]Demand // the first that is First decides the first right action
	DemandCount int

	Commissions     [MaxCommissions]Commission
	CommissionCount int

	Exceedances     [MaxExceedances]Exceedance
	ExceedanceCount int

	Call hands.Call // the call-out that belongs to the event, CallNone when none

	Outcome Outcome
	Weights Weights
}

// Class groups events by how fast the answer must be.
type Class uint8

// The classes.
const (
	ClassN Class = iota // no event: complete the plan
	ClassA              // stop now
	ClassB              // take over
	ClassC              // land now
	ClassD              // land soon
	ClassE              // hold and tell
	ClassF              // people
)

// String returns the letter of c.
func (c Class) String() string { return string("NABCDEF"[min(c, ClassF)]) }

// Words says what c asks.
func (c Class) Words() string {
	return [...]string{"carry on", "stop now", "take over", "land now", "land soon", "hold and tell", "protect people"}[min(c, ClassF)]
}

// Announced is how much a person is told beforehand of what will come.
type Announced uint8

// The grades. What is announced fully measures doing; what is not announced
// measures noticing; half announced, the kind is known and the time is not.
const (
	AnnouncedNot   Announced = iota // nothing
	AnnouncedKind                   // what, not when
	AnnouncedFully                  // what and when
	announcedCount
)

var announcedWords = [announcedCount]string{"no", "kind", "fully"}

// String returns the word for a.
func (a Announced) String() string { return announcedWords[min(a, AnnouncedFully)] }

// Words says a in a sentence.
func (a Announced) Words() string {
	return [...]string{"unannounced", "half announced: the kind is known, the time is not", "announced"}[min(a, AnnouncedFully)]
}

// AnnouncedWords lists the grades' words.
func AnnouncedWords() []string { return announcedWords[:] }

// Demand is one required action.
type Demand struct {
	AnyOf    [MaxChoices]Deed // any of them fulfils it
	Count    int
	Within   int64 // ticks from the cue, or NoLimit
	Critical bool  // leaving it out is a critical omission
	First    bool  // it counts as the first right action
	Ordered  bool  // it must not come before the demand above it
}

// Deed is something done, with its level where the kind has one.
type Deed struct {
	Kind  DeedKind
	Level float64    // unit as said at the kind
	Call  hands.Call // of DeedCall
	Step  hands.Step // of DeedStep
}

// Commission is something that should not be done after the cue.
type Commission struct {
	Deed  Deed
	Grade Grade
}

// Exceedance is a limit of the flight: a figure above its level for a time, in
// the air, before or after the cue.
type Exceedance struct {
	Rule  percept.Rule
	Grade Grade
}

// Grade says how much a commission weighs.
type Grade uint8

// The grades.
const (
	Minor Grade = iota
	Major
	Critical
)

// String returns the word for g.
func (g Grade) String() string { return [...]string{"minor", "major", "critical"}[min(g, Critical)] }

// Outcome is what must not happen: any of it is a hard outcome.
type Outcome struct {
	Contact      bool    // contact other than feet on floor
	Touchdown    float64 // m/s
	LeaveCage    bool
	PersonRadius bool
	Tilt         float64 // rad, beyond what the action asks
}

// DefaultOutcome returns the outcome that holds unless a scenario says
// otherwise.
func DefaultOutcome() Outcome {
	return Outcome{Contact: true, Touchdown: 2, LeaveCage: true, PersonRadius: true, Tilt: 1.0471975511965976}
}

// Weights weigh the four parts of the trend number; their sum is 1. They are a
// choice, not a finding, and every report prints them.
type Weights struct {
	Time      float64 `json:"time"`
	Actions   float64 `json:"actions"`
	Control   float64 `json:"control"`
	Procedure float64 `json:"procedure"`
}

// DefaultWeights returns the weights that hold unless a scenario says otherwise.
func DefaultWeights() Weights {
	return Weights{Time: 0.35, Actions: 0.35, Control: 0.20, Procedure: 0.10}
}
