package scenarios

import (
	"fmt"
	"strings"

	"lapwing/dynamics"
	"lapwing/sim/safety"
)

// Words for what engaging the motor cut-off does.
const (
	latches = "latches"
	masks   = "masks"
)

var (
	lostLinkWordList   = without(safety.ActionWords(), safety.ActionNone.String())
	lowBatteryWordList = without(safety.ActionWords(), safety.ActionMotorStop.String())
)

func without(words []string, w string) []string {
	var rest []string
	for _, candidate := range words {
		if candidate != w {
			rest = append(rest, candidate)
		}
	}
	return rest
}

// safetyField describes what a craft does by itself. Craft differ here more than
// in flight, so the choices that a person must know have no fallback.
func safetyField() field {
	d := safety.Default()
	time := func(name string, fallback int64, lo, hi float64, doc string) field {
		return number(name, "s", lo, hi, doc).or(float64(fallback) / 1000)
	}
	return group("safety", "what the craft's own watchman does",
		word("cut_off", []string{latches, masks}, "what engaging the motor cut-off does: disarm, or only hold the motors back").need(),
		word("arm_by", safety.ArmByWords(), "how it is armed").need(),
		word("lost_link", lostLinkWordList, "what it does when the link is lost").need(),
		word("battery_caution", lowBatteryWordList, "what it does at battery caution").need(),
		word("battery_critical", lowBatteryWordList, "what it does at battery critical").need(),
		truth("drops_hold", "it leaves a position-based response type by itself when the camera disagrees").need(),
		time("stick", d.StickTicks, 0.1, 5, "for which a stick corner arms or disarms"),
		number("tilt_limit", "deg", 1, 60, "above which arming is refused").or(10.0),
		time("fresh", d.FreshTicks, 0.02, 1, "age up to which a frame is fresh"),
		time("hold", d.HoldTicks, 0, 5, "beyond that, for which the last frame is held"),
		time("wait", d.WaitTicks, 0, 60, "for which hold-then-land holds"),
		time("caution", d.CautionTicks, 0.02, 30, "below the caution limit before it counts"),
		time("critical", d.CriticalTicks, 0.02, 30, "below the critical limit before it counts"),
		number("recover", "v", 0, 1, "each cell, above a limit until it counts no more").or(d.RecoverVolts),
		time("land", d.LandTicks, 0.1, 10, "throttle lowest in position-hold, until a landing begins"),
		time("landed", d.LandedTicks, 0.05, 10, "of standing before it believes that it stands"),
		time("settled", d.SettledTicks, 0, 30, "further, after which a lost-link landing disarms"),
		number("landed_height", "m", 0.02, 1, "below which it may stand").or(d.LandedHeight),
		number("landed_climb", "m_s", 0.02, 2, "below which it may stand").or(d.LandedClimb),
		number("landed_force", "m_s2", 0.2, 9, "by which specific force may be off gravity").or(d.LandedForce)).need()
}

// hoverVolts is the voltage of a cell under load in the middle of a flight, at
// which the hover duty is told to the watchman. Common practice: 3.7 to 3.8 V.
const hoverVolts = 3.8

// safetyOf returns what the watchman of a sound craft file does, for a craft
// and a place.
func safetyOf(v *value, c *dynamics.Craft, p *dynamics.Place) safety.Params {
	s := v.at("safety")
	out := safety.Params{
		CutOffLatches: s.str("cut_off") == latches, DropsHold: s.is("drops_hold"),
		StickTicks: s.ticks("stick_s"), TiltLimit: s.num("tilt_limit_deg"),
		FreshTicks: s.ticks("fresh_s"), HoldTicks: s.ticks("hold_s"), WaitTicks: s.ticks("wait_s"),
		CautionTicks: s.ticks("caution_s"), CriticalTicks: s.ticks("critical_s"), RecoverVolts: s.num("recover_v"),
		LandTicks: s.ticks("land_s"), LandedTicks: s.ticks("landed_s"), SettledTicks: s.ticks("settled_s"),
		LandedHeight: s.num("landed_height_m"), LandedClimb: s.num("landed_climb_m_s"), LandedForce: s.num("landed_force_m_s2"),
		GravityNearby: p.Air.Gravity,
	}
	out.ArmBy, _ = safety.ParseArmBy(s.str("arm_by"))
	out.LostLinkAction, _ = safety.ParseAction(s.str("lost_link"))
	out.CautionAction, _ = safety.ParseAction(s.str("battery_caution"))
	out.CriticalAction, _ = safety.ParseAction(s.str("battery_critical"))
	return out.ForHover(min(1, dynamics.HoverDuty(c, p, hoverVolts)))
}

// lostLinkWords says what the craft does by itself when the link is lost.
func lostLinkWords(p *safety.Params) string {
	after := fmt.Sprintf("%.1f s", float64(p.FreshTicks+p.HoldTicks)*dynamics.DT)
	switch p.LostLinkAction {
	case safety.ActionMotorStop:
		return "After " + after + " without a frame the motors stop and the craft falls."
	case safety.ActionHoldThenLand:
		return fmt.Sprintf("After %s without a frame it holds its place for %.1f s, then comes down by itself and stops its motors on the floor.",
			after, float64(p.WaitTicks)*dynamics.DT)
	case safety.ActionControlledLanding:
		return "After " + after + " without a frame it levels, comes down by itself and stops its motors on the floor."
	}
	return "Lost-link action: " + strings.ReplaceAll(p.LostLinkAction.String(), "-", " ") + "."
}
