package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// reflex is what a person does at a sign when no drill says better.
type reflex uint8

const (
	reflexLand    reflex = iota // attitude, to rest, land, secure
	reflexDescend               // land under the present response type, secure
	reflexStop                  // to rest, "person", then land
	reflexStopAll               // "stop, all craft", cut-off, secure
	reflexClear                 // "clear the room", down where it is, secure
	reflexCutOff                // cut-off, secure
	reflexTell                  // "link lost", sticks set for its return
)

// alarm is a sign that alarms whoever sees it.
type alarm struct {
	rule percept.Rule
	does reflex
	mild bool // it may well be harmless: believed with the probability of a false alarm
}

// alarms are the signs that a person watches besides those of the drill, which
// nobody has told them. Levels are judgements: above what a flight by the plan
// shows, also in a novice's hand. Mild signs are a wobble, a doubtful camera, an
// odd sound, a flicker of the link, a station that says nothing.
var alarms = [...]alarm{
	{percept.Rule{Sign: percept.SignSmoke, Above: 0.5, For: 100}, reflexClear, false},
	{percept.Rule{Sign: percept.SignPersonNear, Above: 1 / 1.8, For: 100}, reflexStop, false},
	{percept.Rule{Sign: percept.SignOtherMoves, Above: 0.5, For: 200}, reflexStopAll, false},
	{percept.Rule{Sign: percept.SignTipping, Above: 0.35, For: 100}, reflexCutOff, false},
	{percept.Rule{Sign: percept.SignPinned, Above: 0.8, For: 300}, reflexCutOff, false},
	{percept.Rule{Sign: percept.SignMotorsSilent, Above: 0.5, For: 60}, reflexCutOff, false},
	{percept.Rule{Sign: percept.SignMotorsOnFloor, Above: 0.5, For: 2500}, reflexCutOff, false},
	{percept.Rule{Sign: percept.SignCutOffIgnored, Above: 0.7}, reflexCutOff, false},
	{percept.Rule{Sign: percept.SignContact, Above: 0.5}, reflexLand, false},
	{percept.Rule{Sign: percept.SignTilt, Above: 0.7, For: 100}, reflexLand, false},
	{percept.Rule{Sign: percept.SignSwing, Above: 0.3, For: 300}, reflexLand, false},
	{percept.Rule{Sign: percept.SignYawSlide, Above: 0.35, For: 600}, reflexLand, false},
	{percept.Rule{Sign: percept.SignSlide, Above: 0.5, For: 800}, reflexLand, false},
	{percept.Rule{Sign: percept.SignAway, Above: 1, For: 800}, reflexLand, false},
	{percept.Rule{Sign: percept.SignSink, Above: 1.3, For: 300}, reflexLand, false},
	{percept.Rule{Sign: percept.SignClimb, Above: 1.5, For: 300}, reflexLand, false},
	{percept.Rule{Sign: percept.SignLeap, Above: 1.2}, reflexLand, false},
	{percept.Rule{Sign: percept.SignOverPath, Above: 2, For: 1000}, reflexLand, false},
	{percept.Rule{Sign: percept.SignNotHolding, Above: 0.5, For: 2000}, reflexLand, false},
	{percept.Rule{Sign: percept.SignCageAlert, Above: 0.5, For: 300}, reflexLand, false},
	{percept.Rule{Sign: percept.SignPictureStill, Above: 0.5, For: 500}, reflexDescend, false},
	{percept.Rule{Sign: percept.SignBattery, Above: 0.5, For: 500}, reflexDescend, false},
	{percept.Rule{Sign: percept.SignLinkLost, Above: 0.5, For: 1000}, reflexTell, false},
	{percept.Rule{Sign: percept.SignDeadSticks, Above: 1}, reflexTell, false},
	{percept.Rule{Sign: percept.SignFliesOn, Above: 0.5}, reflexTell, false},

	{percept.Rule{Sign: percept.SignCamera, Above: 0.5, For: 500}, reflexLand, true},
	{percept.Rule{Sign: percept.SignSlide, Above: 0.25, For: 300}, reflexLand, true},
	{percept.Rule{Sign: percept.SignSwing, Above: 0.08, For: 300}, reflexLand, true},
	{percept.Rule{Sign: percept.SignOddRotor, Above: 0.15, For: 200}, reflexLand, true},
	{percept.Rule{Sign: percept.SignLinkLost, Above: 0.5, For: 200}, reflexLand, true},
	{percept.Rule{Sign: percept.SignStationSilent, Above: 0.5, For: 500}, reflexLand, true},
}

