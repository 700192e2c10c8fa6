package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// The rotors in one tick:
//
//  1. every aeroTicks ticks, table look-up, axial and edgewise flow, ground and
//     ceiling give thrust and aerodynamic torque for each square of the speed;
//  2. the duty commanded DelayTicks ago leaves the speed controller's queue;
//  3. the speed follows its target with an exact first-order lag;
//  4. thrust, arm, reaction torque and spin-up torque add to the body's wrench.
//
// Thrust and torque are taken at the speed in the middle of the tick and held
// over it. What never changes is worked out once by Craft.Prepare.

const (
	twoPi     = 2 * math.Pi
	stopSpeed = 1e-6 // rad/s, below which a rotor stands: keeps the decay away from denormal numbers
	aeroSpeed = 1.0  // rad/s, below which a rotor makes no thrust (a micronewton) and needs no advance ratio

	// aeroTicks is how long the coefficients stand: flow and height change little
	// in 4 ms, while the square of the speed, faults and breaking act at once.
	// Against coefficients of every tick, thrust is off by 0.4 % at most (0.08 %
	// rms) when the duty jumps by half, by 0.1 % in a roll at 8 Hz, by 1.3 % at
	// most at 8 m/s and 4 rad/s; it halves the time that rotors take.
	aeroTicks = 4
)

// rotorFixed is what Craft.Prepare derives for a rotor.
type rotorFixed struct {
	keep      float64 // 1, what a tick leaves of the distance to the target speed: exp(−DT/Lag)
	axisB     Vec3    // unit, AxisB once more, beside what is used with it
	armB      Vec3    // m, hub × axis: moment per thrust, and axial hub speed per body rate
	reactionB Vec3    // unit, −Spin·axis: the way the body is pushed by the torque on the propeller
	momentumB Vec3    // kg·m², −Inertia·reactionB: angular momentum per speed
	thrustK   float64 // m⁴, D⁴/(2π)²: thrust = CT·ρ·Ω²·thrustK
	torqueK   float64 // m⁵, D⁵/(2π)³: torque = CP·ρ·Ω²·torqueK
	advanceK  float64 // 1/m, 2π/D: advance ratio = v/Ω·advanceK
	spinUp    float64 // kg·m²/s, Inertia/DT: torque per change of speed in a tick
	electric  float64 // 1, 1/Efficiency
	ground    groundTable
}

// Prepare fills the derived fields of the craft, the inverse inertia among them. Whoever changes a craft calls
// it before the next Step.
func (c *Craft) Prepare() {
	c.reach, c.span = 0, 0
	for i := range c.RotorCount {
		r := &c.Rotors[i]
		axis := r.AxisB
		r.Prop.Prepare()
		d2 := r.Diameter * r.Diameter
		r.fixed = rotorFixed{
			keep:      kernel.Exp(-DT / r.Lag),
			axisB:     axis,
			armB:      r.PosB.Cross(axis),
			reactionB: axis.Scale(-r.Spin),
			momentumB: axis.Scale(r.Spin * r.Inertia),
			thrustK:   d2 * d2 / (twoPi * twoPi),
			torqueK:   d2 * d2 * r.Diameter / (twoPi * twoPi * twoPi),
			advanceK:  twoPi / r.Diameter,
			spinUp:    r.Inertia / DT,
			electric:  1 / r.Efficiency,
		}
		c.fillGround(i)
		c.reach = max(c.reach, float64(0.5*groundFar*r.Diameter)+r.PosB.Norm())
		c.span = max(c.span, float64(0.5*r.Diameter)+r.PosB.Norm())
	}
	if inv, ok := c.Inertia.Inverse(); ok {
		c.InertiaInv = inv
	}
	c.Battery.keep = kernel.Exp(-DT / c.Battery.RCTime)
	c.fillTouch()
	c.prepared = true
}

// rotorTick is what one tick makes of each rotor.
type rotorTick struct {
	mid    [MaxRotors]float64 // rad/s, speed in the middle of the tick
	gained [MaxRotors]float64 // rad/s, change of speed in the tick
}

// rotorStep moves the rotors on by a tick and writes what they do to the body.
// airB is the craft's velocity against the air, body axes, m/s. It returns the
// electrical power that the motors draw, W: shaft power, with what spins the
// rotors up, over each motor's efficiency; braking gives nothing back.
//
// The loops are separate so that the processor works on all rotors at once.
func rotorStep(c *Craft, p *Place, s *State, in *Input, airB Vec3, w *Wrench) (power float64) {
	if !c.prepared {
		panic("dynamics: Craft.Prepare was not called")
	}
	var t rotorTick
	rotors := c.Rotors[:min(c.RotorCount, MaxRotors)]
	if uint64(in.Tick)%aeroTicks == 0 || s.starts(rotors) {
		s.blow(c, p, in, &airB)
	}
	t.spin(rotors, c.Battery.FullVolts, s, in)
	return t.sum(rotors, s, in, w)
}

