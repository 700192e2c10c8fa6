package scenarios

import (
	"fmt"

	"lapwing/sim/judge"
	"lapwing/sim/trials"
)

// Bounds and defaults of a step. The share of runs in which nothing happens is
// common practice; the rest are judgements.
const (
	mostOfStep  = 100  // tries
	usualMost   = 10   // tries
	usualShare  = 0.25 // of the flights
	mostCatch   = 0.5  // share above which the catch runs would be the drill
	mostDrills  = 16   // that are mixed in one step
	mostOfClass = 60   // steps
)

// courseFormat describes a course: drills in order, each until its standard is met.
func courseFormat() format {
	step := group("", "one step: a drill, or several that come in a drawn order, until the standard is met",
		reference("scenario", "of the catalogue or beside this file; a step has this or one_of"),
		list("one_of", 2, mostDrills, reference("", ""), "scenarios of which each comes once, in a drawn order, before any comes again"),
		word("announced", judge.AnnouncedWords(),
			"what the person is told beforehand: nothing, the kind of event, or kind and time; left out: as the scenario says"),
		integer("repeats", 1, mostOfStep, "tries at least; left out: as many as pass looks at"),
		group("pass", "the standard for moving on",
			integer("of_last", 1, mostOfStep, "how many of the latest tries are looked at").or(1.0),
			integer("go", 1, mostOfStep, "how many of them must be GO").or(1.0),
			integer("false_alarms", 0, mostOfStep, "at most, in the catch runs flown between them").or(0.0)),
		integer("most_tries", 1, mostOfStep, "after which the course stops here").or(float64(usualMost)),
		number("no_event", "share", 0, mostCatch,
			"of flights in which nothing happens; left out: 0.25 where an event is not announced and there are catch_runs, else none"),
	)
	return format{kind: KindCourse, dir: "courses", rules: []rule{{[]string{"steps"}, checkSteps}}, root: document(KindCourse,
		"A course: drills in order. The person moves on when the standard of a step is met, and stops where it is not met in time.",
		list("briefing", 1, 6, sentence("", ""), "plain sentences that the trainee reads").need(),
		list("standards", 1, 8, sentence("", ""), "what moving on takes, for people").need(),
		list("catch_runs", 1, mostDrills, reference("", ""), "scenarios in which nothing happens, mixed in by seed"),
		list("steps", 1, mostOfClass, step, "in order").need())}
}

// checkSteps checks what ties the fields of each step together.
func checkSteps(v *value, r *report) {
	for _, step := range v.list("steps") {
		if step.has("scenario") == step.has("one_of") {
			r.add(step.fault("", "either scenario or one_of", "a step has one of the two"))
		}
		s, pass := standardOf(step), step.at("pass")
		if s.Go > s.OfLast {
			r.add(pass.at("go").fault(fmt.Sprint(s.Go), fmt.Sprintf("at most of_last, %d", s.OfLast), "this standard cannot be met"))
		}
		if s.Least < s.OfLast {
			r.add(step.at("repeats").fault(fmt.Sprint(s.Least), fmt.Sprintf("at least of_last, %d", s.OfLast),
				"the standard looks at more tries than are flown"))
		}
		if s.Most < s.Least {
			r.add(step.at("most_tries").fault(fmt.Sprint(s.Most), fmt.Sprintf("at least repeats, %d", s.Least), "this standard cannot be met"))
		}
		checkShare(v, step, r)
	}
}

// checkShare checks that catch runs can be mixed in where that is asked for.
func checkShare(v, step *value, r *report) {
	share := step.at("no_event_share")
	if !share.present || share.number == 0 {
		return
	}
	if step.str("announced") == judge.AnnouncedFully.String() {
		r.add(share.fault(share.text, "0", "what is announced fully comes in every try"))
	}
	if !v.at("catch_runs").present {
		r.add(share.fault(share.text, "0", "there are no catch_runs to mix in"))
	}
}

// standardOf returns what the file says of moving on.
func standardOf(step *value) trials.Step {
	pass := step.at("pass")
	s := trials.Step{Most: step.integer("most_tries"), OfLast: pass.integer("of_last"), Go: pass.integer("go"),
		FalseAlarms: pass.integer("false_alarms")}
	s.Least = s.OfLast
	if step.has("repeats") {
		s.Least = step.integer("repeats")
	}
	return s
}
