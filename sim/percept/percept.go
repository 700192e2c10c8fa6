// Package percept is what a person at the pilot's place can see, hear and read,
// every 20 ms: the craft by eye, its motors by ear, the station's instruments.
// Never the hidden truth: not the estimate's error, not which inject is due.
//
// Cues, script rules and modelled pilots all speak of it, in one vocabulary of
// signs (sign.go), so what starts the clock is always something perceivable.
package percept

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// Every is the number of ticks between two percepts.
const Every = 20

// Percept is one look.
type Percept struct {
	Tick int64

	// By eye.
	PosW    kernel.Vec3 // m
	VelW    kernel.Vec3 // m/s
	Yaw     float64     // rad
	YawRate float64     // rad/s
	Tilt    float64     // rad, body up against room up
	TiltW   kernel.Vec3 // horizontal part of body up in room axes: which way it leans
	AccelW  kernel.Vec3 // m/s², of the craft as seen

	HoldW       kernel.Vec3 // m, the place it should be: hold point, briefed path, or where the hover began
	Uncommanded float64     // m/s, horizontal speed that hands and briefed path do not ask for
	Away        float64     // m, horizontal distance from HoldW
	PathSpeed   float64     // m/s, speed that the briefed path has now, else 0
	PathDone    bool        // the briefed path is at its end

	OnFloor       bool        // feet carry weight
	Contact       bool        // something but feet on floor was hit since the last percept
	Wall          float64     // m, least distance to net, wall, box or ceiling
	Above         float64     // m, to the ceiling or the net above
	Person        float64     // m, horizontal distance to the nearest person, large when none
	PersonClosing bool        // that distance shrinks faster than 0.2 m/s
	PersonW       kernel.Vec3 // m, where the nearest person stands; no meaning where there is none

	NoseIn     bool // the nose points at who flies
	Smoke      bool // smoke at the craft
	OtherMoves bool // another craft moves as the sticks do
	Held       bool // the craft is in a hand

	Item      uint8 // 1 + place of the inspection list that is looked at, 0 none
	ItemState uint8 // what it looks like: 0 sound, else a bench.Finding
	Items     uint8 // how many places the inspection list has
	Moves     uint8 // how many moves the carry has
	MoveDone  bool  // no move of the carry is under way

	// By ear.
	MotorsTurn bool    // any rotor turns
	OddRotor   float64 // greatest share by which a rotor's speed is off the mean of the others, 0 when motors are off
	Prompt     uint8   // what is asked for aloud: a prompt.Ask, 0 nothing
	Prompts    uint8   // how many are not answered yet, the present one among them

	// On the station.
	Armed      bool
	CutOff     bool           // in force on the craft, as reported
	Refused    hands.Call     // the call that says which arming check refused last, CallNone when none did
	Commanded  hands.Response // by the selector
	Actual     hands.Response // as reported by the craft
	Camera     uint8          // 0 agrees, 1 is doubtful, 2 disagrees
	LinkLost   bool           // link flag
	DeadSticks float64        // s for which a moved stick has had no answer
	Battery    uint8          // 0 good, 1 caution, 2 critical
	CellVolts  float64        // V for each cell
	HoverStick float64        // 0 … 1, where the throttle hovers in direct thrust (the hover mark)
	Landing    bool           // the craft says it is landing by itself
	CageAlert  bool           // the estimate is at the side of the cage, or beyond
	Silent     bool           // the station has had no telemetry for a while though the link is up
	Frozen     bool           // the picture that is flown by stands still

	ShownPosW kernel.Vec3                 // m, the estimate as the station shows it
	ShownVelW kernel.Vec3                 // m/s
	ShownYaw  float64                     // rad
	Tracks    uint8                       // landmarks that the camera follows
	Motors    [dynamics.MaxRotors]float64 // 0 … 1, commands as the station shows them

	// Of late, from one look to the next.
	Turned  float64 // rad/s, fastest turning of the last 2 s
	Swing   float64 // rad, amplitude of a lean that swings to and fro, 0 while it does not
	Swings  float64 // full swings in a row that did not die away
	Leap    float64 // m/s, vertical speed within 1 s of a change into direct thrust, else 0
	CutRuns float64 // s for which motors have turned with the cut-off engaged
	DeadFly float64 // s for which the craft has flown on after its lost-link action was due
	Flicker float64 // how often the link flag came up in the last 5 s
}