// seesAlarm returns 1 + the row of the sign that this person takes for an event,
// 0 for none.
func (x *Person) seesAlarm(p *percept.Percept) int {
	row := 0
	for i := range alarms {
		a := &alarms[i]
		if x.expected(a, p) {
			x.watch[judge.MaxCues+i].Since = 0
			continue
		}
		holds := x.sees(a.rule, &x.watch[judge.MaxCues+i], p)
		if holds && row == 0 && (!a.mild || x.flown && x.lot(drawAlarm+uint64(i)) < x.profile.FalseAlarm) {
			row = 1 + i
		}
	}
	return row
}

// expected tells whether a sign is no surprise here: a craft that is stopped or in
// a hand, a link before the flight, switches on the floor, one's own wobble.
func (x *Person) expected(a *alarm, p *percept.Percept) bool {
	switch a.rule.Sign {
	case percept.SignSmoke, percept.SignPersonNear, percept.SignOtherMoves, percept.SignCutOffIgnored:
		return false
	case percept.SignLinkLost, percept.SignDeadSticks, percept.SignNotHolding, percept.SignFliesOn:
		return !x.flown || p.CutOff && !p.LinkLost
	case percept.SignBattery:
		return !p.MotorsTurn // an empty pack says so at rest
	case percept.SignSwing:
		return a.mild && !p.Actual.PositionBased()
	}
	return p.CutOff && !p.MotorsTurn
}

// react does what the sign that alarmed asks for, for one look.
func (x *Person) react(p *percept.Percept, h *hands.Hands) {
	switch alarms[x.alarm-1].does {
	case reflexLand:
		x.attitudeDown(p, h)
	case reflexStop:
		x.stopForPerson(p, h)
	case reflexClear:
		x.say(hands.CallClearRoom, h)
		x.comeDown(p, h)
	case reflexStopAll, reflexCutOff:
		if alarms[x.alarm-1].does == reflexStopAll {
			x.say(hands.CallStopClass, h)
		}
		h.CutOff = true
		x.exec.secure.all(&x.exec.Hand, &x.exec.grip, p, h, nil)
	case reflexTell:
		x.tell(p, h)
	default:
		x.comeDown(p, h)
	}
}

// say says the call that belongs to an alarm, once.
func (x *Person) say(call hands.Call, h *hands.Hands) {
	if !x.said {
		h.Call, x.said = call, true
	}
}

// stopForPerson brings the craft to rest, says so, and lands it there.
func (x *Person) stopForPerson(p *percept.Percept, h *hands.Hands) {
	x.say(hands.CallPerson, h)
	still := x.quiet != judge.Never && p.Tick-x.quiet >= restFor
	if still || x.coming || p.OnFloor {
		x.comeDown(p, h)
		return
	}
	if h.Response == hands.Path {
		h.Response = hands.PositionHold
	}
	x.bracing = true
	x.fly(p, h)
}

// tell says that the link is lost and sets the sticks for its return; after it
// the craft is landed.
func (x *Person) tell(p *percept.Percept, h *hands.Hands) {
	x.say(hands.CallLinkLost, h)
	if p.LinkLost && !h.CutOff {
		returnSafe(&x.exec.Hand, &x.exec.grip, p, h)
		return
	}
	x.comeDown(p, h)
}
