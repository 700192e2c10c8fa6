package safety

import (
	"errors"
	"fmt"
	"math"

	"lapwing/sim/hands"
)

// Params is how a craft's watchman behaves. It never changes in a run. Real
// craft differ here more than in flight, so all of it stands in the craft's file
// and on every record.
type Params struct {
	// CutOffLatches tells what engaging the motor cut-off does. Latching: the
	// craft is disarmed, and releasing only permits a new start (the principle of
	// ISO 13850 and of Directive 2006/42/EC, Annex I, 1.2.4.3, from memory).
	// Masking: motor output is only held back, and releasing gives the motors the
	// throttle as it stands: a hazard that some craft have and a person must know.
	CutOffLatches bool

	ArmBy      ArmBy
	StickTicks int64 // ticks for which a corner arms or disarms, ≥ 1; of ByStickCorners

	TiltLimit float64 // rad, above which arming is refused, > 0

	FreshTicks     int64  // age (ticks) up to which a frame is fresh, ≥ 1
	SteadyTicks    int64  // ticks for which frames must have been fresh to arm, ≥ 0
	HoldTicks      int64  // ticks beyond FreshTicks for which the last frame is held, ≥ 0
	LostLinkAction Action // what the craft then does by itself; not ActionNone
	WaitTicks      int64  // ticks for which hold-then-land holds, ≥ 0

	CautionAction  Action  // at low battery, caution; not ActionMotorStop
	CriticalAction Action  // at low battery, critical; not ActionMotorStop
	CautionTicks   int64   // ticks in a row below the caution limit before it counts, ≥ 1
	CriticalTicks  int64   // ticks in a row below the critical limit before it counts, ≥ 1
	RecoverVolts   float64 // V for each cell above a limit, for as long, until it counts no more, ≥ 0

	LandTicks     int64   // ticks of throttle lowest in position-hold that begin a landing, ≥ 1
	LandedTicks   int64   // ticks of standing before the craft believes that it stands, ≥ 1
	SettledTicks  int64   // further ticks after which a lost-link landing disarms, ≥ 0
	LandedHeight  float64 // m above the floor, below which it may stand, > 0
	LandedClimb   float64 // m/s, > 0
	LandedForce   float64 // m/s², by which specific force may be off gravity, > 0
	LandedDuty    float64 // 0 … 1, mean duty below which it may stand; see ForHover
	DropsHold     bool    // leaves a position-based response type by itself when the camera disagrees
	GravityNearby float64 // m/s², > 0
}

// ArmBy is the way in which a craft is armed and disarmed.
type ArmBy uint8

// The ways.
const (
	BySwitch       ArmBy = iota // the arming switch
	ByStickCorners              // throttle lowest and yaw right arms, yaw left disarms (common practice)
	armByCount
)

var armByWords = [armByCount]string{"switch", "sticks"}

// String returns the word for a.
func (a ArmBy) String() string { return armByWords[min(a, armByCount-1)] }

// ParseArmBy returns the way called w.
func ParseArmBy(w string) (ArmBy, bool) {
	for i, word := range armByWords {
		if w == word {
			return ArmBy(i), true
		}
	}
	return 0, false
}

// ArmByWords lists the ways' words.
func ArmByWords() []string { return armByWords[:] }

var actionWords = [...]string{"none", "motor-stop", "controlled-landing", "hold-then-land"}

// ParseAction returns the action called w.
func ParseAction(w string) (Action, bool) {
	for i, word := range actionWords {
		if w == word {
			return Action(i), true
		}
	}
	return 0, false
}

// ActionWords lists the actions' words.
func ActionWords() []string { return actionWords[:] }

