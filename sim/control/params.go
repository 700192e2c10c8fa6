package control

import (
	"errors"
	"fmt"
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Params is everything about craft and gains that the law needs. It is a plain
// value, filled by Design, and never changes in a run.
type Params struct {
	Mass    float64     // kg, > 0
	Weight  float64     // N, mass × gravity, > 0
	Gravity float64     // m/s², > 0
	Inertia kernel.Mat3 // kg·m², body axes
	Density float64     // kg/m³, of the air the gains were designed for

	RotorCount int                            // 3 … MaxRotors
	Rotors     [dynamics.MaxRotors]RotorModel // what the mixer knows of each rotor
	Top        [dynamics.MaxRotors]float64    // N, thrust at duty 1 and full cells
	TopInv     [dynamics.MaxRotors]float64    // 1/N, inverse of Top, 0 where no rotor is
	TopTotal   float64                        // N, along body z at nominal volts: thrust at full stick
	Lag        float64                        // s, mean first-order lag of the rotors, > 0
	YawFollow  float64                        // 0 … 1, share of a yaw demand passed on in one tick: see yawLead
	FullVolts  float64                        // V for each cell, at which Top holds, > 0
	Mix        Mixer                          // of the sound craft

	Gains    Gains
	Limits   Limits
	Sticks   Sticks
	Throttle Throttle
}

// RotorModel is what the law knows of one rotor: thrust = KT·Ω², torque = KQ·Ω².
type RotorModel struct {
	PosB     kernel.Vec3 // m, hub, body axes, from the centre of gravity
	AxisB    kernel.Vec3 // unit, direction of thrust, body axes
	Spin     float64     // +1 turns anticlockwise seen from above, −1 clockwise
	KT       float64     // N/(rad/s)², > 0
	KQ       float64     // N·m/(rad/s)², > 0
	SpeedMax float64     // rad/s at duty 1 and full cells, > 0
	Follow   float64     // 0 … 1, share of a speed step reached in one attitude step
}

// Gains are the loops' bandwidths: a loop's proportional gain is its crossover.
type Gains struct {
	Rate         kernel.Vec3 // rad/s, crossover of the body-rate loops, > 0
	RateIntegral kernel.Vec3 // 1/s², integral gain of the body-rate loops, ≥ 0
	RateTrimMax  kernel.Vec3 // rad/s², bound of the integrators, ≥ 0

	Attitude float64 // rad/s, tilt, > 0
	Yaw      float64 // rad/s, heading, > 0

	Velocity float64 // rad/s, horizontal, > 0
	Climb    float64 // rad/s, vertical speed, > 0
	Position float64 // rad/s, horizontal, > 0
	Height   float64 // rad/s, > 0

	VelocityObserver float64 // rad/s, bandwidth of the horizontal disturbance observer, ≥ 0
	ClimbObserver    float64 // rad/s, bandwidth of the vertical disturbance observer, ≥ 0
}

// Limits bound what the outer loops may ask for.
type Limits struct {
	Tilt      float64 // rad, 0 … 1.2
	TiltSin   float64 // sine of Tilt
	TiltTan   float64 // tangent of Tilt
	TiltRate  float64 // rad/s, slew of the commanded tilt, > 0
	BodyRate  float64 // rad/s, roll and pitch rate at full stick and from the attitude loop, > 0
	YawRate   float64 // rad/s, > 0
	YawAccel  float64 // rad/s², slew of the commanded yaw rate, > 0
	Speed     float64 // m/s, horizontal at full stick, > 0
	HoldSpeed float64 // m/s, horizontal correction towards a held place, > 0
	Accel     float64 // m/s², horizontal, > 0
	ClimbUp   float64 // m/s, > 0
	ClimbDown float64 // m/s, > 0
	ClimbAcc  float64 // m/s², vertical, > 0
	Land      float64 // m/s, steady descent of a controlled landing, > 0
	Disturb   float64 // m/s², bound of each part of the disturbance estimate, ≥ 0
	Idle      float64 // duty of a rotor that turns without lifting, 0 … 0.3
}

// Validate reports everything wrong with p at once.
func (p *Params) Validate() error {
	var errs []error
	positive := func(name string, x float64) {
		if !(x > 0) || math.IsInf(x, 0) {
			errs = append(errs, fmt.Errorf("control: %s must be above 0, is %g", name, x))
		}
	}
	positive("mass", p.Mass)
	positive("gravity", p.Gravity)
	positive("rotor lag", p.Lag)
	positive("full volts", p.FullVolts)
	positive("top thrust", p.TopTotal)
	g, l := &p.Gains, &p.Limits
	for _, f := range []struct {
		name string
		x    float64
	}{
		{"rate bandwidth, roll", g.Rate.X}, {"rate bandwidth, pitch", g.Rate.Y}, {"rate bandwidth, yaw", g.Rate.Z},
		{"attitude bandwidth", g.Attitude}, {"yaw bandwidth", g.Yaw},
		{"velocity bandwidth", g.Velocity}, {"climb bandwidth", g.Climb},
		{"position bandwidth", g.Position}, {"height bandwidth", g.Height},
		{"tilt limit", l.Tilt}, {"tilt rate limit", l.TiltRate}, {"body rate limit", l.BodyRate},
		{"yaw rate limit", l.YawRate}, {"yaw acceleration limit", l.YawAccel},
		{"speed limit", l.Speed}, {"hold speed limit", l.HoldSpeed}, {"acceleration limit", l.Accel},
		{"climb limit", l.ClimbUp}, {"descent limit", l.ClimbDown}, {"vertical acceleration limit", l.ClimbAcc},
		{"landing speed", l.Land},
	} {
		positive(f.name, f.x)
	}
	if p.RotorCount < 3 || p.RotorCount > dynamics.MaxRotors {
		errs = append(errs, fmt.Errorf("control: rotor count must be 3 to %d, is %d", dynamics.MaxRotors, p.RotorCount))
	}
	if p.TopTotal <= p.Weight {
		errs = append(errs, fmt.Errorf("control: full thrust %.3g N does not lift the weight %.3g N", p.TopTotal, p.Weight))
	}
	if !p.Mix.Tilts {
		errs = append(errs, errors.New("control: the rotors cannot tilt the craft both ways about both axes"))
	}
	return errors.Join(errs...)
}

// Ratio is how much faster an inner loop is than the loop round it.
type Ratio struct {
	Inner, Outer string  // the loops
	Ratio        float64 // crossover of the inner over that of the outer
}

// Least ratios of neighbouring loops: below the first a law is worth a warning,
// below the second it is refused. The rule of the trade is 5 to 10 between rise
// times (Beard, McLain, Peterson & Killpack, "Introduction to Feedback Control
// using Design Studies", from memory); these are what still flies, common
// practice.
const (
	RatioWarning = 2.5
	RatioError   = 2.0
)

// Separation returns the ratios of neighbouring loops from the inside out.
func (p *Params) Separation() [5]Ratio {
	g := &p.Gains
	return [5]Ratio{
		{"rate", "attitude", min(g.Rate.X, g.Rate.Y) / g.Attitude},
		{"attitude", "velocity", g.Attitude / g.Velocity},
		{"velocity", "position", g.Velocity / g.Position},
		{"yaw rate", "yaw", g.Rate.Z / g.Yaw},
		{"climb", "height", g.Climb / g.Height},
	}
}
