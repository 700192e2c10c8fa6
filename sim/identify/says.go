package identify

import (
	"fmt"
	"strings"
)

// Says says what was found, sentence by sentence, for a person.
func (f *Fit) Says() []string {
	lines := []string{
		fmt.Sprintf("%s: the longest time in the air is %.1f s, from %.1f to %.1f s, %d rows, %d rotors.",
			f.Name, f.To-f.From, f.From, f.To, f.Count, f.Rotors),
		fmt.Sprintf("Thrust per mass goes with the square of duty times volts: %s m/s² for each V², summed over the rotors.", f.Thrust.says(4)),
		"A hover takes " + hoverWords(f) + ".",
		fmt.Sprintf("The motors lag behind the duty by %s s as the thrust shows it%s, and by %s s as roll and pitch show it%s.",
			f.Lag.says(3), f.Lag.atEdge(), f.TurnLag.says(3), f.TurnLag.atEdge()),
		fmt.Sprintf("Drag is linear in speed: %s 1/s along body x and %s 1/s along body y, per mass.", f.Drag[0].says(3), f.Drag[1].says(3)),
		fmt.Sprintf("The accelerometer reads %s m/s² along x and %s m/s² along y at rest in the air: its mount and bias.",
			f.Offset[0].says(3), f.Offset[1].says(3)),
	}
	lines = append(lines, f.saysTurning()...)
	lines = append(lines, "On its own flight:")
	lines = append(lines, f.Own.Says()...)
	return append(lines, fmt.Sprintf("Behind each ± is one standard error, by the block bootstrap: blocks of %g s drawn again %d times.", blockTime, draws))
}

// gravity is the standard acceleration of free fall, m/s²: 3rd General
// Conference on Weights and Measures, 1901.
const gravity = 9.80665

func hoverWords(f *Fit) string {
	if f.Thrust.Value <= 0 {
		return "more than these rotors give"
	}
	return fmt.Sprintf("%.2f V² in the sum over the rotors", gravity/f.Thrust.Value)
}

func (e Estimate) says(digits int) string {
	return fmt.Sprintf("%.*f ± %.*f", digits, e.Value, digits, e.Error)
}

// atEdge adds words to a lag that lies at an end of what was tried.
func (e Estimate) atEdge() string {
	switch {
	case e.Value <= 0:
		return " (no lag could be seen)"
	case e.Value >= lagStep*lagSteps:
		return " (the longest that was tried)"
	}
	return ""
}

// saysTurning says what each rotor does, and how much of the turning that is.
func (f *Fit) saysTurning() []string {
	lines := []string{fmt.Sprintf("The rotors explain %.0f %% of the variance of the angular acceleration in roll, %.0f %% in pitch and %.0f %% in yaw, "+
		"taken from the body rates of neighbouring rows; vibration and quick changes between two rows stay in what is left.",
		100*f.Turn[0].R2, 100*f.Turn[1].R2, 100*f.Turn[2].R2)}
	for k := range f.Rotors {
		lines = append(lines, fmt.Sprintf("Rotor %d gives %s in roll, %s in pitch and %s in yaw, in (rad/s²)/V²: %s.", k+1,
			f.Turn[0].Rotor[k].says(2), f.Turn[1].Rotor[k].says(2), f.Turn[2].Rotor[k].says(2), f.Place(k)))
	}
	return append(lines, "The moments of inertia do not follow from this: only the moment of a rotor over the inertia is seen.")
}

// sureErrors is how many standard errors an effect must be away from nothing to
// be taken for real.
const sureErrors = 2

// Place says where rotor k (from 0) seems to stand and how it seems to turn. Its
// thrust lifts its own side; its reaction turns the craft against its spin.
func (f *Fit) Place(k int) string {
	side := f.Turn[0].Rotor[k].sign("on the left", "on the right")
	end := f.Turn[1].Rotor[k].sign("at the rear", "in front")
	spin := f.Turn[2].Rotor[k].sign("turns clockwise seen from above", "turns anticlockwise seen from above")
	var places []string
	for _, word := range []string{end, side} {
		if word != "" {
			places = append(places, word)
		}
	}
	words := "where it stands cannot be told"
	if len(places) > 0 {
		words = "it stands " + strings.Join(places, ", ")
	}
	if spin == "" {
		spin = "its spin cannot be told"
	}
	return words + "; " + strings.Replace(spin, "turns", "it turns", 1)
}

// sign returns a word for an effect that is surely positive or negative.
func (e Estimate) sign(positive, negative string) string {
	switch {
	case e.Value > sureErrors*e.Error:
		return positive
	case e.Value < -sureErrors*e.Error:
		return negative
	}
	return ""
}

// Says says how a fit does on a flight.
func (r *Residuals) Says() []string {
	lines := []string{fmt.Sprintf("%s, %.1f to %.1f s, %d rows, unfiltered:", r.Name, r.From, r.To, r.Count)}
	for axis, name := range axisNames {
		lines = append(lines, r.Force[axis].says("Specific force along body "+name, "m/s²"))
	}
	for axis, name := range axisNames {
		lines = append(lines, r.Turn[axis].says("Angular acceleration about body "+name, "rad/s²"))
	}
	return lines
}

func (r Residual) says(what, unit string) string {
	than := fmt.Sprintf("%.0f %% less than", 100*r.Better())
	if r.Better() < 0 {
		than = fmt.Sprintf("%.0f %% more than", -100*r.Better())
	}
	return fmt.Sprintf("%s: %.3f %s root mean square is left, %s the %.3f of the best constant.", what, r.RMS, unit, than, r.Constant)
}
