package control

import (
	"fmt"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Stage is the part of the cascade that a law from outside takes.
type Stage uint8

// The stages, and how often each is asked.
const (
	BuiltIn  Stage = iota // nothing: the whole law is the built-in one
	Whole                 // everything, from belief and hands to duties; every tick, motors on or off
	Position              // place → velocity; 50 Hz while a place or a height is held
	Velocity              // velocity → lift and where body z points; 50 Hz while height is held by itself
	Attitude              // where body z points and heading → body rates and thrust; 250 Hz but in rate
	Rate                  // body rates → moments; every tick in flight
	stageCount
)

var stageWords = [stageCount]string{"built-in", "whole", "position", "velocity", "attitude", "rate"}

// String returns the word for g.
func (g Stage) String() string { return stageWords[min(g, stageCount-1)] }

// StageWords lists the words of the stages that a law from outside can take.
func StageWords() []string { return stageWords[Whole:] }

// ParseStage returns the stage called w.
func ParseStage(w string) (Stage, bool) {
	for i := Whole; i < stageCount; i++ {
		if stageWords[i] == w {
			return i, true
		}
	}
	return BuiltIn, false
}

// Want is what a stage is to bring about. A stage finds its own part filled in;
// the rest is zero, and so is all of it for a whole law.
type Want struct {
	PosW    kernel.Vec3 // Position: m, room axes; where no place or height is held, the present one
	VelW    kernel.Vec3 // Position: m/s, to be added; Velocity: m/s, commanded; room axes
	AccW    kernel.Vec3 // Velocity: m/s², room axes, feed-forward
	ZW      kernel.Vec3 // Attitude: unit, room axes, where body z should point
	Yaw     float64     // Attitude: rad, −π … π, heading to hold
	YawRate float64     // Attitude: rad/s, how fast that heading turns
	RateB   kernel.Vec3 // Rate: rad/s, body axes
	Thrust  float64     // Attitude, Rate: N, along body z
}

// Answer is what a stage says. Only the part of its own stage counts.
type Answer struct {
	VelW    kernel.Vec3                 // Position: m/s, room axes
	Lift    float64                     // Velocity: N, upwards, ≥ 0
	ZW      kernel.Vec3                 // Velocity: unit, room axes, above the horizon
	RateB   kernel.Vec3                 // Attitude: rad/s, body axes
	Thrust  float64                     // Attitude: N, along body z, ≥ 0
	MomentB kernel.Vec3                 // Rate: N·m, body axes
	Duty    [dynamics.MaxRotors]float64 // Whole: 0 … 1; beyond that it is cut off
}

// Guest is a law from outside: a module, a process, or a Go type. It keeps its
// own memory, which is no part of the world.
type Guest interface {
	Stage() Stage
	// Act answers one question. It must answer the same to the same history; an
	// error ends the run.
	Act(in *Input, want *Want, out *Answer) error
	// Save returns the guest's memory as it is now, or an error that says why it
	// cannot be copied.
	Save() (Saved, error)
	// Close ends the guest. It may be called twice.
	Close() error
}

// Saved is the memory of a guest at one moment. Several may go on from it.
type Saved interface {
	// Start returns a guest that goes on from here.
	Start() (Guest, error)
}

// Outside is the talk with a guest in one run. It stands outside the world: a
// fork needs one of its own.
type Outside struct {
	Guest Guest
	Err   error // the first error; the guest is not asked again

	in     Input
	want   Want
	answer Answer
}

// NewOutside returns the talk with a guest that has not been asked.
func NewOutside(g Guest) *Outside { return &Outside{Guest: g} }

// takes tells whether the guest takes stage g; o may be nil.
func (o *Outside) takes(g Stage) bool { return o != nil && o.Guest.Stage() == g }

// ask puts the question in want and tells whether there is an answer.
func (o *Outside) ask(in *Input) bool {
	if o.Err != nil {
		return false
	}
	o.in, o.answer = *in, Answer{}
	if o.Err = o.Guest.Act(&o.in, &o.want, &o.answer); o.Err == nil {
		o.Err = o.answer.fault(o.Guest.Stage())
	}
	return o.Err == nil
}

// fault says what is wrong with the part of a that belongs to stage g.
func (a *Answer) fault(g Stage) error {
	switch g {
	case Whole:
		for i, d := range a.Duty {
			if !kernel.IsFinite(d) {
				return fmt.Errorf("the duty of rotor %d is %g, which is not a number to be flown", i, d)
			}
		}
	case Position:
		return notFinite("velocity", a.VelW, 0)
	case Velocity:
		if err := notFinite("lift or direction of body z", a.ZW, a.Lift); err != nil {
			return err
		}
		if n := a.ZW.NormSq(); !(n > 0.98 && n < 1.02) || a.ZW.Z < 0 {
			return fmt.Errorf("body z should point to (%.3g, %.3g, %.3g), which is not a unit vector above the horizon", a.ZW.X, a.ZW.Y, a.ZW.Z)
		}
	case Attitude:
		return notFinite("body rate or thrust", a.RateB, a.Thrust)
	case Rate:
		return notFinite("moment", a.MomentB, 0)
	}
	return nil
}

func notFinite(what string, v kernel.Vec3, x float64) error {
	if kernel.IsFinite(v.X + v.Y + v.Z + x) {
		return nil
	}
	return fmt.Errorf("the %s is (%g, %g, %g) and %g, which are not numbers to be flown", what, v.X, v.Y, v.Z, x)
}

// whole lets the guest do everything. Motors that are off stay off.
func (o *Outside) whole(p *Params, s *State, in *Input, out *Output) {
	*out = Output{}
	s.rest(in.Belief)
	o.want = Want{}
	if !o.ask(in) || !in.Status.MotorsOn {
		s.Duty = out.Duty
		return
	}
	for i := range p.RotorCount {
		out.Duty[i] = kernel.Clamp(o.answer.Duty[i], 0, 1)
	}
	s.Duty = out.Duty
}

// position asks for the velocity towards what is held; z is the height (m) that
// is compared with the held one.
func (o *Outside) position(s *State, in *Input, z float64) {
	b := in.Belief
	o.want = Want{PosW: b.PosW, VelW: s.VelRefW}
	if s.HoldPlace {
		o.want.PosW.X, o.want.PosW.Y = s.HoldW.X, s.HoldW.Y
	}
	if s.HoldHeight {
		o.want.PosW.Z = b.PosW.Z + (s.HoldW.Z - z)
	}
	if o.ask(in) {
		s.VelCmdW = o.answer.VelW
	}
}

// velocity asks for lift and direction. Each counts only where the built-in law
// would choose it by itself.
func (o *Outside) velocity(p *Params, s *State, in *Input) (zW kernel.Vec3) {
	o.want = Want{VelW: s.VelCmdW, AccW: s.AccRefW}
	up := kernel.Vec3{Z: 1}
	if !o.ask(in) {
		return up
	}
	s.Lift = kernel.Clamp(o.answer.Lift, 0, p.TopTotal)
	return o.answer.ZW.Unit(up)
}

// attitude asks for body rates and thrust.
func (o *Outside) attitude(s *State, in *Input) {
	o.want = Want{ZW: s.ZRefW, Yaw: s.YawRef, YawRate: s.YawRate, Thrust: s.Thrust}
	if o.ask(in) {
		s.RateCmdB, s.Thrust = o.answer.RateB, max(0, o.answer.Thrust)
	}
}

// rate asks for moments.
func (o *Outside) rate(s *State, in *Input) {
	o.want = Want{RateB: s.RateCmdB, Thrust: s.Thrust}
	if o.ask(in) {
		s.MomentB = o.answer.MomentB
	}
}
