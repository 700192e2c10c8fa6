package control

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// The rules by which gains follow from a craft.
const (
	// rateCrossover is the crossover of the body-rate loop times the lag of what
	// it drives (rotor lag and speed-controller delay). For an integrator with
	// lag τ it leaves a phase margin of 90° − atan(0.6) = 59° before delay and
	// integral action.
	rateCrossover = 0.6

	// cascade is how much slower each loop is than the one inside it. Two loops
	// in cascade make a second-order system with damping √cascade/2 = 0.87.
	cascade = 3.0

	// integralTimes is the integral time of a rate loop times its crossover: it
	// costs atan(1/5) = 11° of phase margin, and lets a craft with rotors to
	// spare trim out a lost one that it was not told of.
	integralTimes = 5.0

	// observerTimes is the same for the disturbance observers of the velocity
	// loops, which cost less phase because they know what was commanded.
	observerTimes = 2.5

	// nominalVolts is the share of full volts at which a pack works most of the
	// time: 3.7 V of 4.2 V, common practice.
	nominalVolts = 0.88

	trimShare      = 0.8 // of the authority that the integrators may use
	yawShareOfRate = 0.5 // yaw crossover over roll crossover where authority allows
	yawErrorFull   = 1.0 // rad/s, yaw rate error that may use the whole yaw authority
	climbMax       = 4.0 // rad/s, fastest vertical loop: height is measured no faster
	tiltMax        = 0.6 // rad, tilt limit where thrust allows
	tiltReserve    = 0.85
)

// Design chooses every gain and limit from craft and place, so that a craft
// that was never flown before flies without tuning. What a law file gives in o
// stands in place of what would be chosen, and the loops round it follow; o may
// be nil. The craft must be prepared (dynamics.Craft.Prepare).
func Design(c *dynamics.Craft, place *dynamics.Place, o *Overrides) Params {
	if o == nil {
		o = &Overrides{}
	}
	p := Params{
		Mass:       c.Mass,
		Gravity:    place.Air.Gravity,
		Weight:     float64(c.Mass * place.Air.Gravity),
		Inertia:    c.Inertia,
		Density:    place.Air.Density,
		RotorCount: c.RotorCount,
		FullVolts:  c.Battery.FullVolts,
	}
	hover := dynamics.HoverSpeed(c, place)
	delay := p.model(c, hover)
	p.YawFollow = 1
	if lead := p.yawLead(c, hover); lead > 0 {
		p.YawFollow = 1 - kernel.Exp(-dynamics.DT/lead)
	}
	p.Mix = NewMixer(&p, &[dynamics.MaxRotors]bool{})
	p.gains(o, p.Lag+delay)
	p.limits(o)
	p.stickShapes(o)
	return p
}

// model fills what the law knows of the rotors and returns the mean delay of
// their speed controllers (s).
func (p *Params) model(c *dynamics.Craft, hoverSpeed float64) (delay float64) {
	n := float64(c.RotorCount)
	for i := range c.RotorCount {
		r := &c.Rotors[i]
		kT, kQ := dynamics.Linear(c, p.Density, min(hoverSpeed, r.SpeedMax), i)
		p.Rotors[i] = RotorModel{
			PosB: r.PosB, AxisB: r.AxisB, Spin: r.Spin,
			KT: kT, KQ: kQ, SpeedMax: r.SpeedMax,
			Follow: 1 - kernel.Exp(-attitudeDT/r.Lag),
		}
		p.Top[i] = kT * r.SpeedMax * r.SpeedMax
		p.TopInv[i] = 1 / p.Top[i]
		p.TopTotal += float64(nominalVolts * nominalVolts * p.Top[i] * r.AxisB.Z)
		p.Lag += r.Lag / n
		delay += float64(r.DelayTicks) * dynamics.DT / n
	}
	return delay
}

// yawLead returns the time (s) by which yaw runs ahead of the rotors' torque:
// what spins a rotor up turns the craft at once. With torque 2·kQ·Ω·δΩ + J·dδΩ/dt
// the lead is J/(2·kQ·Ω), for small craft several times the rotors' lag. A lag
// of the same length takes it off the yaw demand, else the yaw loop would cross
// over far above its bandwidth and shake at every noise of the gyro.
func (p *Params) yawLead(c *dynamics.Craft, hoverSpeed float64) float64 {
	inertia, torque := 0.0, 0.0
	for i := range c.RotorCount {
		inertia += c.Rotors[i].Inertia
		torque += float64(2 * p.Rotors[i].KQ * hoverSpeed)
	}
	return inertia / torque
}

// authority returns the angular accelerations (rad/s², body axes) that the
// rotors can give either way in hover.
func (p *Params) authority() kernel.Vec3 {
	const huge = 1e9
	a := kernel.Vec3{X: huge, Y: huge, Z: huge}
	for i := range p.RotorCount {
		hover := float64(p.Mix.Thrust[i] * p.Weight)
		room := max(0, min(hover, float64(nominalVolts*nominalVolts*p.Top[i])-hover))
		a.X = min(a.X, share(room, p.Mix.Roll[i], huge)/p.Inertia[0])
		a.Y = min(a.Y, share(room, p.Mix.Pitch[i], huge)/p.Inertia[4])
		a.Z = min(a.Z, share(room, p.Mix.Yaw[i], huge)/p.Inertia[8])
	}
	return a
}

