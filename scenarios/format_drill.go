package scenarios

import (
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// signForm ties a sign of the percept to its words in a file: the level's key
// carries its unit.
type signForm struct {
	sign  percept.Sign
	word  string
	level field // of the level; zero where the sign is yes or no
	words []string
	doc   string
}

// signForms lists the signs that a cue can be made of.
var signForms = []signForm{
	{percept.SignSlide, "slide", number("above", "m_s", 0.01, 5, ""), nil, "uncommanded horizontal speed"},
	{percept.SignAway, "away", number("above", "m", 0.01, 10, ""), nil, "distance from where it should be"},
	{percept.SignTilt, "tilt", number("above", "deg", 1, 180, ""), nil, "lean of the craft"},
	{percept.SignSpeed, "speed", number("above", "m_s", 0.01, 10, ""), nil, "horizontal speed"},
	{percept.SignSink, "sink", number("above", "m_s", 0.01, 10, ""), nil, "downward speed"},
	{percept.SignClimb, "climb", number("above", "m_s", 0.01, 10, ""), nil, "upward speed"},
	{percept.SignAccel, "acceleration", number("above", "m_s2", 0.1, 30, ""), nil, "horizontal acceleration"},
	{percept.SignYawRate, "yaw-rate", number("above", "deg_s", 1, 1000, ""), nil, "turning"},
	{percept.SignOverPath, "over-path-speed", number("above", "share", 1, 10, ""), nil, "speed as a share of the briefed path's"},
	{percept.SignOddRotor, "odd-rotor", number("above", "share", 0.02, 1, ""), nil, "one rotor's sound is off the others'"},
	{percept.SignCamera, "camera", word("shows", cameraWords, ""), cameraWords, "the station's words on the camera, or worse"},
	{percept.SignLinkLost, "link-lost", field{}, nil, "the station's link flag"},
	{percept.SignDeadSticks, "dead-sticks", number("above", "s", 0.1, 10, ""), nil, "a moved stick has had no answer"},
	{percept.SignBattery, "battery", word("shows", batteryWords, ""), batteryWords, "the station's words on the battery, or worse"},
	{percept.SignContact, "contact", field{}, nil, "something was hit"},
	{percept.SignTipping, "tipping", number("above", "deg", 1, 90, ""), nil, "lean with weight on the feet"},
	{percept.SignMotorsOnFloor, "motors-on-floor", field{}, nil, "motors turn while it stands"},
	{percept.SignPersonNear, "person-near", number("within", "m", 0.1, 20, ""), nil, "distance to a person"},
	{percept.SignNotHolding, "not-holding", field{}, nil, "a response type is selected and not in force"},
	{percept.SignAirborne, "airborne", field{}, nil, "it flies"},
	{percept.SignOnFloor, "on-floor", field{}, nil, "it stands"},
	{percept.SignLow, "low", number("within", "m", 0.05, 10, ""), nil, "height above the floor"},
	{percept.SignYawSlide, "yaw-slide", number("above", "m_s", 0.01, 5, ""), nil, "slide within 2 s of turning faster than 45 degrees a second"},
	{percept.SignSwing, "swing", number("above", "deg", 3, 90, ""), nil, "lean to and fro that does not die away"},
	{percept.SignStationSilent, "station-silent", field{}, nil, "no telemetry comes though the link is up"},
	{percept.SignFliesOn, "flies-on", number("above", "s", 0.1, 60, ""), nil, "flying on after the lost-link action was due"},
	{percept.SignMotorsSilent, "motors-silent", field{}, nil, "no motor turns in the air"},
	{percept.SignSmoke, "smoke", field{}, nil, "smoke at the craft"},
	{percept.SignPinned, "pinned", number("above", "deg", 1, 180, ""), nil, "lean of a craft that stands still with its motors turning"},
	{percept.SignCeiling, "ceiling", number("within", "m", 0.01, 10, ""), nil, "distance to the ceiling or the net above"},
	{percept.SignOtherMoves, "other-moves", field{}, nil, "another craft moves as the sticks do"},
	{percept.SignPictureStill, "picture-still", field{}, nil, "the picture that is flown by stands still"},
	{percept.SignCageAlert, "cage-alert", field{}, nil, "the station tells that the craft is at the side of the cage"},
	{percept.SignCutOffIgnored, "cut-off-ignored", number("above", "s", 0.1, 10, ""), nil, "motors turn with the cut-off engaged"},
	{percept.SignLeap, "leap", number("above", "m_s", 0.1, 10, ""), nil, "speed up or down after a change into direct thrust"},
	{percept.SignNoseIn, "nose-in", field{}, nil, "the nose points at who flies"},
	{percept.SignPrompt, "prompt", field{}, nil, "something is asked for aloud"},
	{percept.SignHeld, "held", field{}, nil, "the craft is in a hand"},
	{percept.SignItemBad, "item-looks-bad", field{}, nil, "what is looked at on the inspection list is not sound"},
	{percept.SignFlicker, "link-flickers", number("above", "", 0, 20, ""), nil, "how often the link flag came up within 5 s"},
}

// Words of the instruments, from the lesser to the worse; the figures of the
// percept are 1 and 2.
var (
	cameraWords  = []string{"doubtful", "disagrees"}
	batteryWords = []string{"caution", "critical"}
)

// signField describes a sign with its level, with extra fields in every form.
func signField(doc string, extra ...field) field {
	cases := make([]variantCase, len(signForms))
	for i, s := range signForms {
		hold := number("for", "s", 0, 10, "for which it must last").or(0.0)
		if s.level.name == "" {
			cases[i] = form(s.word, s.doc, append([]field{hold}, extra...)...)
			continue
		}
		level := s.level.need()
		level.doc = "level of " + s.doc
		cases[i] = form(s.word, s.doc, append([]field{level, hold}, extra...)...)
	}
	return variant("", "sign", doc, cases...)
}

// ruleOf returns the rule that a sound cue gives.
func ruleOf(v *value) percept.Rule {
	s := &signForms[indexOfSign(v.text)]
	rule := percept.Rule{Sign: s.sign, Above: 0.5, For: v.ticks("for_s")}
	if s.level.name == "" {
		return rule
	}
	level := v.at(s.level.fullName())
	switch {
	case s.words != nil:
		rule.Above = float64(indexOf(s.words, level.text)) + 0.5
	case s.level.name == "within":
		rule.Above = 1 / level.number
	default:
		rule.Above = level.number
	}
	return rule
}

func indexOfSign(w string) int {
	for i := range signForms {
		if signForms[i].word == w {
			return i
		}
	}
	panic("scenarios: no sign " + w)
}

// deedLevel describes the level of each kind of deed that has one.
func deedLevel(kind judge.DeedKind) (field, bool) {
	switch kind {
	case judge.DeedThrottleUp, judge.DeedThrottleOff, judge.DeedPositionStick, judge.DeedEaseThrottle:
		return number("above", "share", 0.01, 1, "level"), true
	case judge.DeedArrest:
		return number("below", "m_s", 0.02, 3, "level of horizontal speed"), true
	case judge.DeedClimb:
		return number("above", "m", 0.02, 10, "level above where it was at the cue"), true
	case judge.DeedStir:
		return number("above", "per_s", 0.1, 20, "stick reversals in a second"), true
	case judge.DeedYawOn:
		return number("above", "deg_s", 1, 720, "level of turning"), true
	case judge.DeedStayPath, judge.DeedStayPositionBased, judge.DeedMotorsRun:
		return number("after", "s", 0.1, 60, "time from the cue"), true
	case judge.DeedHoldLowest:
		return number("for", "s", 0.1, 10, "how long, after the cue"), true
	case judge.DeedMoveAway:
		return number("by", "m", 0.05, 10, "further from the nearest person than at the nearest since the cue"), true
	case judge.DeedMoveClear:
		return number("by", "m", 0.05, 10, "further from net, wall and box than at the nearest since the cue"), true
	case judge.DeedSwitchAbout:
		return number("above", "", 1, 20, "response types selected since the cue"), true
	}
	return field{}, false
}

// deedField describes a deed, with extra fields in every form.
func deedField(doc string, extra ...field) field {
	cases := make([]variantCase, 0, len(judge.DeedWords()))
	for _, w := range judge.DeedWords() {
		kind, _ := judge.ParseDeed(w)
		var fields []field
		if level, ok := deedLevel(kind); ok {
			fields = append(fields, level.need())
		}
		switch kind {
		case judge.DeedCall:
			fields = append(fields, word("call", hands.CallWords(), "what is said").need())
		case judge.DeedStep:
			fields = append(fields, word("step", hands.StepWords(), "what is done").need())
		}
		cases = append(cases, form(w, "", append(fields, extra...)...))
	}
	return variant("", "deed", doc, cases...)
}

// deedOf returns the deed that v gives.
func deedOf(v *value) judge.Deed {
	kind, _ := judge.ParseDeed(v.text)
	deed := judge.Deed{Kind: kind}
	if level, ok := deedLevel(kind); ok {
		deed.Level = v.num(level.fullName())
	}
	switch kind {
	case judge.DeedCall:
		deed.Call, _ = hands.ParseCall(v.str("call"))
	case judge.DeedStep:
		deed.Step, _ = hands.ParseStep(v.str("step"))
	}
	return deed
}

func demandsField() field {
	return list("demands", 0, judge.MaxDemands, group("", "one required action",
		list("any_of", 1, judge.MaxChoices, deedField("any of them fulfils the demand"), "the deeds").need(),
		number("within", "s", 0.1, 600, "from the cue; left out: no limit"),
		truth("critical", "leaving it out is a critical omission").or(false),
		truth("first", "it counts as the first right action").or(false),
		truth("ordered", "it must not come before the demand above it").or(false)),
		"what is asked, in order")
}

var gradeWords = []string{judge.Minor.String(), judge.Major.String(), judge.Critical.String()}

func commissionsField() field {
	return list("commissions", 0, judge.MaxCommissions,
		deedField("what should not be done after the cue", word("grade", gradeWords, "how much it weighs").need()),
		"what should not be done; a cut-off that nobody needs counts where it is not named: critical without an event, else major")
}

// drillField describes what is expected of the person.
func drillField() field {
	d := judge.DefaultOutcome()
	w := judge.DefaultWeights()
	return group("drill", "what is expected of the person",
		word("event", eventWords(), "what the drill is about").need(),
		word("announced", judge.AnnouncedWords(), "what the person is told beforehand: nothing, the kind of event, or kind and time").or(judge.AnnouncedNot.String()),
		truth("demonstration", "shown on purpose: neither GO nor NO-GO").or(false),
		truth("emerges", "no inject makes it: it begins with its cue").or(false),
		word("from", inject.SeenMarkWords(), "of an event that emerges: the mark from which on its cues are watched"),
		number("target", "s", 0.1, 60, "from the cue to the first right action; left out: that of the event's class"),
		number("limit", "s", 0.1, 60, "latest first right action; left out: that of the event's class"),
		word("call", hands.CallWords(), "the call-out that belongs to the event"),
		list("cues", 0, judge.MaxCues, signField("something a person can perceive"), "any of them starts the clock"),
		demandsField(),
		commissionsField(),
		list("exceedances", 0, judge.MaxExceedances,
			signField("what should not be passed while flying", word("grade", gradeWords, "how much it weighs").need()),
			"limits of the flight"),
		group("outcome", "what must not happen",
			truth("contact", "contact other than feet on floor").or(d.Contact),
			number("touchdown", "m_s", 0.2, 10, "closing speed at the floor").or(d.Touchdown),
			truth("leave_cage", "leaving the cage").or(d.LeaveCage),
			truth("person_radius", "entering a person's radius").or(d.PersonRadius),
			number("tilt", "deg", 10, 180, "beyond what the action asks").or(60.0)),
		group("weights", "of the trend number; their sum is 1",
			number("time", "", 0, 1, "").or(w.Time), number("actions", "", 0, 1, "").or(w.Actions),
			number("control", "", 0, 1, "").or(w.Control), number("procedure", "", 0, 1, "").or(w.Procedure)),
	).need()
}

// drillOf returns the drill that a sound scenario gives.
func drillOf(v *value) judge.Drill {
	e := eventNamed(v.str("event"))
	d := judge.Drill{Event: e.Row, Class: e.Class, Announced: announcedOf(v), Demonstration: v.is("demonstration"), Emerges: v.is("emerges")}
	if from, ok := inject.ParseMark(v.str("from")); ok {
		d.From = uint8(from)
	}
	d.Target, d.Limit = timesOf(v)
	d.Call, _ = hands.ParseCall(v.str("call"))
	for _, c := range v.list("cues") {
		d.Cues[d.CueCount] = ruleOf(c)
		d.CueCount++
	}
	setDemands(&d, v.at("demands"))
	setCommissions(&d, v.at("commissions"))
	for _, x := range v.list("exceedances") {
		grade := judge.Grade(indexOf(gradeWords, x.str("grade")))
		d.Exceedances[d.ExceedanceCount] = judge.Exceedance{Rule: ruleOf(x), Grade: grade}
		d.ExceedanceCount++
	}
	o := v.at("outcome")
	d.Outcome = judge.Outcome{Contact: o.is("contact"), Touchdown: o.num("touchdown_m_s"), LeaveCage: o.is("leave_cage"),
		PersonRadius: o.is("person_radius"), Tilt: o.num("tilt_deg")}
	w := v.at("weights")
	d.Weights = judge.Weights{Time: w.num("time"), Actions: w.num("actions"), Control: w.num("control"), Procedure: w.num("procedure")}
	return d
}

func announcedOf(v *value) judge.Announced {
	return judge.Announced(indexOf(judge.AnnouncedWords(), v.str("announced")))
}

// timesOf returns target and limit (s) of a drill: as given, else the class's.
func timesOf(v *value) (target, limit float64) {
	times := TimesOf(eventNamed(v.str("event")).Class)
	target, limit = times.Target(announcedOf(v)), times.Limit
	if v.has("limit_s") {
		limit = v.num("limit_s")
	}
	if v.has("target_s") {
		target = v.num("target_s")
	}
	return target, limit
}

func setDemands(d *judge.Drill, v *value) {
	d.Demands, d.DemandCount = [judge.MaxDemands]judge.Demand{}, 0
	for _, item := range v.items {
		demand := judge.Demand{Within: judge.NoLimit, Critical: item.is("critical"), First: item.is("first"), Ordered: item.is("ordered")}
		if item.has("within_s") {
			demand.Within = item.ticks("within_s")
		}
		for _, deed := range item.list("any_of") {
			demand.AnyOf[demand.Count] = deedOf(deed)
			demand.Count++
		}
		d.Demands[d.DemandCount] = demand
		d.DemandCount++
	}
}

func setCommissions(d *judge.Drill, v *value) {
	d.Commissions, d.CommissionCount = [judge.MaxCommissions]judge.Commission{}, 0
	for _, item := range v.items {
		grade := judge.Grade(indexOf(gradeWords, item.str("grade")))
		d.Commissions[d.CommissionCount] = judge.Commission{Deed: deedOf(item), Grade: grade}
		d.CommissionCount++
	}
}

// sumTolerance is how far the weights' sum may be from 1: what decimals written
// by hand lose.
const sumTolerance = 1e-9

// checkDrill checks what ties the fields of a drill together.
func checkDrill(v *value, r *report) {
	if v.soundly("event", "announced", "target_s", "limit_s") {
		checkTimes(v, r)
	}
	if v.soundly("event", "cues", "demands") {
		checkClass(v, r)
	}
	if v.soundly("demands") {
		checkDemands(v.at("demands"), r)
	}
	if w := v.at("weights"); w.sound {
		sum := w.num("time") + w.num("actions") + w.num("control") + w.num("procedure")
		if d := sum - 1; d > sumTolerance || d < -sumTolerance {
			r.add(w.fault(figureWords(sum), "1", "the sum of the weights"))
		}
	}
}

func checkTimes(v *value, r *report) {
	class := eventNamed(v.str("event")).Class
	times := TimesOf(class)
	if class == judge.ClassN {
		for _, key := range []string{"target_s", "limit_s"} {
			if v.at(key).present {
				r.add(v.at(key).fault(v.at(key).text, "nothing", "no-event is decided by completing the plan"))
			}
		}
		return
	}
	target, limit := timesOf(v)
	if limit > times.Limit {
		r.add(v.at("limit_s").fault(figureWords(limit), "at most "+figureWords(times.Limit)+" s",
			"looser than the limit of class "+class.String()+" ("+class.Words()+")"))
	}
	if target > limit {
		at := v.at("target_s")
		if !at.present {
			at = v.at("limit_s")
		}
		r.add(at.fault("a target of "+figureWords(target)+" s", "at most the limit of "+figureWords(limit)+" s",
			"this standard cannot be met"))
	}
}

func checkClass(v *value, r *report) {
	none := eventNamed(v.str("event")).Class == judge.ClassN
	if cues := v.at("cues"); !none && len(cues.items) == 0 {
		r.add(v.at("event").fault(v.str("event"), "", "an event needs at least one cue, or nothing starts the clock"))
	}
	checkFirst(v.at("event"), v.at("demands"), r)
}

func checkDemands(v *value, r *report) {
	var last *value
	for i, d := range v.items {
		if i == 0 && d.is("ordered") {
			r.add(d.at("ordered").fault("true", "false for the first demand", "nothing stands above it"))
		}
		if !d.has("within_s") {
			continue
		}
		if last != nil && d.is("ordered") && d.num("within_s") < last.number {
			r.add(d.at("within_s").fault(figureWords(d.num("within_s")), "at least "+figureWords(last.number)+" s",
				"this standard cannot be met: it must follow the demand above"))
		}
		last = d.at("within_s")
	}
}
