// Package control is the built-in law: what the motors do, from what the craft
// believes and what it was told.
//
//  1. the response type in force says which loops are closed       (respond.go)
//  2. position, 25 Hz: where → how fast, held place, path          (outer.go)
//  3. velocity, 50 Hz: how fast → lift and where body z points     (outer.go)
//  4. attitude, 250 Hz: where z points and heading → body rates    (attitude.go)
//  5. rate, every tick: body rates → moments                       (rate.go)
//  6. mixer, every tick: thrust and moments → rotor thrusts → duty (mixer.go, allocate.go)
//
// A disturbance observer stands in for the integrators of the velocity loops
// (observer.go). Gains follow from the craft (design.go); what a craft can do
// after a rotor is lost follows from its geometry (attainable.go). A law from
// outside may take one of the stages 2 to 5, or everything (guest.go).
//
// It stands apart because it is the part that a laboratory replaces by its own.
package control

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// Law moves the law on by one tick and writes the duties. With the motors off
// all duties are 0; standing on the floor with the throttle lowest, rotors idle.
func Law(p *Params, s *State, in *Input, out *Output) { LawWith(p, s, in, out, nil) }

// LawWith is Law with one stage, or all of them, taken by a law from outside.
// What goes wrong with it stands in o.Err, and the duties then count for
// nothing; o may be nil.
func LawWith(p *Params, s *State, in *Input, out *Output, o *Outside) {
	if o.takes(Whole) {
		o.whole(p, s, in, out)
		return
	}
	if !in.Status.MotorsOn {
		if s.Running || s.Volts != 0 {
			*s = State{}
		}
		s.rest(in.Belief)
		*out = Output{}
		return
	}
	outer := s.Volts == 0 || in.Tick%VelocityEvery == 0
	if outer {
		s.hearVolts(p, in.CellVolts)
	}
	if in.HasSpeeds && in.Tick%AttitudeEvery == 0 {
		s.watchRotors(p, in)
	}
	if in.Status.Landed {
		s.idle(p, in.Belief, out)
		return
	}
	entered := s.enter(p, in)
	if entered || in.Tick%PositionEvery == 0 {
		position(p, s, in)
	}
	if entered || outer {
		velocity(p, s, in, o)
	}
	if entered || in.Tick%AttitudeEvery == 0 {
		attitude(p, s, in, o)
	}
	if o.takes(Rate) {
		o.rate(s, in)
	} else {
		rate(p, s, in.Belief)
	}
	drive(p, s, out)
}

// rest marks the present place as the setpoint.
func (s *State) rest(b *estimate.Belief) {
	s.Setpoint = Setpoint{PosW: b.PosW, VelW: b.VelW}
}

// hearVolts follows the measured cell voltage with a time constant of about
// 60 ms. A voltage that cannot be is taken as full.
func (s *State) hearVolts(p *Params, volts float64) {
	now := volts / p.FullVolts
	if !(now > 0.4 && now < 1.3) {
		now = 1
	}
	if s.Volts == 0 {
		s.Volts = now
	}
	s.Volts += float64(0.3 * (now - s.Volts))
	s.VoltsInv = 1 / s.Volts
	sq := float64(s.Volts * s.Volts)
	for i := range p.RotorCount {
		s.Top[i] = p.Top[i] * sq
		if s.Gone[i] {
			s.Top[i] = 0
		}
	}
}

// idle turns the rotors slowly and forgets what was flown.
func (s *State) idle(p *Params, b *estimate.Belief, out *Output) {
	*out = Output{}
	for i := range p.RotorCount {
		if !s.Gone[i] {
			out.Duty[i] = p.Limits.Idle
		}
	}
	s.Running, s.Fresh = true, true
	s.Duty = out.Duty
	s.RateTrimB, s.MomentB = kernel.Vec3{}, kernel.Vec3{}
	s.Thrust, s.Given, s.ThrustLag, s.Lift = 0, 0, 0, 0
	s.DisturbW, s.Limited = kernel.Vec3{}, Limited{}
	s.rest(b)
}

// enter notes what the law is to do now and prepares a change so that nothing
// jumps. It tells whether something changed.
func (s *State) enter(p *Params, in *Input) bool {
	act := Acting(in.Status.Response)
	if in.Status.Landing {
		act = Landing
	}
	anew := !s.Running || s.Fresh
	if act == s.Acting && !anew {
		return false
	}
	b, before := in.Belief, s.Acting
	if anew {
		s.RateModelB, s.RateTrimB = b.OmegaB, kernel.Vec3{}
		s.VelSeenW, s.DisturbW = b.VelW, kernel.Vec3{}
	}
	if anew || before == Acting(hands.Rate) {
		s.faceAsIs(b)
	}
	path := act == Acting(hands.Path) || before == Acting(hands.Path)
	if anew || path || !before.holdsPlace() || !s.HoldPlace {
		s.HoldPlace, s.BrakeXY = false, 0
		s.VelRefW.X, s.VelRefW.Y = b.VelW.X, b.VelW.Y
	}
	if anew || path || !before.holdsHeight() {
		s.HoldHeight, s.BrakeZ = false, 0
		s.VelRefW.Z = b.VelW.Z
		s.OnRange, s.HeightSeen = b.HeightOK, height(b)
	}
	s.Running, s.Fresh, s.OnPath, s.Acting = true, false, false, act
	return true
}

// faceAsIs takes the present attitude as the one commanded.
func (s *State) faceAsIs(b *estimate.Belief) {
	up := kernel.Vec3{Z: 1}
	s.ZRefW = up
	if z := b.QWB.AxisZ(); z.Z > 0.5 {
		s.ZRefW = z.Unit(up)
	}
	s.ZWantW = s.ZRefW
	s.YawRef = heading(b.QWB)
	s.YawErr, s.YawRate = 0, 0
}

// heading returns the angle (rad) by which q turns about room z, its tilt taken
// off by the shortest way.
func heading(q kernel.Quat) float64 {
	return wrap(2 * kernel.Atan2(q.Z, q.W))
}

// wrap brings an angle within 3π of 0 to −π … π.
func wrap(a float64) float64 {
	if a > math.Pi {
		return a - 2*math.Pi
	}
	if a < -math.Pi {
		return a + 2*math.Pi
	}
	return a
}

// drive shares the demand out and turns thrusts into duties.
func drive(p *Params, s *State, out *Output) {
	m := &p.Mix
	if s.GoneCount > 0 {
		m = &s.Mix
	}
	d := Demand{s.Thrust, s.MomentB.X, s.MomentB.Y, s.MomentB.Z}
	var t [dynamics.MaxRotors]float64
	s.Limited, s.Given = m.Allocate(&d, &s.Top, &t)
	for i := range min(p.RotorCount, dynamics.MaxRotors) {
		duty := math.Sqrt(t[i]*p.TopInv[i]) * s.VoltsInv
		if !(duty > p.Limits.Idle) {
			duty = p.Limits.Idle
		}
		if duty > 1 {
			duty = 1
		}
		if s.Gone[i] {
			duty = 0
		}
		out.Duty[i], s.Duty[i] = duty, duty
	}
}
