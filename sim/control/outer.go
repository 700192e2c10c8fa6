package control

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// position turns place, height and path into commanded velocity.
func position(p *Params, s *State, in *Input) {
	s.seeHeight(in.Belief)
	if s.follows(in) {
		s.HoldPlace, s.HoldHeight = true, true
		s.OnPath, s.HoldW, s.VelRefW = true, in.Path.PosW, in.Path.VelW
		return
	}
	if s.OnPath { // paths count height from the floor of the room, holds as it is measured
		s.OnPath = false
		s.HoldW.Z += s.HeightSeen - in.Belief.PosW.Z
	}
	if s.Acting.holdsPlace() {
		s.moveAcross(p, in)
	}
	if s.Acting.holdsHeight() {
		s.moveUp(p, in)
	}
}

// follows tells whether setpoints are given instead of holding a place.
func (s *State) follows(in *Input) bool {
	return in.Path.Active && (s.Acting == Acting(hands.Path) || in.Steered && s.Acting == Acting(hands.PositionHold))
}

// height returns the height that is held (m).
func height(b *estimate.Belief) float64 {
	if b.HeightOK {
		return b.Height
	}
	return b.PosW.Z
}

// seeHeight takes the held height over where its source changes, so that only
// a source that jumps makes the craft jump.
func (s *State) seeHeight(b *estimate.Belief) {
	now := height(b)
	if b.HeightOK != s.OnRange {
		s.HoldW.Z += now - s.HeightSeen
		s.OnRange = b.HeightOK
	}
	s.HeightSeen = now
}

const (
	holdBelow   = 0.15 // m/s, speed below which braking is over and the place is taken
	holdAnyway  = 1000 // ticks, after which the place is taken in any case
	climbAtRest = 0.10 // m/s, the same as holdBelow for climb speed
)

// moveAcross follows the sticks across the room; centred, it brakes and then
// holds the place.
func (s *State) moveAcross(p *Params, in *Input) {
	b := in.Belief
	x, y := s.stickVelocity(p, in)
	if x != 0 || y != 0 {
		if s.HoldPlace {
			s.HoldPlace = false
			s.VelRefW.X, s.VelRefW.Y = b.VelW.X, b.VelW.Y
		}
		s.BrakeXY = 0
	}
	if s.HoldPlace {
		s.VelRefW.X, s.VelRefW.Y, s.AccRefW.X, s.AccRefW.Y = 0, 0, 0, 0
		return
	}
	was := s.VelRefW
	d := limit(kernel.Vec3{X: x - was.X, Y: y - was.Y}, p.Limits.Accel*positionDT)
	s.VelRefW.X, s.VelRefW.Y = was.X+d.X, was.Y+d.Y
	s.AccRefW.X, s.AccRefW.Y = d.X/positionDT, d.Y/positionDT
	if x != 0 || y != 0 || s.VelRefW.X != 0 || s.VelRefW.Y != 0 {
		return
	}
	s.BrakeXY += PositionEvery
	if b.VelW.NormXY() < holdBelow || s.BrakeXY > holdAnyway {
		s.HoldPlace = true
		s.HoldW.X, s.HoldW.Y = b.PosW.X, b.PosW.Y
	}
}

// moveUp follows the throttle up and down; in the dead-band it brakes and then
// holds the height.
func (s *State) moveUp(p *Params, in *Input) {
	b := in.Belief
	want := -p.Limits.Land
	if s.Acting != Landing {
		want = climbStick(p, in.Hands.Throttle)
		if s.Acting == Acting(hands.Path) || !s.sticksCount(in) { // the throttle does nothing
			want = 0
		}
	}
	if want != 0 {
		if s.HoldHeight {
			s.HoldHeight = false
			s.VelRefW.Z = b.VelW.Z
		}
		s.BrakeZ = 0
	}
	if s.HoldHeight {
		s.VelRefW.Z, s.AccRefW.Z = 0, 0
		return
	}
	was := s.VelRefW.Z
	s.VelRefW.Z = slew(was, want, p.Limits.ClimbAcc*positionDT)
	s.AccRefW.Z = (s.VelRefW.Z - was) / positionDT
	if want != 0 || s.VelRefW.Z != 0 {
		return
	}
	s.BrakeZ += PositionEvery
	if math.Abs(b.VelW.Z) < climbAtRest || s.BrakeZ > holdAnyway {
		s.HoldHeight = true
		s.HoldW.Z = s.HeightSeen
	}
}

