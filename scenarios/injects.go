package scenarios

import (
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/pilot"
)

// allRotors is the word that stands for every rotor at once.
const allRotors = "all"

// severityField describes how hard an inject of a kind strikes; false where it
// is there or not.
func severityField(kind inject.Kind) (field, bool) {
	switch kind {
	case inject.EstimateDrift:
		return number("speed", "m_s", 0, 10, "at which the camera's position walks off"), true
	case inject.EstimateJump:
		return number("step", "m", 0, 20, "by which the camera's position is off"), true
	case inject.EstimateRunaway:
		return number("acceleration", "m_s2", 0, 20, "at which the camera's position walks off ever faster"), true
	case inject.HeadingError:
		return number("angle", "deg", -180, 180, "by which the camera's heading is off, to the left"), true
	case inject.HeightStep:
		return number("step", "m", -5, 5, "by which the height sensor reads too high"), true
	case inject.InertialFault:
		return number("rate", "deg_s", 0, 500, "of the turning that the gyroscope reads besides"), true
	case inject.PathAstray:
		return number("speed", "m_s", 0, 5, "at which the on-board computer steers off"), true
	case inject.LinkStutter:
		return number("lost", "share", 0, 1, "of the time; frames are lost for a quarter of a second at a time"), true
	case inject.MotorFailure:
		return number("lost", "share", 0, 1, "of the motor's speed; 1 stops it"), true
	case inject.ThrustLoss:
		return number("lost", "share", 0, 1.5, "of the propeller's thrust; above 1 it pushes down"), true
	case inject.BatteryShift:
		return number("shift", "m", 0, 0.3, "of the craft's centre of mass"), true
	case inject.Gust:
		return number("speed", "m_s", 0, 20, "of the wind at its full strength"), true
	case inject.VoltageSag:
		return number("drop", "v", 0, 4.2, "of each cell"), true
	case inject.PersonEnters:
		return number("speed", "m_s", 0, 3, "at which person 0 of the room walks"), true
	case inject.HoverMarkWrong:
		return number("off", "share", -0.9, 0.9, "by which the hover mark is too high"), true
	}
	return field{}, false
}

// directionField describes the direction of an inject of a kind; false where it
// has none.
func directionField(kind inject.Kind) (field, bool) {
	switch {
	case kind == inject.InertialFault:
		return number("direction", "deg", -360, 360, "of the axis, from the nose towards the craft's left").or(0.0), true
	case kind.InBody():
		return number("direction", "deg", -360, 360, "from the nose towards the craft's left").need(), true
	case kind.Directed():
		return number("direction", "deg", -360, 360, "from the room's x towards its y").need(), true
	}
	return field{}, false
}

// ownFields describes what only injects of one kind have.
func ownFields(kind inject.Kind) []field {
	switch kind {
	case inject.VisionLost:
		return []field{
			word("how", inject.HowWords(), "something lies over the lens, or the light goes").or(inject.Covered.String()),
			number("ramp", "s", 0, 60, "over which it grows dark").or(0.0),
		}
	case inject.StuckAxis:
		return []field{
			word("axis", inject.AxisWords(), "the stick").need(),
			number("at", "share", -1, 1, "where it is heard: right, forward and up are above 0, the throttle has 0 to 1").need(),
		}
	case inject.RotorsSwapped:
		return []field{
			reference("rotor", "its name in the craft file").need(),
			reference("with", "the other's").need(),
		}
	case inject.PersonEnters:
		return []field{number("distance", "m", 0.1, 50, "after which they stop").need()}
	}
	return nil
}

func injectsField() field {
	onset := group("onset", "when it comes: after a mark of the flight, a floor, and a random wait above it",
		word("after", inject.MarkWords(), "the mark; it counts when it first happens").need(),
		number("delay", "s", 0, 600, "the floor").or(0.0),
		number("mean", "s", 0, 120, "mean of the exponential random wait, before it is capped; 0 for none").or(0.0),
		number("cap", "s", 0, 300, "longest random wait").or(0.0)).need()
	lasts := number("lasts", "s", 0.02, 1800, "left out: until the run ends")
	var cases []variantCase
	for _, w := range inject.KindWords() {
		kind, _ := inject.ParseKind(w)
		fields := []field{onset}
		if !kind.Stays() {
			fields = append(fields, lasts)
		}
		if f, ok := severityField(kind); ok {
			fields = append(fields, f.need())
		}
		if f, ok := directionField(kind); ok {
			fields = append(fields, f)
		}
		if kind.OnRotor() {
			fields = append(fields, reference("rotor", "its name in the craft file, or all").need())
		}
		if !kind.Switches() {
			fields = append(fields, number("ramp", "s", 0, 60, "from nothing to full strength").or(0.0))
		}
		fields = append(fields, ownFields(kind)...)
		cases = append(cases, form(w, "", fields...))
	}
	return list("injects", 0, inject.MaxInjects, variant("", "inject", "one thing made to go wrong", cases...), "what goes wrong")
}