// Default is a craft with a latching cut-off and an arming switch that lands
// when the link is lost and leaves low battery to its pilot.
//
// Holding the last command for about half a second and then levelling and landing is
// common practice; there is no standard figure. The rest is a judgement.
func Default() Params {
	return Params{
		CutOffLatches:  true,
		StickTicks:     1000,
		TiltLimit:      10 * math.Pi / 180,
		FreshTicks:     200,
		SteadyTicks:    1000,
		HoldTicks:      400,
		LostLinkAction: ActionControlledLanding,
		WaitTicks:      5000,
		CautionTicks:   1000,
		CriticalTicks:  500,
		RecoverVolts:   0.1,
		LandTicks:      1000,
		LandedTicks:    500,
		SettledTicks:   2000,
		LandedHeight:   0.25,
		LandedClimb:    0.3,
		LandedForce:    3,
		LandedDuty:     0.4,
		GravityNearby:  9.81,
	}
}

// ForHover returns p for a craft that hovers at the given mean duty (0 … 1): it
// may stand when duty is below 0.7 of that, which is half the weight. A
// judgement: a law that descends keeps close to the whole weight.
func (p Params) ForHover(duty float64) Params {
	p.LandedDuty = 0.7 * duty
	return p
}

// Validate reports every fault at once.
func (p *Params) Validate() error {
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf("safety: "+format, args...)) }
	ticks := func(name string, x, least int64) {
		if x < least {
			fault("%s: %d ticks, at least %d are needed", name, x, least)
		}
	}
	number := func(name string, x, top float64) {
		if !(x > 0 && x <= top) {
			fault("%s: %g is not above 0 and up to %g", name, x, top)
		}
	}
	ticks("stick corner held", p.StickTicks, 1)
	ticks("fresh frame", p.FreshTicks, 1)
	ticks("steady link", p.SteadyTicks, 0)
	ticks("hold of the last frame", p.HoldTicks, 0)
	ticks("hold before landing", p.WaitTicks, 0)
	ticks("low battery, caution", p.CautionTicks, 1)
	ticks("low battery, critical", p.CriticalTicks, 1)
	ticks("landing by throttle", p.LandTicks, 1)
	ticks("landed", p.LandedTicks, 1)
	ticks("settled", p.SettledTicks, 0)
	number("tilt limit (rad)", p.TiltLimit, math.Pi)
	number("landed height (m)", p.LandedHeight, 10)
	number("landed climb (m/s)", p.LandedClimb, 10)
	number("landed force (m/s²)", p.LandedForce, 10)
	number("landed duty", p.LandedDuty, 1)
	number("gravity (m/s²)", p.GravityNearby, 100)
	if !(p.RecoverVolts >= 0 && p.RecoverVolts <= 2) {
		fault("recovery: %g V is not within 0 to 2", p.RecoverVolts)
	}
	p.validateActions(fault)
	return errors.Join(errs...)
}

func (p *Params) validateActions(fault func(string, ...any)) {
	if p.ArmBy >= armByCount {
		fault("no such way to arm")
	}
	if p.LostLinkAction == ActionNone || p.LostLinkAction > ActionHoldThenLand {
		fault("lost-link action: a craft that carries on without its pilot is not possible")
	}
	for _, a := range []Action{p.CautionAction, p.CriticalAction} {
		if a == ActionMotorStop || a > ActionHoldThenLand {
			fault("low-battery action: %s in the air is not possible", a)
		}
	}
}

// String states every parameter that a person should know, for the record.
func (p *Params) String() string {
	cutOff := "masks (releasing it gives the motors the throttle as it stands)"
	if p.CutOffLatches {
		cutOff = "latches"
	}
	drops := "never leaves position-hold by itself when the camera disagrees"
	if p.DropsHold {
		drops = "leaves position-hold by itself when the camera disagrees"
	}
	return fmt.Sprintf("cut-off %s; armed by %s; last frame held %d ms once %d ms old, then %s (hold %d ms); low battery: caution %s after %d ms, critical %s after %d ms; throttle lowest for %d ms in position-hold lands; disarms %d ms after a lost-link landing; %s",
		cutOff, p.ArmBy, p.HoldTicks, p.FreshTicks, p.LostLinkAction, p.WaitTicks, p.CautionAction, p.CautionTicks,
		p.CriticalAction, p.CriticalTicks, p.LandTicks, p.SettledTicks, drops)
}

// corner is how far yaw must stand to one side for a stick corner.
const corner = hands.Full * 9 / 10
