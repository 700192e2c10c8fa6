package scenarios

import (
	"lapwing/sim/hands"
	"lapwing/sim/pilot"
)

// legWords lists the legs of a plan as they stand in a file.
var legWords = func() []string {
	var words []string
	for k := pilot.LegNone + 1; k.String() != "unknown"; k++ {
		words = append(words, k.String())
	}
	return words
}()

func legNamed(w string) pilot.LegKind { return pilot.LegNone + 1 + pilot.LegKind(indexOf(legWords, w)) }

func planField() field {
	cases := make([]variantCase, len(legWords))
	for i, w := range legWords {
		switch legNamed(w) {
		case pilot.LegCall:
			cases[i] = form(w, "say something", word("call", hands.CallWords(), "what").need())
		case pilot.LegStep:
			cases[i] = form(w, "take a step of the procedure", word("step", hands.StepWords(), "which").need())
		case pilot.LegLift:
			cases[i] = form(w, "take off in attitude", number("height", "m", 0.1, 10, "to which").need())
		case pilot.LegEngage:
			cases[i] = form(w, "select a response type with the throttle matched",
				word("response", hands.ResponseWords(), "which").need())
		case pilot.LegHold:
			cases[i] = form(w, "stay as it is", number("for", "s", 0.1, 600, "how long").need())
		default:
			cases[i] = form(w, "")
		}
	}
	return list("plan", 1, pilot.MaxLegs, variant("", "do", "one leg", cases...), "the briefed task, leg after leg").need()
}

// planOf returns the plan that a sound scenario gives.
func planOf(v *value) pilot.Plan {
	var p pilot.Plan
	for _, item := range v.items {
		leg := pilot.Leg{Do: legNamed(item.text)}
		switch leg.Do {
		case pilot.LegCall:
			leg.Call, _ = hands.ParseCall(item.str("call"))
		case pilot.LegStep:
			leg.Step, _ = hands.ParseStep(item.str("step"))
		case pilot.LegLift:
			leg.Height = item.num("height_m")
		case pilot.LegEngage:
			leg.Response, _ = hands.ParseResponse(item.str("response"))
		case pilot.LegHold:
			leg.For = item.ticks("for_s")
		}
		p.Legs[p.Count] = leg
		p.Count++
	}
	return p
}

// checkPlan walks the plan and checks that each leg can follow the one before.
func checkPlan(v *value, r *report) {
	flying, armed, engaged := false, false, hands.Attitude
	held := 0.0
	hasPath := v.at("path").present
	for _, leg := range v.list("plan") {
		switch legNamed(leg.text) {
		case pilot.LegArm:
			armed = true
		case pilot.LegLift:
			if !armed {
				r.add(leg.fault("lift", "arm before it", ""))
			}
			flying, engaged = true, hands.Attitude
		case pilot.LegEngage:
			engaged, _ = hands.ParseResponse(leg.str("response"))
			if engaged == hands.Path && !hasPath {
				r.add(leg.at("response").fault("path", "a response type other than path, or the key path in this file", "there is no path to follow"))
			}
			if !flying {
				r.add(leg.fault("engage", "lift before it", "response types are engaged in the air"))
			}
		case pilot.LegFollow:
			if engaged != hands.Path {
				r.add(leg.fault("follow", "engage path before it", ""))
			}
			if p := pathOf(v.at("path")); p.Validate() == nil {
				held += p.Duration()
			}
		case pilot.LegHold:
			held += leg.num("for_s")
		case pilot.LegLand:
			if !flying {
				r.add(leg.fault("land", "lift before it", ""))
			}
			flying = false
		case pilot.LegDisarm:
			if flying {
				r.add(leg.fault("disarm", "land before it", "the craft is still in the air"))
			}
			armed = false
		}
	}
	if d := v.at("duration_s"); d.sound && held >= d.number {
		r.add(d.fault(d.text, "more than the "+figureWords(held)+" s that its holds and its path take", "the plan cannot be completed"))
	}
}
