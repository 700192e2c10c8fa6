package scenarios

import (
	"lapwing/dynamics"
	"lapwing/sim/bench"
	"lapwing/sim/carry"
	"lapwing/sim/hands"
	"lapwing/sim/pilot"
	"lapwing/sim/prompt"
	"lapwing/sim/safety"
)

// The steps of the job before the flight: how the craft lies ready, what there
// is to find on it, how it is carried, which switches are asked for.

func benchField() field {
	return group("bench", "how the craft lies ready; left out: ready to fly",
		truth("task", "a task at the bench: the propellers must be off").or(false),
		truth("propellers_off", "the propellers are off").or(false),
		truth("battery_out", "the battery is not connected yet").or(false),
		truth("transmitter_off", "the transmitter is switched off").or(false))
}

func inspectionField() field {
	var cases []variantCase
	for _, w := range bench.PlaceWords() {
		place, _ := bench.ParsePlace(w)
		fields := []field{word("state", bench.FindingWords(place), "what is wrong there").need()}
		if place == bench.Propeller {
			fields = append(fields, reference("rotor", "its name in the craft file").need())
		}
		cases = append(cases, form(w, place.Says(), fields...))
	}
	return group("inspection", "the inspection list; everything is sound but for what stands here",
		list("discrepancies", 0, bench.MaxDrawn, variant("", "place", "one thing to find", cases...), "to be found in every run"),
		integer("random_at_least", 0, bench.MaxDrawn, "further ones, at places that the seed draws: the fewest").or(0.0),
		integer("random_at_most", 0, bench.MaxDrawn, "and the most").or(0.0))
}

func carryField() field {
	return list("carry", 1, carry.MaxMoves, group("", "one move of the craft in the hand",
		vector("to", "m", -50, 50, "from the mark: along the heading there, to its left, up").need(),
		number("roll", "deg", -60, 60, "right side down").or(0.0),
		number("pitch", "deg", -60, 60, "nose down").or(0.0),
		number("yaw", "deg", -720, 720, "to the left, from the heading at the mark").or(0.0),
		number("for", "s", 0.2, 60, "time for the move").need()), "how the craft is carried, with the motors off")
}

func estimateFaultField() field {
	return word("estimate_fault", carry.FaultWords(), "what the station shows wrongly of the estimate, to be found by carrying").or(carry.FaultNone.String())
}

func promptsField() field {
	d := prompt.Default()
	seconds := func(ticks int64) float64 { return float64(ticks) / 1000 }
	return group("prompts", "switches asked for aloud, to be found without looking",
		integer("count", 1, prompt.MaxPrompts, "how often").need(),
		list("asks", 2, len(prompt.AskWords()), word("", prompt.AskWords(), ""), "what may be asked for; the order is drawn by the seed").need(),
		number("least", "s", 0, 60, "shortest wait before an ask").or(seconds(d.LeastTicks)),
		number("mean", "s", 0, 60, "mean of the exponential wait above it, before it is capped").or(seconds(d.MeanTicks)),
		number("cap", "s", 0, 120, "longest wait above it").or(seconds(d.CapTicks)),
		number("patience", "s", 0.5, 60, "after which an ask is given up").or(seconds(d.Patience)))
}

// benchOf returns the bench that a sound scenario gives for a craft in a room.
func benchOf(s *value, c *dynamics.Craft, rotors []string, net bool) bench.Params {
	p := bench.Default()
	b := s.at("bench")
	p.Task, p.PropsOff = b.is("task"), b.is("propellers_off")
	p.BatteryIn, p.TransmitterOn = !b.is("battery_out"), !b.is("transmitter_off")
	v := s.at("inspection")
	if !v.present {
		return p
	}
	p.List(c.RotorCount, c.Rotors[0].Guard > 0, net)
	p.AtLeast, p.AtMost = v.integer("random_at_least"), v.integer("random_at_most")
	for _, d := range v.list("discrepancies") {
		place, state := findingOf(d)
		if i := p.Find(place, rotorOf(d, rotors)); i >= 0 {
			p.Items[i].State = state
		}
	}
	return p
}

func findingOf(d *value) (bench.Place, bench.Finding) {
	place, _ := bench.ParsePlace(d.text)
	state, _ := bench.ParseFinding(place, d.str("state"))
	return place, state
}

// rotorOf returns the rotor that a discrepancy names, 0 where it names none.
func rotorOf(d *value, rotors []string) int {
	if at := d.maybe("rotor"); at != nil {
		return indexOf(rotors, at.text)
	}
	return 0
}

// carryOf returns the carry that a sound scenario gives.
func carryOf(s *value) carry.Params {
	var p carry.Params
	p.Fault, _ = carry.ParseFault(s.str("estimate_fault"))
	for _, m := range s.list("carry") {
		p.Moves[p.Count] = carry.Move{To: m.vec("to_m"), Roll: m.num("roll_deg"), Pitch: m.num("pitch_deg"),
			Yaw: m.num("yaw_deg"), For: m.ticks("for_s")}
		p.Count++
	}
	return p
}

