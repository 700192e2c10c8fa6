package scenarios

import (
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
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
	case inject.MotorFailure:
		return number("lost", "share", 0, 1, "of the motor's speed; 1 stops it"), true
	case inject.ThrustLoss:
		return number("lost", "share", 0, 1, "of the propeller's thrust"), true
	case inject.Gust:
		return number("speed", "m_s", 0, 20, "of the wind at its full strength"), true
	case inject.VoltageSag:
		return number("drop", "v", 0, 4.2, "of each cell"), true
	}
	return field{}, false
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
		fields := []field{onset, lasts}
		if f, ok := severityField(kind); ok {
			fields = append(fields, f.need())
		}
		if kind.Directed() {
			fields = append(fields, number("direction", "deg", -360, 360, "from the room's x towards its y").need())
		}
		if kind.OnRotor() {
			fields = append(fields, reference("rotor", "its name in the craft file, or all").need())
		}
		if !kind.Switches() {
			fields = append(fields, number("ramp", "s", 0, 60, "from nothing to full strength").or(0.0))
		}
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
		in.DirectionW = v.num("direction_deg")
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
	if v.has("lasts_s") {
		in.LastsTicks = v.ticks("lasts_s")
	}
	o := v.at("onset")
	in.Onset.After, _ = inject.ParseMark(o.str("after"))
	in.Onset.DelayTicks, in.Onset.MeanTicks, in.Onset.CapTicks = o.ticks("delay_s"), o.ticks("mean_s"), o.ticks("cap_s")
	return in
}

// checkInjectsAndEvent checks that there is something for the drill to be about.
func checkInjectsAndEvent(v *value, r *report) {
	event := v.at("drill").at("event")
	none := eventNamed(event.text).Class == judge.ClassN
	injects := v.at("injects")
	if none && len(injects.items) > 0 {
		r.add(injects.fault("injects", "no injects with the event "+event.text, ""))
	}
	if !none && len(injects.items) == 0 {
		r.add(event.fault(event.text, "at least one inject in this file", "nothing goes wrong, so its clock would never start"))
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
	default:
		return
	}
	for _, leg := range v.list("plan") {
		if legNamed(leg.text) == pilot.LegEngage && leg.str("response") == wanted {
			return
		}
	}
	r.add(after.fault(after.text, "a mark that the plan passes", "the plan never engages "+wanted))
}

// checkRotorNames checks that injects name rotors of the craft.
func checkRotorNames(s, craft *value, r *report) {
	var names []string
	for _, rotor := range craft.list("rotors") {
		names = append(names, rotor.str("name"))
	}
	for _, item := range s.list("injects") {
		at := item.maybe("rotor")
		if at == nil || at.text == allRotors {
			continue
		}
		known := false
		for _, name := range names {
			known = known || name == at.text
		}
		if !known {
			message := "this craft has no such rotor"
			if near := nearest(at.text, names); near != "" {
				message += "; did you mean " + near + "?"
			}
			r.add(at.fault(at.text, allRotors+", "+joinWordsOf(names), message))
		}
	}
}
