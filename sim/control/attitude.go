package control

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// attitude moves thrust, heading and tilt command on and turns the attitude
// error into body rates.
func attitude(p *Params, s *State, in *Input, o *Outside) {
	b := in.Belief
	zB := b.QWB.AxisZ()
	s.observe(p, b, zB)
	if s.Acting.holdsHeight() {
		s.Thrust = alongBody(s.Lift, zB.Z)
	} else {
		s.Thrust = directThrust(p, s.Thrust, in.Hands.Throttle, attitudeDT)
	}
	s.Setpoint.Thrust = s.Thrust / p.TopTotal
	s.turn(p, in)
	if s.Acting == Acting(hands.Rate) {
		s.RateCmdB = stickRates(p, &in.Hands, s.YawRate)
		s.Setpoint.Heading = s.YawRef
		return
	}
	s.ZRefW = slewUnit(s.ZRefW, s.ZWantW, p.Limits.TiltRate*attitudeDT)
	s.RateCmdB = s.face(p, b.QWB, b.OmegaB)
	if o.takes(Attitude) {
		o.attitude(s, in)
	}
	s.Setpoint.Heading = s.YawRef
}

// alongBody returns the thrust along body z (N) whose upward part is lift, with
// cosine c of the tilt. Beyond 60° it fades, and upside down it is nothing: the
// mixer still finds thrust for the moments.
func alongBody(lift, c float64) float64 {
	const least = 0.5
	if c >= least {
		return lift / c
	}
	if c <= 0 {
		return 0
	}
	return lift * c / (least * least)
}

// stickRates returns the body rates (rad/s) that the sticks ask for in rate.
func stickRates(p *Params, h *hands.Hands, yawRate float64) kernel.Vec3 {
	st := &p.Sticks
	return kernel.Vec3{
		X: p.Limits.BodyRate * Curve(hands.Share(h.Roll), st.DeadBand, st.Expo),
		Y: p.Limits.BodyRate * Curve(hands.Share(h.Pitch), st.DeadBand, st.Expo),
		Z: yawRate,
	}
}

// yawLeash is the sine of half the heading error beyond which the heading to
// hold stops running ahead: about 40°.
const yawLeash = 0.34

// yawJump is how much faster than the yaw stick's the commanded yaw rate may
// change: a yaw moment that uses all its authority upsets roll, pitch and lift
// on the way, because thrust goes with the square of a lagging speed.
const yawJump = 1.5

// turn moves the heading to hold on, by the yaw stick or along the path.
func (s *State) turn(p *Params, in *Input) {
	if s.Acting == Acting(hands.Path) && in.Path.Active {
		s.YawRef, s.YawRate = wrap(in.Path.Yaw), in.Path.YawRate
		return
	}
	want := 0.0
	if s.sticksCount(in) {
		want = -p.Limits.YawRate * Curve(hands.Share(in.Hands.Yaw), p.Sticks.DeadBand, p.Sticks.YawExpo)
	}
	s.YawRate = slew(s.YawRate, want, p.Limits.YawAccel*attitudeDT)
	if s.YawErr > yawLeash && s.YawRate > 0 || s.YawErr < -yawLeash && s.YawRate < 0 {
		return
	}
	s.YawRef = wrap(s.YawRef + float64(s.YawRate*attitudeDT))
}

// slewUnit turns unit vector a towards unit vector b by step (rad) at most.
func slewUnit(a, b kernel.Vec3, step float64) kernel.Vec3 {
	d := b.Sub(a)
	if n := d.NormSq(); n > float64(step*step) {
		return a.AddScaled(step/math.Sqrt(n), d).Unit(b)
	}
	return b
}

// face returns the body rates (rad/s) that bring body z to ZRefW and the
// heading to YawRef. The error is split into the shortest turn that brings body
// z home and a turn about z that follows, each in proportion to the sine of
// half its angle, so that tilt is put right at its own pace whatever the
// heading: after Brescianini & D'Andrea, "Tilt-prioritized quadrocopter
// attitude control", IEEE Trans. Control Syst. Technol. 28(2), 2020, and
// Brescianini, Hehn & D'Andrea, "Nonlinear quadrocopter attitude control", ETH
// technical report 2013, eq. 23 (both from memory).
func (s *State) face(p *Params, q kernel.Quat, omegaB kernel.Vec3) kernel.Vec3 {
	if s.YawOf != s.YawRef || s.YawCos == 0 && s.YawSin == 0 {
		s.YawSin, s.YawCos = kernel.SinCos(0.5 * s.YawRef)
		s.YawOf = s.YawRef
	}
	tilt := turnUp(s.ZRefW)
	err := q.Conj().Mul(tilt.Mul(kernel.Quat{W: s.YawCos, Z: s.YawSin}))
	roll, pitch, yaw := splitError(err)
	s.YawErr = yaw
	w := kernel.Vec3{X: 2 * p.Gains.Attitude * roll, Y: 2 * p.Gains.Attitude * pitch}
	w = limit(w, p.Limits.BodyRate)
	if !s.hasYaw(p) {
		w.Z = omegaB.Z
		s.RateTrimB.Z, s.RateModelB.Z = 0, omegaB.Z
		return w
	}
	bound := 1.5 * p.Limits.YawRate
	w.Z = kernel.Clamp(2*p.Gains.Yaw*yaw, -bound, bound)
	w = w.AddScaled(s.YawRate, upInBody(q))
	w.Z = slew(s.RateCmdB.Z, w.Z, yawJump*p.Limits.YawAccel*attitudeDT)
	return w
}

// turnUp returns the shortest rotation that brings z up to the unit vector z,
// which must not point straight down.
func turnUp(z kernel.Vec3) kernel.Quat {
	w := math.Sqrt(0.5 * (1 + z.Z))
	k := 0.5 / w
	return kernel.Quat{W: w, X: -k * z.Y, Y: k * z.X}
}

// upInBody returns room z in body axes.
func upInBody(q kernel.Quat) kernel.Vec3 {
	return kernel.Vec3{
		X: 2 * (float64(q.X*q.Z) - float64(q.W*q.Y)),
		Y: 2 * (float64(q.Y*q.Z) + float64(q.W*q.X)),
		Z: 1 - 2*(float64(q.X*q.X)+float64(q.Y*q.Y)),
	}
}

// splitError splits the rotation err (body axes) into the shortest turn of body
// z, about an axis across z, and a turn about z that comes first. It returns the
// vector part of the former and the z part of the latter, both by the shorter
// way round. Straight upside down it takes the way round x.
func splitError(err kernel.Quat) (x, y, z float64) {
	n := math.Sqrt(float64(err.W*err.W) + float64(err.Z*err.Z))
	if n < 1e-6 {
		return 1, 0, 0
	}
	c, s := err.W/n, err.Z/n
	x = float64(err.X*c) - float64(err.Y*s)
	y = float64(err.X*s) + float64(err.Y*c)
	if c < 0 {
		s = -s
	}
	return x, y, s
}

// limit shortens a to length most.
func limit(a kernel.Vec3, most float64) kernel.Vec3 {
	if n := a.NormSq(); n > float64(most*most) {
		return a.Scale(most / math.Sqrt(n))
	}
	return a
}
