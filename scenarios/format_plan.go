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

// liftWords are the response types in which a craft can be taken off.
var liftWords = []string{hands.Attitude.String(), hands.HeightHold.String(), hands.PositionHold.String()}

// plainLegs says what the legs are that need no further word.
var plainLegs = map[pilot.LegKind]string{
	pilot.LegArm:         "release the cut-off, throttle lowest, arm",
	pilot.LegFollow:      "with path engaged: to its end",
	pilot.LegLand:        "come down at the place",
	pilot.LegDisarm:      "disarm and engage the cut-off",
	pilot.LegInspect:     "look at every place of the inspection list and tick it",
	pilot.LegDecide:      "call go or no-go by what was found; no-go ends the plan",
	pilot.LegCarry:       "carry the craft through its moves and compare what the station shows",
	pilot.LegTilt:        "tilt the armed craft in the hand, propellers off, and compare what the motors do",
	pilot.LegCover:       "cover the lens, watch the station's word on the camera, uncover",
	pilot.LegPrompts:     "answer each spoken prompt by its switch",
	pilot.LegCutOff:      "engage the cut-off, throttle lowest",
	pilot.LegNameRefusal: "try to arm, read which check refuses and say it",
	pilot.LegTakeOver:    "from path into attitude with the throttle matched first, and to rest",
}

func planField() field {
	cases := make([]variantCase, len(legWords))
	for i, w := range legWords {
		switch legNamed(w) {
		case pilot.LegCall:
			cases[i] = form(w, "say something", word("call", hands.CallWords(), "what").need())
		case pilot.LegStep:
			cases[i] = form(w, "take a step of the procedure", word("step", hands.StepWords(), "which").need())
		case pilot.LegLift:
			cases[i] = form(w, "take off", number("height", "m", 0.1, 10, "to which").need(),
				word("response", liftWords, "the response type it is done in").or(hands.Attitude.String()))
		case pilot.LegEngage:
			cases[i] = form(w, "select a response type with the throttle matched",
				word("response", hands.ResponseWords(), "which").need())
		case pilot.LegHold:
			cases[i] = form(w, "stay as it is", number("for", "s", 0.1, 600, "how long").need())
		case pilot.LegIdle:
			cases[i] = form(w, "motors idle on the floor", number("for", "s", 0.1, 600, "how long").need())
		case pilot.LegTurn:
			cases[i] = form(w, "turn, in place or on an arc", number("angle", "deg", -1080, 1080, "left positive").need(),
				number("rate", "deg_s", 5, 180, "how quickly").or(30.0),
				number("radius", "m", 0, 5, "of the arc that is flown ahead; 0 turns in place").or(0.0))
		case pilot.LegMove:
			cases[i] = form(w, "fly to a place", vector("to", "m", -100, 100, "the place, room axes").need())
		case pilot.LegRelease:
			cases[i] = form(w, "release the cut-off with the throttle raised: a trap, shown on purpose",
				number("throttle", "share", 0, 1, "where the throttle stands").need())
		default:
			cases[i] = form(w, plainLegs[legNamed(w)])
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
			leg.Response, _ = hands.ParseResponse(item.str("response"))
		case pilot.LegEngage:
			leg.Response, _ = hands.ParseResponse(item.str("response"))
		case pilot.LegHold, pilot.LegIdle:
			leg.For = item.ticks("for_s")
		case pilot.LegTurn:
			leg.Angle, leg.Rate, leg.Radius = item.num("angle_deg"), item.num("rate_deg_s"), item.num("radius_m")
		case pilot.LegMove:
			leg.PlaceW = item.vec("to_m")
		case pilot.LegRelease:
			leg.Throttle = item.num("throttle_share")
		}
		p.Legs[p.Count] = leg
		p.Count++
	}
	return p
}

// walk is what a plan has come to, leg by leg.
type walk struct {
	flying, armed, cut bool
	engaged            hands.Response
	held               float64 // s, taken by holds and path
}

// checkPlan walks the plan and checks that each leg can follow the one before.
func checkPlan(v *value, r *report) {
	w := walk{engaged: hands.Attitude}
	for _, leg := range v.list("plan") {
		w.step(leg, v, r)
	}
	if d := v.at("duration_s"); d.sound && w.held >= d.number {
		r.add(d.fault(d.text, "more than the "+figureWords(w.held)+" s that its holds and its path take", "the plan cannot be completed"))
	}
}

// step walks one leg.
func (w *walk) step(leg, v *value, r *report) {
	needs := func(holds bool, wanted, why string) {
		if !holds {
			r.add(leg.fault(leg.text, wanted, why))
		}
	}
	switch legNamed(leg.text) {
	case pilot.LegArm:
		w.armed, w.cut = true, false
	case pilot.LegLift:
		needs(w.armed, "arm before it", "")
		w.flying = true
		w.engaged, _ = hands.ParseResponse(leg.str("response"))
	case pilot.LegEngage:
		w.engaged, _ = hands.ParseResponse(leg.str("response"))
		if w.engaged == hands.Path && !v.at("path").present {
			r.add(leg.at("response").fault("path", "a response type other than path, or the key path in this file", "there is no path to follow"))
		}
		needs(w.flying, "lift before it", "response types are engaged in the air")
	case pilot.LegFollow:
		needs(w.engaged == hands.Path, "engage path before it", "")
		if p := pathOf(v.at("path")); p.Validate() == nil {
			w.held += p.Duration()
		}
	case pilot.LegHold:
		w.held += leg.num("for_s")
	case pilot.LegLand:
		needs(w.flying, "lift before it", "")
		w.flying = false
	case pilot.LegDisarm:
		needs(!w.flying, "land before it", "the craft is still in the air")
		w.armed = false
	default:
		w.handle(leg, needs)
	}
}

// handle walks a leg of handling or of the work before a flight.
func (w *walk) handle(leg *value, needs func(holds bool, wanted, why string)) {
	switch legNamed(leg.text) {
	case pilot.LegTurn:
		needs(w.flying, "lift before it", "")
		needs(leg.num("radius_m") == 0 || w.engaged == hands.PositionHold, "engage position-hold before it",
			"an arc is flown by speed")
	case pilot.LegMove:
		needs(w.flying, "lift before it", "")
	case pilot.LegIdle:
		needs(w.armed && !w.flying, "arm before it, and no lift", "motors idle on the floor")
		w.held += leg.num("for_s")
	case pilot.LegTakeOver:
		needs(w.flying && w.engaged == hands.Path, "engage path before it", "")
		w.engaged = hands.Attitude
	case pilot.LegCutOff:
		w.flying, w.cut = false, true
	case pilot.LegRelease:
		needs(w.cut, "cut-off before it", "")
	case pilot.LegInspect, pilot.LegCarry, pilot.LegTilt, pilot.LegCover, pilot.LegPrompts, pilot.LegNameRefusal:
		needs(!w.flying, "land before it", "it is done on the floor")
	}
}
