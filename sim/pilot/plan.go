// Package pilot is who works the sticks: a script, a modelled person, recorded
// hands, and the two pilots of the forks, the unaware one who goes on with the
// task and the ideal one who does the right thing at once.
package pilot

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// MaxLegs bounds a plan.
const MaxLegs = 24

// Plan is the briefed task, leg after leg.
type Plan struct {
	Legs  [MaxLegs]Leg
	Count int
}

// Leg is one thing to do.
type Leg struct {
	Do       LegKind
	Height   float64        // m, of LegLift
	For      int64          // ticks, of LegHold and LegIdle
	Response hands.Response // of LegEngage; of LegLift: the response type it is done in
	Call     hands.Call     // of LegCall
	Step     hands.Step     // of LegStep
	PlaceW   kernel.Vec3    // m, room, of LegMove
	Angle    float64        // rad, + left, of LegTurn
	Rate     float64        // rad/s, > 0, of LegTurn
	Radius   float64        // m, of LegTurn: of the arc that is flown; 0 turns in place
	Throttle float64        // 0 … 1, of LegRelease: where the throttle stands
}

// LegKind is what a leg asks.
type LegKind uint8

// The legs. Each is over when the percept, or what the person does, shows it.
const (
	LegNone        LegKind = iota
	LegCall                // say something
	LegStep                // take a step of the procedure
	LegArm                 // release cut-off, throttle lowest, arm; over when armed
	LegLift                // take off to a height; over when within 0.15 m of it for 1 s
	LegEngage              // select a response type with the throttle matched; over when it is in force
	LegHold                // stay as it is for a time (in attitude: hover by eye)
	LegFollow              // with path engaged: until the path's end is reached
	LegLand                // come down at the place; over when standing with throttle lowest
	LegDisarm              // disarm and engage cut-off; over when both
	LegInspect             // look at every place of the inspection list and tick it
	LegDecide              // call go or no-go by what was found; no-go ends the plan
	LegCarry               // carry the craft through its moves and compare what the station shows; over when set down
	LegTilt                // tilt the armed craft in the hand and compare what the motors do; over when set down
	LegCover               // cover the lens, watch the station's word on the camera, uncover
	LegPrompts             // answer what is asked for aloud, by its switch; over when no more is to come
	LegTurn                // turn by an angle at a rate, in place or on an arc; over when turned and steady
	LegMove                // fly to a place; over when near it for 0.3 s
	LegCutOff              // engage cut-off, throttle lowest; over when the motors have stopped
	LegRelease             // release cut-off with the throttle where it must not be: a demonstration
	LegIdle                // motors idle on the floor for a time
	LegTakeOver            // from path into attitude, throttle matched first, and to rest; over when both
	LegNameRefusal         // try to arm, read which check refuses and say it; over when said
	legCount
)

var legWords = [legCount]string{"", "call", "step", "arm", "lift", "engage", "hold", "follow", "land", "disarm",
	"inspect", "decide", "carry", "tilt", "cover", "prompts", "turn", "move", "cut-off", "release", "idle", "take-over",
	"name-refusal"}

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
	Leg    int64   // index of the present leg; Count when all are done
	Since  int64   // tick at which the present leg began
	Held   int64   // tick since which the leg's end condition holds, 0 while it does not
	Ticked uint64  // bit for each item of the inspection list that was ticked in this leg
	Turned float64 // rad, + left, turned in this leg
}

// Pilot is who works the sticks. Act is called every percept.Every ticks with
// the hands as they were and leaves them as they are now.
type Pilot interface {
	Act(p *percept.Percept, h *hands.Hands)
}