// promptOf returns the prompts that a sound scenario gives.
func promptOf(s *value) prompt.Params {
	v := s.at("prompts")
	if !v.present {
		return prompt.Default()
	}
	p := prompt.Params{Count: v.integer("count"), LeastTicks: v.ticks("least_s"), MeanTicks: v.ticks("mean_s"),
		CapTicks: v.ticks("cap_s"), Patience: v.ticks("patience_s")}
	for _, item := range v.list("asks") {
		ask, _ := prompt.ParseAsk(item.text)
		p.May[ask] = true
	}
	return p
}

// checkBench checks that what the plan does can be done as the craft lies ready.
func checkBench(v *value, r *report) {
	b := v.at("bench")
	in, on := !b.is("battery_out"), !b.is("transmitter_off")
	for _, leg := range v.list("plan") {
		kind := legNamed(leg.text)
		switch step := stepOf(kind, leg); {
		case step == hands.StepBatteryIn:
			in = true
		case step == hands.StepTransmitterOn:
			on = true
		case kind == pilot.LegLift && b.is("propellers_off"):
			r.add(leg.fault("lift", "a bench with its propellers on", "a craft without propellers does not fly"))
		case kind == pilot.LegArm && (!in || !on):
			r.add(leg.fault("arm", "battery-in and transmitter-on before it", "the craft would hear nothing"))
		}
	}
}

func stepOf(kind pilot.LegKind, leg *value) hands.Step {
	if kind != pilot.LegStep {
		return hands.StepNone
	}
	step, _ := hands.ParseStep(leg.str("step"))
	return step
}

// checkInspection checks that the random discrepancies are a range.
func checkInspection(v *value, r *report) {
	at := v.at("inspection")
	if least, most := at.at("random_at_least"), at.at("random_at_most"); at.present && least.number > most.number {
		r.add(most.fault(figureWords(most.number), "random_at_least or more", "no number lies between them"))
	}
}

// checkCarry checks what ties the moves of a carry together.
func checkCarry(v *value, r *report) {
	p := carryOf(v)
	if p.Count == 0 && p.Fault != carry.FaultNone {
		at := v.at("estimate_fault")
		r.add(at.fault(at.text, "the key carry in this file", "nobody could find it"))
		return
	}
	addErrors(v.at("carry"), p.Validate(), r)
}

// checkPrompts checks that switches are tried only where nothing can start.
func checkPrompts(v *value, r *report) {
	at := v.at("prompts")
	if !at.present {
		return
	}
	p := promptOf(v)
	addErrors(at, p.Validate(), r)
	if b := v.at("bench"); !b.is("battery_out") && !b.is("propellers_off") {
		r.add(at.fault("prompts", "a bench with battery_out or propellers_off", "switches that are tried must not start a craft"))
	}
}

// checkFindings checks that discrepancies are of things that craft and room
// have, each once.
func checkFindings(s, craft, room *value, r *report) {
	var names []string
	for _, rotor := range craft.list("rotors") {
		names = append(names, rotor.str("name"))
	}
	guards := craft.at("motor").num("guard_radius_m") > 0
	seen := map[string]bool{}
	for _, d := range s.at("inspection").list("discrepancies") {
		rotor := ""
		if at := d.maybe("rotor"); at != nil {
			rotor = at.text
			checkRotor(at, names, r)
		}
		if seen[d.text+" "+rotor] {
			r.add(d.fault(d.text, "each place once", "there is a discrepancy at this place already"))
		}
		seen[d.text+" "+rotor] = true
		if d.text == bench.Guards.String() && !guards {
			r.add(d.fault(d.text, "a place that this craft has", "it has no guards"))
		}
		if d.text == bench.Net.String() && !room.at("net").present {
			r.add(d.fault(d.text, "a place that this room has", "it has no net"))
		}
	}
}

func checkRotor(at *value, names []string, r *report) {
	for _, name := range names {
		if name == at.text {
			return
		}
	}
	message := "this craft has no such rotor"
	if near := nearest(at.text, names); near != "" {
		message += "; did you mean " + near + "?"
	}
	r.add(at.fault(at.text, joinWordsOf(names), message))
}

// armable reports asks for an arming switch that the craft does not have.
func armable(p *safety.Params, s *value, r *report) {
	if p.ArmBy == safety.BySwitch {
		return
	}
	for _, item := range s.at("prompts").list("asks") {
		if ask, _ := prompt.ParseAsk(item.text); ask == prompt.Arm || ask == prompt.Disarm {
			r.add(item.fault(item.text, "a switch that this craft has", "it is armed by its sticks"))
		}
	}
}
