package pilot

import (
	"errors"
	"fmt"
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Brief is what a pilot was told of the craft before the flight.
type Brief struct {
	Feel          Feel
	ArmBySticks   bool    // arming and disarming by the yaw stick at lowest throttle instead of a switch
	LostLinkStops bool    // the craft's lost-link action stops the motors
	Late          float64 // s, from hand to craft: what the link takes

	Rotors int                                        // how many
	RotorB [len(percept.Percept{}.Motors)]kernel.Vec3 // m, body: hubs, in the order of the station's bars
}

// DefaultBrief returns the brief of a craft with the built-in law.
func DefaultBrief() Brief { return Brief{Feel: DefaultFeel()} }

// Feel is what a pilot has learnt of the sticks: how far to push for how much.
// A wrong feel makes the hand quicker or slower than it means to be, no more:
// it steers by what it sees.
type Feel struct {
	Tilt         float64 // rad, lean at full stick, > 0
	Speed        float64 // m/s, horizontal speed at full stick, > 0
	ClimbUp      float64 // m/s, at highest throttle in height-hold, > 0
	ClimbDown    float64 // m/s, at lowest throttle in height-hold, > 0
	BodyRate     float64 // rad/s, roll and pitch rate at full stick in rate, > 0
	YawRate      float64 // rad/s, at full stick, > 0
	DeadBand     float64 // 0 … 0.5, share of half travel that gives nothing
	Expo         float64 // 0 … 1, bend of roll and pitch
	ThrottleBand float64 // 0 … 0.5, share of half travel round the middle that holds height
	ThrottleZero float64 // 0 … 1, throttle position of no thrust in direct thrust
	ThrustRate   float64 // 1/s, share of hover thrust added in a second at full stick; 0 where position sets thrust
}

// Validate reports everything wrong with b at once.
func (b *Brief) Validate() error {
	var errs []error
	f := &b.Feel
	check := func(name string, x, lo, hi float64) {
		if !(x >= lo && x <= hi) {
			errs = append(errs, fmt.Errorf("pilot: %s must be %g to %g, is %g", name, lo, hi, x))
		}
	}
	check("lean at full stick", f.Tilt, 0.01, 1.5)
	check("speed at full stick", f.Speed, 0.01, 100)
	check("climb at full stick", f.ClimbUp, 0.01, 100)
	check("descent at full stick", f.ClimbDown, 0.01, 100)
	check("body rate at full stick", f.BodyRate, 0.01, 100)
	check("yaw rate at full stick", f.YawRate, 0.01, 100)
	check("dead-band", f.DeadBand, 0, 0.5)
	check("expo", f.Expo, 0, 1)
	check("throttle dead-band", f.ThrottleBand, 0, 0.5)
	check("throttle of no thrust", f.ThrottleZero, 0, 0.9)
	check("thrust rate", f.ThrustRate, 0, 100)
	return errors.Join(errs...)
}

// DefaultFeel returns the feel of the built-in law's usual limits.
func DefaultFeel() Feel {
	return Feel{Tilt: 0.6, Speed: 2.5, ClimbUp: 1.2, ClimbDown: 0.8, BodyRate: 5, YawRate: 1.5,
		DeadBand: 0.05, Expo: 0.3, ThrottleBand: 0.1}
}

// stickFor returns the stick position (−1 … 1) that gives the share y of full
// command: the inverse of the dead-band d and the cubic bend (1−e)·u + e·u³, by
// Newton's method from above, where it cannot overshoot.
func stickFor(y, d, e float64) float64 {
	a := math.Abs(y)
	if a < 1e-4 {
		return 0
	}
	if a >= 1 {
		return math.Copysign(1, y)
	}
	u := min(1, a/max(1-e, 1e-3))
	for range 4 {
		uu := float64(u * u)
		value := float64((1-e)*u) + float64(e*uu*u)
		slope := 1 - e + float64(3*e*uu)
		u -= (value - a) / slope
	}
	return math.Copysign(d+float64((1-d)*u), y)
}

// tiltSticks sets roll and pitch for a share (heading frame, x forward, y left)
// of full command.
func (f *Feel) tiltSticks(x, y float64) (roll, pitch float64) {
	if n := float64(x*x) + float64(y*y); n > 1 {
		n = 1 / math.Sqrt(n)
		x, y = x*n, y*n
	}
	return -stickFor(y, f.DeadBand, f.Expo), stickFor(x, f.DeadBand, f.Expo)
}

// climbStick returns the throttle position that asks for a climb (m/s) where
// throttle sets climb rate.
func (f *Feel) climbStick(climb float64) float64 {
	full := f.ClimbUp
	if climb < 0 {
		full = f.ClimbDown
	}
	y := kernel.Clamp(climb/full, -1, 1)
	return 0.5 + float64(0.5*stickFor(y, f.ThrottleBand, 0))
}

// thrustStick returns the throttle position for a thrust given as a multiple of
// the weight, where the hover mark is mark.
func (f *Feel) thrustStick(share, mark float64) float64 {
	return kernel.Clamp(f.ThrottleZero+float64((mark-f.ThrottleZero)*share), 0, 1)
}

// toHeading turns a horizontal vector of the room into the heading frame.
func toHeading(yaw float64, v kernel.Vec3) (x, y float64) {
	s, c := kernel.SinCos(yaw)
	return float64(c*v.X) + float64(s*v.Y), float64(c*v.Y) - float64(s*v.X)
}

// near tells whether stick position a lies within d of b.
func near(a int16, b, d float64) bool { return math.Abs(hands.Share(a)-b) <= d }
