package scenarios

import (
	"lapwing/sim/inject"
	"lapwing/sim/judge"
)

// How an event comes about: something is made to go wrong, or it emerges by
// itself from what is flown and where.

// harmless are the injects that may come in a run without an event: flying on and
// landing are both right, and only a cut-off or a fight is wrong.
func harmless(k inject.Kind) bool { return k == inject.Gust || k == inject.TelemetryLost }

// checkInjectsAndEvent checks that there is something for the drill to be about.
func checkInjectsAndEvent(v *value, r *report) {
	drill, injects := v.at("drill"), v.at("injects")
	event := drill.at("event")
	none := eventNamed(event.text).Class == judge.ClassN
	for _, item := range injects.items {
		if kind, _ := inject.ParseKind(item.text); none && !harmless(kind) {
			r.add(item.fault(item.text, inject.Gust.String()+", "+inject.TelemetryLost.String(),
				"with the event "+event.text+" only what is harmless may come"))
		}
	}
	emerges := drill.at("emerges")
	switch {
	case emerges.flag && none:
		r.add(emerges.fault("true", "an event other than "+event.text, "nothing comes in such a run"))
	case emerges.flag && len(injects.items) > 0:
		r.add(emerges.fault("true", "no injects in this file", "an event that is made does not emerge"))
	case !emerges.flag && !none && len(injects.items) == 0:
		r.add(event.fault(event.text, "at least one inject in this file, or emerges: true in its drill",
			"nothing goes wrong, so its clock would never start"))
	}
	checkFrom(v, emerges, drill.at("from"), r)
}

// checkFrom checks that an event that emerges has a mark, and one that the plan
// passes.
func checkFrom(v, emerges, from *value, r *report) {
	switch {
	case emerges.flag && !from.present:
		r.add(emerges.fault("true", "the key from beside it", "from which mark on are its cues watched?"))
	case !emerges.flag && from.present:
		r.add(from.fault(from.text, "nothing, or emerges: true", "an inject has its own onset"))
	case from.present && v.soundly("plan"):
		checkMark(v, from, r)
	}
}

// addCutOff makes an unneeded cut-off an error in a drill that does not say what
// it is: critical where nothing has happened, major while a refuge is open.
func addCutOff(d *judge.Drill) {
	if d.CommissionCount == judge.MaxCommissions || saysOfCutOff(d) {
		return
	}
	grade := judge.Major
	if d.Class == judge.ClassN {
		grade = judge.Critical
	}
	d.Commissions[d.CommissionCount] = judge.Commission{Deed: judge.Deed{Kind: judge.DeedCutOff}, Grade: grade}
	d.CommissionCount++
}

// saysOfCutOff tells whether a drill asks for the cut-off, or calls it wrong.
func saysOfCutOff(d *judge.Drill) bool {
	for i := range d.DemandCount {
		demand := &d.Demands[i]
		for k := range demand.Count {
			if kind := demand.AnyOf[k].Kind; kind == judge.DeedCutOff || kind == judge.DeedReturnSafe {
				return true
			}
		}
	}
	for i := range d.CommissionCount {
		if d.Commissions[i].Deed.Kind == judge.DeedCutOff {
			return true
		}
	}
	return false
}
