// Package pilot is who works the sticks: a script, a modelled person, recorded
// hands, and the two pilots of the forks, the unaware one who goes on with the
// task and the ideal one who does the right thing at once.
package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// MaxLegs bounds a plan.
const MaxLegs = 16

// Plan is the briefed task, leg after leg.
type Plan struct {
	Legs  [MaxLegs]Leg
	Count int
}

// Leg is one thing to do.
type Leg struct {
	Do       LegKind
	Height   float64        // m, of LegLift
	For      int64          // ticks, of LegHold
	Response hands.Response // of LegEngage
	Call     hands.Call     // of LegCall
	Step     hands.Step     // of LegStep
}

// LegKind is what a leg asks.
type LegKind uint8

// The legs. Each is over when the percept shows that it is.
const (
	LegNone   LegKind = iota
	LegCall           // say something
	LegStep           // take a step of the procedure
	LegArm            // release cut-off, throttle lowest, arm; over when armed
	LegLift           // take off in attitude to a height; over when within 0.15 m of it for 1 s
	LegEngage         // select a response type with the throttle matched; over when it is in force
	LegHold           // stay as it is for a time (in attitude: hover by eye)
	LegFollow         // with path engaged: until the path's end is reached
	LegLand           // come down at the place; over when standing with throttle lowest
	LegDisarm         // disarm and engage cut-off; over when both
	legCount
)

var legWords = [legCount]string{"", "call", "step", "arm", "lift", "engage", "hold", "follow", "land", "disarm"}

// String returns the word for k.
func (k LegKind) String() string {
	if k >= legCount {
		return "unknown"
	}
	return legWords[k]
}

// Progress is how far a plan has come. It is observed, not commanded, so it is
// the same whoever flies.
type Progress struct {
	Leg   int64 // index of the present leg; Count when all are done
	Since int64 // tick at which the present leg began
	Held  int64 // tick since which the leg's end condition holds, 0 while it does not
}

// Pilot is who works the sticks. Act is called every percept.Every ticks with
// the hands as they were and leaves them as they are now.
type Pilot interface {
	Act(p *percept.Percept, h *hands.Hands)
}
