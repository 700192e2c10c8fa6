package control

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/path"
	"lapwing/sim/safety"
)

// How often each loop runs, in ticks.
const (
	AttitudeEvery = 4  // 250 Hz
	VelocityEvery = 20 // 50 Hz
	PositionEvery = 40 // 25 Hz

	attitudeDT = AttitudeEvery * dynamics.DT // s
	velocityDT = VelocityEvery * dynamics.DT // s
	positionDT = PositionEvery * dynamics.DT // s
)

// Input is what the law sees in one tick. Nothing in it is kept.
type Input struct {
	Tick       int64
	Belief     *estimate.Belief
	Hands      hands.Hands    // as heard by the craft
	Status     *safety.Status // what the watchman decided
	CellVolts  float64        // V for each cell, as measured
	Path       path.Setpoint
	Steered    bool                        // the on-board program gives setpoints in position-hold as well
	HasSpeeds  bool                        // the craft reports rotor speeds
	RotorSpeed [dynamics.MaxRotors]float64 // rad/s, as reported
}

// Output is what the law commands.
type Output struct {
	Duty [dynamics.MaxRotors]float64 // 0 … 1
}

// Acting is what the law is doing: a response type, or landing by itself.
type Acting uint8

// Landing comes after the response types, with whose numbers Acting begins.
const Landing = Acting(hands.Path) + 1

// holdsHeight and holdsPlace tell which loops are closed.
func (a Acting) holdsHeight() bool { return a >= Acting(hands.HeightHold) }
func (a Acting) holdsPlace() bool  { return a >= Acting(hands.PositionHold) }

// Setpoint is what the law is after, for instruments and records.
type Setpoint struct {
	PosW    kernel.Vec3 // m; the present place where no place is held
	VelW    kernel.Vec3 // m/s; the present velocity where none is commanded
	Tilt    float64     // rad, commanded tilt
	Heading float64     // rad, commanded heading
	Thrust  float64     // 0 … 1, share of full thrust
	Place   bool        // a place is held
	Height  bool        // a height is held
}

// State is everything of the law that changes. It is a plain value; the zero
// value is a law that has not run.
type State struct {
	Running bool   // the motors were on in the last tick
	Fresh   bool   // the craft stood in the last tick: begin anew on leaving
	Acting  Acting // in the last tick

	RateCmdB   kernel.Vec3 // rad/s, commanded body rates
	RateModelB kernel.Vec3 // rad/s, where the rates should be by now
	RateTrimB  kernel.Vec3 // rad/s², integrators of the rate loops
	MomentB    kernel.Vec3 // N·m, demanded in the last tick

	ZWantW  kernel.Vec3 // unit, room axes, where body z should point
	ZRefW   kernel.Vec3 // unit, room axes, the same after the slew limit
	YawRef  float64     // rad, −π … π, heading to hold
	YawOf   float64     // rad, heading of which YawCos and YawSin are kept
	YawCos  float64     // cosine of half of YawOf
	YawSin  float64     // sine of half of YawOf
	YawErr  float64     // sine of half the heading error
	YawRate float64     // rad/s, commanded

	Thrust    float64 // N, along body z, commanded
	Given     float64 // N, along body z, left by the mixer
	ThrustLag float64 // N, Given after the rotors' lag
	Lift      float64 // N, upwards, wanted by the height loop

	HoldW      kernel.Vec3 // m, the place and height to hold
	HoldPlace  bool        // HoldW.X, HoldW.Y are in force
	HoldHeight bool        // HoldW.Z is in force
	VelRefW    kernel.Vec3 // m/s, slewed velocity command
	VelCmdW    kernel.Vec3 // m/s, with the position loop's correction
	AccRefW    kernel.Vec3 // m/s², feed-forward
	BrakeXY    int64       // ticks since the horizontal command is nil
	BrakeZ     int64       // ticks since the vertical command is nil
	OnRange    bool        // height is taken from Belief.Height
	OnPath     bool        // a running path was followed in the last position step
	HeightSeen float64     // m, in the last height step
	VelSeenW   kernel.Vec3 // m/s, the observer's velocity
	DisturbW   kernel.Vec3 // m/s², the observer's disturbance

	Volts    float64                     // measured over full volts, smoothed; 0 before the first tick
	VoltsInv float64                     // 1/Volts
	Top      [dynamics.MaxRotors]float64 // N, at present volts
	Duty     [dynamics.MaxRotors]float64 // 0 … 1, in the last tick
	Limited  Limited                     // by the mixer in the last tick

	Watching  bool                        // rotor speeds have been seen
	Expect    [dynamics.MaxRotors]float64 // rad/s, that rotor speeds should be
	Off       [dynamics.MaxRotors]uint8   // attitude steps for which a speed has been off
	Gone      [dynamics.MaxRotors]bool    // rotors known to be lost
	GoneCount int
	Mix       Mixer // without the lost rotors, in force when GoneCount > 0

	Setpoint Setpoint
}

// Start returns the state of a law that has not run. It is the zero value
// whatever the craft: what depends on it is taken up in the first tick with the
// motors on.
func Start(*Params) State { return State{} }