// injectsOf returns the plan of injects that a sound scenario gives for a craft
// whose rotors have the given names.
func injectsOf(v *value, rotors []string) inject.Plan {
	var p inject.Plan
	for _, item := range v.items {
		p.Injects[p.Count] = injectOf(item, rotors)
		p.Count++
	}
	return p
}

func injectOf(v *value, rotors []string) inject.Inject {
	kind, _ := inject.ParseKind(v.text)
	in := inject.Inject{Kind: kind, Severity: 1, LastsTicks: inject.Forever}
	if f, ok := severityField(kind); ok {
		in.Severity = v.num(f.fullName())
	}
	if kind.Directed() {
		in.Direction = v.num("direction_deg")
	}
	if kind.OnRotor() {
		in.Rotor = inject.AllRotors
		if w := v.str("rotor"); w != allRotors {
			in.Rotor = indexOf(rotors, w)
		}
	}
	if !kind.Switches() {
		in.RampTicks = v.ticks("ramp_s")
	}
	ownOf(v, rotors, &in)
	if !kind.Stays() && v.has("lasts_s") {
		in.LastsTicks = v.ticks("lasts_s")
	}
	o := v.at("onset")
	in.Onset.After, _ = inject.ParseMark(o.str("after"))
	in.Onset.DelayTicks, in.Onset.MeanTicks, in.Onset.CapTicks = o.ticks("delay_s"), o.ticks("mean_s"), o.ticks("cap_s")
	return in
}

// ownOf reads what only injects of one kind have.
func ownOf(v *value, rotors []string, in *inject.Inject) {
	switch in.Kind {
	case inject.VisionLost:
		in.How, _ = inject.ParseHow(v.str("how"))
		in.RampTicks = v.ticks("ramp_s")
	case inject.StuckAxis:
		in.Axis, _ = inject.ParseAxis(v.str("axis"))
		in.At = v.num("at_share")
	case inject.RotorsSwapped:
		in.Rotor, in.Partner = indexOf(rotors, v.str("rotor")), indexOf(rotors, v.str("with"))
	case inject.PersonEnters:
		in.Distance = v.num("distance_m")
	}
}

// checkOnsets checks that each inject can come, and before the run ends.
func checkOnsets(v *value, r *report) {
	duration := v.num("duration_s")
	for _, item := range v.list("injects") {
		o := item.at("onset")
		mean, most := o.at("mean_s"), o.at("cap_s")
		if (mean.number > 0) != (most.number > 0) {
			r.add(o.fault("mean_s of "+figureWords(mean.number)+" and cap_s of "+figureWords(most.number), "both, or neither",
				"a random wait needs its mean and its cap"))
		}
		if latest := o.num("delay_s") + most.number; latest >= duration {
			r.add(o.fault("an onset as late as "+figureWords(latest)+" s", "before duration_s of "+figureWords(duration)+" s", ""))
		}
		if v.soundly("plan") {
			checkMark(v, o.at("after"), r)
		}
		if ramp := item.maybe("ramp_s"); ramp != nil && item.text == inject.Gust.String() && item.has("lasts_s") &&
			item.num("lasts_s") < 2*ramp.number {
			r.add(item.at("lasts_s").fault(item.at("lasts_s").text, "at least twice ramp_s", "too short to rise and fall"))
		}
	}
}

// checkMark checks that the plan comes past a mark.
func checkMark(v, after *value, r *report) {
	mark, _ := inject.ParseMark(after.text)
	wanted := ""
	switch mark {
	case inject.MarkPositionHold:
		wanted = hands.PositionHold.String()
	case inject.MarkPath:
		wanted = hands.Path.String()
	case inject.MarkEvent:
		checkAnother(v, after, r)
		return
	default:
		return
	}
	for _, leg := range v.list("plan") {
		k := legNamed(leg.text)
		if (k == pilot.LegEngage || k == pilot.LegLift) && leg.str("response") == wanted {
			return
		}
	}
	r.add(after.fault(after.text, "a mark that the plan passes", "the plan never engages "+wanted))
}

// checkAnother checks that an inject that waits for another has one to wait for.
func checkAnother(v, after *value, r *report) {
	for _, item := range v.list("injects") {
		if item.at("onset").str("after") != after.text {
			return
		}
	}
	r.add(after.fault(after.text, "another inject in this file that comes after something else", "there is nothing to wait for"))
}
