package scenarios

import (
	"slices"

	"lapwing/sim/inject"
)

// checkInjectForms checks what no single key of an inject can show, and that no
// two injects contradict each other.
func checkInjectForms(v *value, r *report) {
	seen := map[string]bool{}
	for _, item := range v.list("injects") {
		kind, _ := inject.ParseKind(item.text)
		switch kind {
		case inject.VisionLost:
			if ramp := item.at("ramp_s"); ramp.number > 0 && item.str("how") != inject.Dark.String() {
				r.add(ramp.fault(figureWords(ramp.number), "0, or how: dark", "a lens is covered at once"))
			}
		case inject.StuckAxis:
			if at := item.at("at_share"); at.number < 0 && item.str("axis") == inject.AxisThrottle.String() {
				r.add(at.fault(at.text, "0 to 1", "the throttle stick has nothing below its lowest"))
			}
		case inject.RotorsSwapped:
			if with := item.at("with"); with.text == item.str("rotor") {
				r.add(with.fault(with.text, "another rotor", "a rotor cannot be swapped with itself"))
			}
		}
		single := kind == inject.StuckAxis || kind == inject.RotorsSwapped
		if single && seen[item.text] {
			r.add(item.fault(item.text, "once", "two of this kind would contradict each other"))
		}
		seen[item.text] = true
	}
}

// checkWalker checks that there is somebody in the room who can walk in.
func checkWalker(s, room *value, r *report) {
	if len(room.list("people")) > 0 {
		return
	}
	for _, item := range s.list("injects") {
		if item.text == inject.PersonEnters.String() {
			r.add(item.fault(item.text, "", "nobody stands in this room who could walk"))
		}
	}
}

// checkRotorNames checks that injects name rotors of the craft.
func checkRotorNames(s, craft *value, r *report) {
	var names []string
	for _, rotor := range craft.list("rotors") {
		names = append(names, rotor.str("name"))
	}
	for _, item := range s.list("injects") {
		every := item.text != inject.RotorsSwapped.String()
		for _, key := range []string{"rotor", "with"} {
			at := item.maybe(key)
			if at == nil || every && at.text == allRotors {
				continue
			}
			checkRotorName(at, names, every, r)
		}
	}
}

func checkRotorName(at *value, names []string, every bool, r *report) {
	if slices.Contains(names, at.text) {
		return
	}
	message := "this craft has no such rotor"
	if near := nearest(at.text, names); near != "" {
		message += "; did you mean " + near + "?"
	}
	allowed := joinWordsOf(names)
	if every {
		allowed = allRotors + ", " + allowed
	}
	r.add(at.fault(at.text, allowed, message))
}