// share returns the moment that a rotor with room (N) and part (1/m) allows.
func share(room, part, huge float64) float64 {
	if part < 0 {
		part = -part
	}
	if part < 1e-9 {
		return huge
	}
	return room / part
}

// outer returns the bandwidth of a loop round one of bandwidth inner: as given,
// by the damping that is given, or by the rule.
func outer(inner float64, bandwidth, damping Choice) float64 {
	ratio := cascade
	if damping.Given {
		ratio = 4 * damping.Value * damping.Value
	}
	return bandwidth.or(inner / ratio)
}

// perTime returns gain/time, and 0 for a time of 0: no integral action.
func perTime(gain, time float64) float64 {
	if time <= 0 {
		return 0
	}
	return gain / time
}

// gains fills Gains; lag (s) is that of rotors and speed controllers together.
func (p *Params) gains(o *Overrides, lag float64) {
	g := &p.Gains
	can := p.authority()
	rate := o.RateBandwidth.or(rateCrossover / lag)
	yawRate := yawShareOfRate * rate
	if p.Mix.HasYaw {
		yawRate = min(yawRate, max(0.3, can.Z/yawErrorFull))
	}
	yawRate = o.YawRateBandwidth.or(yawRate)
	g.Rate = kernel.Vec3{X: rate, Y: rate, Z: yawRate}
	trim := perTime(rate, o.RateIntegralTime.or(integralTimes/rate))
	g.RateIntegral = kernel.Vec3{X: trim, Y: trim, Z: perTime(yawRate, o.YawRateIntegralTime.or(integralTimes/yawRate))}
	g.RateTrimMax = can.Scale(trimShare)

	g.Attitude = outer(rate, o.AttitudeBandwidth, o.AttitudeDamping)
	g.Yaw = outer(yawRate, o.YawBandwidth, o.YawDamping)
	g.Velocity = o.VelocityBandwidth.or(g.Attitude / cascade)
	g.Position = outer(g.Velocity, o.PositionBandwidth, o.PositionDamping)
	g.Climb = o.ClimbBandwidth.or(min(climbMax, rate/cascade))
	g.Height = outer(g.Climb, o.HeightBandwidth, o.HeightDamping)
	g.VelocityObserver = perTime(2, o.VelocityIntegralTime.or(observerTimes/g.Velocity))
	g.ClimbObserver = perTime(2, o.ClimbIntegralTime.or(observerTimes/g.Climb))
}

// limits fills Limits from thrust-to-weight and authority.
func (p *Params) limits(o *Overrides) {
	can := p.authority()
	lift := p.TopTotal / p.Weight
	tilt := tiltMax
	if x := 1 / (tiltReserve * lift); x < 1 {
		tilt = min(tilt, kernel.Acos(x))
	}
	tilt = max(0.05, tilt)
	yawAccel := 1.0
	if p.Mix.HasYaw {
		yawAccel = max(0.3, 0.5*can.Z)
	}
	l := &p.Limits
	*l = Limits{
		Tilt:      o.TiltLimit.or(tilt),
		TiltRate:  o.TiltRateLimit.or(4),
		BodyRate:  o.BodyRateLimit.or(min(5, can.X/p.Gains.Rate.X)),
		YawRate:   o.YawRateLimit.or(min(1.5, yawAccel)),
		YawAccel:  yawAccel,
		Speed:     o.SpeedLimit.or(2.5),
		HoldSpeed: 1,
		ClimbUp:   o.ClimbLimit.or(1.2),
		ClimbDown: o.DescentLimit.or(0.8),
		ClimbAcc:  o.ClimbAccelerationLimit.or(max(0.3, min(2, 0.5*p.Gravity*(lift-1)))),
		Land:      o.LandingSpeed.or(0.4),
		Disturb:   0.35 * p.Gravity,
		Idle:      0.06,
	}
	sin, cos := kernel.SinCos(l.Tilt)
	l.TiltSin, l.TiltTan = sin, sin/cos
	l.Accel = o.AccelerationLimit.or(min(4, 0.8*p.Gravity*l.TiltTan))
}

// stickShapes fills Sticks and Throttle with gentle shapes.
func (p *Params) stickShapes(o *Overrides) {
	p.Sticks = Sticks{DeadBand: o.DeadBand.or(0.05), Expo: o.Expo.or(0.3), YawExpo: o.YawExpo.or(0.3)}
	p.Throttle = Throttle{
		Kind: Holds, Map: Direct,
		DeadBand: o.ThrottleDeadBand.or(0.1),
		Curve:    o.ThrottleCurve.or(0),
		Rate:     0.5,
		Slew:     10,
	}
	if o.ThrottleGiven {
		p.Throttle.Kind, p.Throttle.Map = o.ThrottleKind, o.ThrottleMap
	}
}
