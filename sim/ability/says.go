package ability

import (
	"fmt"
	"math"
)

// Section is a heading with its sentences.
type Section struct {
	Title string
	Lines []string
}

// Says says what a craft can do, for a person.
func (a *Ability) Says() []Section {
	return []Section{
		{"Hover", a.saysHover()},
		{"Thrust to spare", a.saysLift()},
		{"Speed", a.saysSpeed()},
		{"How quickly it answers", a.saysLoops()},
		{fmt.Sprintf("Without one rotor, cells at %.2f V", a.LossesVolts), a.saysLosses()},
	}
}

func (a *Ability) saysHover() []string {
	h := &a.Hover
	lines := []string{
		fmt.Sprintf("Mass %.3g kg, %d rotors, %.2f m over the tips; air of %.3f kg/m³.", a.Mass, a.Rotors, a.Span, a.AirDensity),
		fmt.Sprintf("It hovers with its rotors at %.0f revolutions per minute: duty %.0f %% with full cells, %.0f %% at the caution voltage.",
			rpm*h.Speed, 100*h.DutyFull, 100*h.DutyCaution),
		fmt.Sprintf("Hovering draws %.3g W. From full cells the caution voltage comes after about %s, the critical one after about %s.",
			h.Power, minutes(h.TimeCaution), minutes(h.TimeCritical)),
	}
	if h.DutyCaution > 1 {
		lines = append(lines, "At the caution voltage it cannot hover any more: it must land before.")
	}
	return lines
}

func minutes(s float64) string {
	if s < 120 {
		return fmt.Sprintf("%.0f seconds", s)
	}
	return fmt.Sprintf("%.1f minutes", s/60)
}

func (a *Ability) saysLift() (lines []string) {
	for _, l := range a.Lift {
		lines = append(lines, fmt.Sprintf("Cells %s, %.2f V each under load: full thrust is %.2f times the weight.", l.Cells, l.Volts, l.Weight))
	}
	return lines
}

func (a *Ability) saysSpeed() (lines []string) {
	for _, s := range a.Speed {
		if !s.Carried {
			lines = append(lines, fmt.Sprintf("At %s, %.0f degrees, it sinks once it is fast: the flow through the rotors takes thrust that nominal cells do not have.", s.At, s.Tilt*180/math.Pi))
			continue
		}
		lines = append(lines, fmt.Sprintf("At %s, %.0f degrees: about %.1f m/s level and steady, if the room were long enough.", s.At, s.Tilt*180/math.Pi, s.MPS))
	}
	return append(lines, "These are estimates from the drag in the craft file, which is often the least sure of its numbers.")
}

func (a *Ability) saysLoops() []string {
	m := &a.Motor
	lines := []string{fmt.Sprintf("Motors: a lag of %.0f ms, %.1f rad/s or %.1f Hz, after a delay of %.0f ms.",
		1000*m.Lag, m.Bandwidth, m.Bandwidth/(2*math.Pi), 1000*m.Delay)}
	for _, l := range a.Loops {
		lines = append(lines, fmt.Sprintf("Loop of %s: %.2f rad/s, about %.2f s to answer.", l.Name, l.Bandwidth, 1/l.Bandwidth))
	}
	return lines
}

func (a *Ability) saysLosses() (lines []string) {
	for _, l := range a.Losses {
		line := fmt.Sprintf("Without %s: %s.", l.Rotor, l.Outcome)
		switch l.Outcome {
		case "hovers with yaw":
			line += fmt.Sprintf(" Margin %.0f %% of the weight.", 100*l.Yaw)
		case "hovers, yaw given up":
			line += fmt.Sprintf(" Margin %.0f %% of the weight once it may turn.", 100*l.NoYaw)
		}
		lines = append(lines, line)
	}
	return append(lines, "This is what an attentive law could do at best; whether a law does it must be flown.")
}