// spin passes the duties through the speed controllers' delay and moves the
// speeds towards what they ask for at the cells' voltage.
func (t *rotorTick) spin(rotors []Rotor, fullVolts float64, s *State, in *Input) {
	reached := s.Cell.Volts / fullVolts
	if s.Cell.BrownOut {
		reached = 0
	}
	for i := range rotors[:min(len(rotors), MaxRotors)] {
		r := &rotors[i]
		queue := &s.Queue[i]
		queue[uint64(in.Tick)%MaxDelay] = in.Duty[i]
		duty := queue[uint64(in.Tick-int64(r.DelayTicks))%MaxDelay]
		target := float64(duty * r.SpeedMax * reached * in.SpeedFactor[i])
		if s.Broken[i] {
			target = 0
		}
		old := s.RotorSpeed[i]
		now := target + float64((old-target)*r.fixed.keep)
		if now < stopSpeed {
			now = 0
		}
		s.RotorSpeed[i] = now
		t.mid[i] = float64(0.5 * (old + now))
		t.gained[i] = now - old
	}
}

// sum adds the rotors up to what the body and the battery feel. A broken rotor,
// and a motor without propeller, has neither thrust nor drag. A propeller the
// wrong way round, a thrust factor below 0, still drags as it does the right way.
func (t *rotorTick) sum(rotors []Rotor, s *State, in *Input, w *Wrench) (power float64) {
	var force, moment, momentum Vec3
	for i := range rotors[:min(len(rotors), MaxRotors)] {
		r := &rotors[i]
		f := &r.fixed
		mid := t.mid[i]
		thrust := float64(s.ThrustPer[i] * mid * mid * in.ThrustFactor[i])
		torque := float64(s.TorquePer[i] * mid * mid)
		drag := r.Drag * mid
		if s.Broken[i] || in.PropsOff {
			thrust, torque, drag = 0, 0, 0
		}
		s.Thrust[i], w.DragK[i] = thrust, drag
		shaft := torque + float64(f.spinUp*t.gained[i])
		if shaft > 0 {
			power += float64(float64(shaft*mid) * f.electric)
		}
		force = force.AddScaled(thrust, f.axisB)
		moment = moment.AddScaled(thrust, f.armB).AddScaled(shaft, f.reactionB)
		momentum = momentum.AddScaled(mid, f.momentumB)
	}
	w.ForceB, w.MomentB, w.SpinB = force, moment, momentum
	return power
}

// starts tells whether a rotor turns that has no coefficients yet.
func (s *State) starts(rotors []Rotor) bool {
	for i := range rotors[:min(len(rotors), MaxRotors)] {
		if s.ThrustPer[i] == 0 && s.RotorSpeed[i] > aeroSpeed && !s.Broken[i] {
			return true
		}
	}
	return false
}

// blow works out thrust and torque for each square of the speed. A broken rotor,
// or one that hardly turns, has none.
func (s *State) blow(c *Craft, p *Place, in *Input, airB *Vec3) {
	var near surroundings
	isNear := near.look(c, p, s)
	airSq := airB.NormSq()
	for i := range min(c.RotorCount, MaxRotors) {
		s.ThrustPer[i], s.TorquePer[i] = 0, 0
		speed := s.RotorSpeed[i]
		if !(speed > aeroSpeed) || s.Broken[i] {
			continue
		}
		r := &c.Rotors[i]
		f := &r.fixed
		perSpeed := f.advanceK / speed
		along := airB.Dot(f.axisB)
		j := float64((along + s.OmegaB.Dot(f.armB)) * perSpeed)
		edgeSq := float64((airSq - float64(along*along)) * float64(perSpeed*perSpeed))
		ct, cp, x := r.Prop.coefficients(float64(speed*(1/twoPi)), j, edgeSq)
		if x < ringFrom {
			ct *= ringRatio(in, i, x)
		}
		if isNear {
			ct *= near.gain(p, s, r)
		}
		s.ThrustPer[i] = float64(ct * float64(p.Air.Density*f.thrustK))
		s.TorquePer[i] = float64(cp * float64(p.Air.Density*f.torqueK))
	}
}
