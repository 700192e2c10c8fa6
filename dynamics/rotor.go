package dynamics

import (
	"math"

	"lapwing/dynamics/kernel"
)

// The rotors in one tick:
//
//  1. the duty commanded DelayTicks ago leaves the speed controller's queue;
//  2. the speed follows its target with an exact first-order lag;
//  3. table look-up, axial and edgewise flow, ground and ceiling give thrust and
//     aerodynamic torque;
//  4. thrust, arm, reaction torque and spin-up torque add to the body's wrench.
//
// Thrust and torque are taken at the speed in the middle of the tick and held
// over it. What never changes is worked out once by Craft.Prepare.

const (
	twoPi     = 2 * math.Pi
	stopSpeed = 1e-6 // rad/s, below which a rotor stands: keeps the decay away from denormal numbers
	aeroSpeed = 1.0  // rad/s, below which a rotor makes no thrust (a micronewton) and needs no advance ratio
)

// rotorFixed is what Craft.Prepare derives for a rotor.
type rotorFixed struct {
	keep      float64 // 1, what a tick leaves of the distance to the target speed: exp(−DT/Lag)
	armB      Vec3    // m, hub × axis: moment per thrust, and axial hub speed per body rate
	reactionB Vec3    // unit, −Spin·axis: the way the body is pushed by the torque on the propeller
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
			armB:      r.PosB.Cross(axis),
			reactionB: axis.Scale(-r.Spin),
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

// rotorStep moves the rotors on by a tick and writes what they do to the body.
// airB is the craft's velocity against the air, body axes, m/s. It returns the
// electrical power that the motors draw, W: shaft power, with what spins the
// rotors up, over each motor's efficiency; braking gives nothing back.
func rotorStep(c *Craft, p *Place, s *State, in *Input, airB Vec3, w *Wrench) (power float64) {
	if !c.prepared {
		panic("dynamics: Craft.Prepare was not called")
	}
	var near surroundings
	near.look(c, p, s)
	surface := near.low || near.high || near.boxes
	reached := s.Cell.Volts / c.Battery.FullVolts
	if s.Cell.BrownOut {
		reached = 0
	}
	airSq := airB.NormSq()
	var force, moment, spins Vec3 // sums kept in registers
	n := min(c.RotorCount, MaxRotors)
	for i := range n {
		r := &c.Rotors[i]
		f := &r.fixed
		old := s.RotorSpeed[i]
		now := spin(r, s, in, i, reached)
		mid := float64(0.5 * (old + now))
		shaft := float64(f.spinUp * (now - old))

		thrust := 0.0
		if mid > aeroSpeed && !s.Broken[i] {
			perSpeed := f.advanceK / mid
			along := airB.Dot(r.AxisB)
			j := float64((along + s.OmegaB.Dot(f.armB)) * perSpeed)
			edgeSq := float64((airSq - float64(along*along)) * float64(perSpeed*perSpeed))
			ct, cp, x := r.Prop.coefficients(float64(mid*(1/twoPi)), j, edgeSq)
			pressure := float64(p.Air.Density * float64(mid*mid))
			shaft += float64(cp * float64(pressure*f.torqueK))
			thrust = float64(ct * float64(pressure*f.thrustK) * in.ThrustFactor[i])
			if x < ringFrom {
				thrust *= ringRatio(in, i, x)
			}
			if surface {
				thrust *= near.gain(p, s, r)
			}
			thrust = float64(thrust) // the products end here: what follows are sums
		}
		s.Thrust[i] = thrust
		w.DragK[i] = 0
		if !s.Broken[i] {
			w.DragK[i] = r.Drag * mid
		}
		if shaft > 0 {
			power += float64(float64(shaft*mid) * f.electric)
		}
		force = force.AddScaled(thrust, r.AxisB)
		moment = moment.AddScaled(thrust, f.armB).AddScaled(shaft, f.reactionB)
		spins = spins.AddScaled(-float64(r.Inertia*mid), f.reactionB)
	}
	for i := n; i < MaxRotors; i++ {
		w.DragK[i] = 0
	}
	w.ForceB, w.MomentB, w.SpinB = force, moment, spins
	return power
}

// spin passes the duty through the speed controller's delay and moves rotor i's
// speed towards what it asks for at the fraction reached of full voltage.
func spin(r *Rotor, s *State, in *Input, i int, reached float64) float64 {
	queue := &s.Queue[i]
	queue[uint64(in.Tick)%MaxDelay] = in.Duty[i]
	duty := queue[uint64(in.Tick-int64(r.DelayTicks))%MaxDelay]
	target := float64(duty * r.SpeedMax * reached * in.SpeedFactor[i])
	if s.Broken[i] {
		target = 0
	}
	now := target + float64((s.RotorSpeed[i]-target)*r.fixed.keep)
	if now < stopSpeed {
		now = 0
	}
	s.RotorSpeed[i] = now
	return now
}
