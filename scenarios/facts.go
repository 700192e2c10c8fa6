package scenarios

import (
	"fmt"

	"lapwing/dynamics"
	"lapwing/sim/control"
	"lapwing/sim/safety"
)

// Facts says what a person must know of this craft and this link before the
// flight, in sentences: everything that differs between craft and could hurt.
func (b *Bundle) Facts() []string {
	law := control.Design(&b.Craft, &b.Place, &b.Law)
	return append([]string{
		b.cutOffFact(), b.armingFact(),
		fmt.Sprintf("The throttle %s, mapping %s: it hovers at %.0f %% of its travel in direct thrust (attitude and rate); in height-hold, position-hold and path the middle holds the height.",
			map[control.ThrottleKind]string{control.Holds: "stays where it is put", control.SpringsToCentre: "springs to its centre"}[law.Throttle.Kind],
			law.Throttle.Map, 100*control.HoverStick(&law)),
		b.linkFact(), "When the link is lost: " + lowerFirst(b.LostLink), b.batteryFact(),
	}, b.airFacts()...)
}

func (b *Bundle) cutOffFact() string {
	if b.Safety.CutOffLatches {
		return "The motor cut-off latches: releasing it only permits a new start, after throttle lowest and disarmed."
	}
	return "The motor cut-off only holds the motors back: releasing it gives them the throttle as it stands, at once. Throttle lowest and disarm first."
}

func (b *Bundle) armingFact() string {
	if b.Safety.ArmBy == safety.BySwitch {
		return "It is armed and disarmed by a switch, with the throttle at its lowest."
	}
	return fmt.Sprintf("It is armed by holding throttle lowest and yaw right for %.1f s, and disarmed by throttle lowest and yaw left.", float64(b.Safety.StickTicks)*dynamics.DT)
}

func (b *Bundle) linkFact() string {
	l := &b.Link
	text := fmt.Sprintf("The link sends %.0f frames a second, heard %.0f ms late; %.1f %% are lost", 1000/float64(l.FrameEvery), float64(l.LatencyTicks), 100*l.Loss())
	if l.GoodToBad > 0 {
		text += fmt.Sprintf(", in bursts of %.1f on average (a good channel turns bad with chance %.3g a frame, a bad one good with %.3g)", l.MeanBurst(), l.GoodToBad, l.BadToGood)
	}
	return text + "."
}

func (b *Bundle) batteryFact() string {
	c := &b.Craft.Battery
	text := fmt.Sprintf("%d cells: caution at %.2f V a cell under load, critical at %.2f V", c.Cells, c.CautionVolts, c.CriticalVolts)
	if b.Safety.CautionAction == safety.ActionNone && b.Safety.CriticalAction == safety.ActionNone {
		return text + "; the craft does nothing about it by itself."
	}
	return text + fmt.Sprintf("; by itself, at caution: %s; at critical: %s.", b.Safety.CautionAction, b.Safety.CriticalAction)
}

// airFacts tells where the air is outside what its model is stated for.
func (b *Bundle) airFacts() []string {
	if b.Place.Air.TurbulenceWind == 0 {
		return nil
	}
	return []string{"The air is turbulent by the Dryden model (MIL-F-8785C, 1980), which is stated for the open air above 3 m: in a room it is outside its range."}
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]|0x20) + s[1:]
}