// velocity turns commanded velocity and sticks into lift and the direction in
// which body z should point.
func velocity(p *Params, s *State, in *Input, o *Outside) {
	s.command(p, in, o)
	level := s.Acting == Landing && in.Belief.Health == estimate.Disagrees ||
		!s.Acting.holdsPlace() && !s.sticksCount(in)
	var lean kernel.Vec3
	switch {
	case !s.Acting.holdsHeight():
	case o.takes(Velocity) && !s.blind(in.Belief):
		lean = o.velocity(p, s, in)
	default:
		s.Lift = s.liftFor(p, in)
		if s.Acting.holdsPlace() && !level {
			lean = s.leanFor(p, in.Belief)
		}
	}
	switch {
	case level:
		s.ZWantW = kernel.Vec3{Z: 1}
	case s.Acting.holdsPlace():
		s.ZWantW = lean
	default:
		s.ZWantW = stickTilt(p, in.Belief.QWB, &in.Hands)
	}
	s.show(in.Belief)
}

// command adds the position loops' corrections to the velocity reference.
func (s *State) command(p *Params, in *Input, o *Outside) {
	b, l := in.Belief, &p.Limits
	z := s.HeightSeen
	if s.follows(in) {
		s.HoldW, s.VelRefW, s.AccRefW = in.Path.PosW, in.Path.VelW, in.Path.AccW
		z = b.PosW.Z
	}
	s.VelCmdW = s.VelRefW
	if o.takes(Position) {
		if s.Acting.holdsHeight() && (s.HoldPlace || s.HoldHeight) {
			o.position(s, in, z)
		}
		return
	}
	if s.HoldPlace {
		d := kernel.Vec3{X: p.Gains.Position * (s.HoldW.X - b.PosW.X), Y: p.Gains.Position * (s.HoldW.Y - b.PosW.Y)}
		d = limit(d, l.HoldSpeed)
		s.VelCmdW.X += d.X
		s.VelCmdW.Y += d.Y
	}
	if s.HoldHeight {
		s.VelCmdW.Z += kernel.Clamp(p.Gains.Height*(s.HoldW.Z-z), -l.ClimbDown, l.ClimbUp)
	}
}

// Bounds of the lift, as shares of the weight and of full thrust: never so low
// that the craft falls, never all that is there.
const (
	liftLeast = 0.3
	liftMost  = 0.95
	blindLift = 0.97 // of hover, for a landing with neither height nor velocity to go by
)

// liftFor returns the upward force (N) for the commanded climb speed.
func (s *State) liftFor(p *Params, in *Input) float64 {
	b := in.Belief
	hover := p.Mass * (p.Gravity - s.DisturbW.Z)
	if s.blind(b) {
		return blindLift * hover
	}
	acc := float64(p.Gains.Climb*(s.VelCmdW.Z-b.VelW.Z)) + s.AccRefW.Z
	most := 1.5 * p.Limits.ClimbAcc
	acc = kernel.Clamp(acc, -most, most)
	return kernel.Clamp(float64(hover)+float64(p.Mass*acc), liftLeast*p.Weight, liftMost*p.TopTotal)
}

// blind tells whether the craft lands with neither height nor velocity to go by.
func (s *State) blind(b *estimate.Belief) bool {
	return s.Acting == Landing && !b.HeightOK && b.Health == estimate.Disagrees
}

// leanFor returns where body z should point (unit, room axes) for the commanded
// horizontal velocity.
func (s *State) leanFor(p *Params, b *estimate.Belief) kernel.Vec3 {
	k := p.Gains.Velocity
	acc := kernel.Vec3{
		X: float64(k*(s.VelCmdW.X-b.VelW.X)) + s.AccRefW.X,
		Y: float64(k*(s.VelCmdW.Y-b.VelW.Y)) + s.AccRefW.Y,
	}
	acc = limit(acc, p.Limits.Accel)
	perLift := p.Mass / s.Lift
	lean := kernel.Vec3{X: (acc.X - s.DisturbW.X) * perLift, Y: (acc.Y - s.DisturbW.Y) * perLift}
	lean = limit(lean, p.Limits.TiltTan)
	lean.Z = 1
	return lean.Unit(kernel.Vec3{Z: 1})
}

// show writes the setpoint for instruments.
func (s *State) show(b *estimate.Belief) {
	sp := &s.Setpoint
	sp.PosW, sp.VelW = b.PosW, b.VelW
	sp.Place, sp.Height = s.Acting.holdsPlace() && s.HoldPlace, s.Acting.holdsHeight() && s.HoldHeight
	if sp.Place {
		sp.PosW.X, sp.PosW.Y = s.HoldW.X, s.HoldW.Y
	}
	if sp.Height {
		sp.PosW.Z = s.HoldW.Z
	}
	if s.Acting.holdsPlace() {
		sp.VelW.X, sp.VelW.Y = s.VelCmdW.X, s.VelCmdW.Y
	}
	if s.Acting.holdsHeight() {
		sp.VelW.Z = s.VelCmdW.Z
	}
	sp.Tilt = kernel.Atan2(s.ZWantW.NormXY(), s.ZWantW.Z)
	if s.Acting == Acting(hands.Rate) {
		sp.Tilt = b.QWB.Tilt()
	}
}
