package control

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// Sticks shape what the self-centring sticks ask for.
type Sticks struct {
	DeadBand float64 // 0 … 0.5, share of half travel round the centre that gives nothing
	Expo     float64 // 0 … 1, roll and pitch
	YawExpo  float64 // 0 … 1
}

// CurveFormula is the formula of Curve, for a page or a settings screen.
const CurveFormula = "u = max(0, (|x| − d) / (1 − d));  y = sign(x) · ((1 − e)·u + e·u³)"

// Curve shapes a stick position x (−1 … 1) by a dead-band d (0 … 0.5) and an
// expo e (0 … 1): see CurveFormula. It rises everywhere outside the dead-band
// and meets −1, 0 and 1.
func Curve(x, d, e float64) float64 {
	u := (math.Abs(x) - d) / (1 - d)
	if !(u > 0) {
		return 0
	}
	if u > 1 {
		u = 1
	}
	return math.Copysign(float64((1-e)*u)+float64(e*u*u*u), x)
}

// ThrottleKind is how the throttle stick behaves when let go.
type ThrottleKind uint8

// The kinds. A learner on one kind learns the wrong habit for the other, so the
// kind stands on every record.
const (
	Holds           ThrottleKind = iota // stays where it was put
	SpringsToCentre                     // goes back to the middle
)

// String returns the words for k.
func (k ThrottleKind) String() string {
	return [...]string{"holds", "springs-to-centre"}[min(k, SpringsToCentre)]
}

// ThrottleMap is what the throttle stick does in direct thrust.
type ThrottleMap uint8

// The mappings.
const (
	Direct       ThrottleMap = iota // position sets thrust
	RateOfThrust                    // distance from the middle sets how fast thrust changes
	UpperHalf                       // only the upper half is used; the middle is no thrust
)

// String returns the words for m.
func (m ThrottleMap) String() string {
	return [...]string{"direct", "rate-of-thrust", "upper-half"}[min(m, UpperHalf)]
}

// Throttle shapes what the throttle stick asks for.
type Throttle struct {
	Kind     ThrottleKind
	Map      ThrottleMap
	DeadBand float64 // 0 … 0.5, share of half travel round the middle that holds height, or thrust
	Curve    float64 // 0 … 1, bend c of ThrottleFormula; 0 is a straight line
	Rate     float64 // 1/s, share of full thrust that RateOfThrust adds in a second at full stick, > 0
	Slew     float64 // 1/s, share of full thrust by which direct thrust may change in a second, > 0
}

// ThrottleFormula is the formula of the bend of direct thrust.
const ThrottleFormula = "thrust / full thrust = (1 − c)·x + c·x²"

// share returns the share of full thrust (0 … 1) that stick x (0 … 1) asks for.
func (t *Throttle) share(x float64) float64 {
	if t.Map == UpperHalf {
		x = 2 * (x - 0.5)
	}
	x = kernel.Clamp(x, 0, 1)
	return float64((1-t.Curve)*x) + float64(t.Curve*x*x)
}

// unshare is the inverse of share on its rising part.
func (t *Throttle) unshare(u float64) float64 {
	u = kernel.Clamp(u, 0, 1)
	x := u
	if c := t.Curve; c > 1e-9 {
		b := 1 - c
		x = (math.Sqrt(float64(b*b)+float64(4*c*u)) - b) / (2 * c)
	}
	if t.Map == UpperHalf {
		x = 0.5 + float64(0.5*x)
	}
	return x
}

// HoverStick returns the hover mark: the throttle position (0 … 1) at which
// direct thrust carries the weight. With RateOfThrust it is the middle, where
// thrust stays as it is.
func HoverStick(p *Params) float64 {
	if p.Throttle.Map == RateOfThrust {
		return 0.5
	}
	return p.Throttle.unshare(p.Weight / p.TopTotal)
}

// climbStick returns the climb speed (m/s, up positive) that throttle stick h
// asks for in the response types that hold height.
func climbStick(p *Params, h int16) float64 {
	y := Curve(float64(2*hands.Share(h))-1, p.Throttle.DeadBand, 0)
	if y < 0 {
		return y * p.Limits.ClimbDown
	}
	return y * p.Limits.ClimbUp
}

// directThrust moves the thrust (N along body z) on by dt towards what the
// throttle stick asks for.
func directThrust(p *Params, now float64, h int16, dt float64) float64 {
	t := &p.Throttle
	if t.Map == RateOfThrust {
		y := Curve(float64(2*hands.Share(h))-1, t.DeadBand, 0)
		return kernel.Clamp(now+float64(y*t.Rate*dt*p.TopTotal), 0, p.TopTotal)
	}
	return slew(now, t.share(hands.Share(h))*p.TopTotal, t.Slew*p.TopTotal*dt)
}

// slew moves from now towards want by step at most.
func slew(now, want, step float64) float64 {
	step = float64(step)
	if want > now+step {
		return now + step
	}
	if want < now-step {
		return now - step
	}
	return want
}
