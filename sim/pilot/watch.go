package pilot

import "lapwing/sim/percept"

// harmless are signs that alarm a person who expects the worst, in runs where no
// event belongs to them: a wobble, a doubtful camera, an odd sound. Judgements.
var harmless = [...]percept.Rule{
	{Sign: percept.SignCamera, Above: 0.5, For: 500},
	{Sign: percept.SignSlide, Above: 0.25, For: 300},
	{Sign: percept.SignOddRotor, Above: 0.15, For: 200},
	{Sign: percept.SignLinkLost, Above: 0.5, For: 200},
}

// seesCue tells whether a sign of the drill has passed this person's threshold.
func (x *Person) seesCue(p *percept.Percept) bool {
	for i := range x.drill.CueCount {
		rule := x.drill.Cues[i]
		rule.Above = x.level(&rule, p)
		rule.For += x.profile.Notice
		if !x.means(rule.Sign, p) {
			x.watch[i].Since = 0
			continue
		}
		if rule.Holds(&x.watch[i], p) {
			return true
		}
	}
	return false
}

// seesHarmless tells whether this person takes a harmless sign for an event.
func (x *Person) seesHarmless(p *percept.Percept) bool {
	if x.drill.CueCount > 0 || !x.flown || x.lot(drawAlarm) >= x.profile.FalseAlarm {
		return false
	}
	for i := range harmless {
		if harmless[i].Holds(&x.watch[len(x.watch)-len(harmless)+i], p) {
			x.alarm = true
			return true
		}
	}
	return false
}

// level returns the level at which this person takes a sign for more than
// chance. Who hovers by eye knows how far off its own hand goes.
func (x *Person) level(rule *percept.Rule, p *percept.Percept) float64 {
	if flag(rule.Sign) {
		return rule.Above
	}
	level := rule.Above * x.profile.Threshold
	if rule.Sign == percept.SignAway && !p.Actual.PositionBased() {
		level = max(level, x.profile.Wobble)
	}
	return level
}

// flag tells whether a sign is there or not there; its level is no size.
func flag(s percept.Sign) bool {
	switch s {
	case percept.SignCamera, percept.SignLinkLost, percept.SignBattery, percept.SignContact,
		percept.SignMotorsOnFloor, percept.SignNotHolding, percept.SignAirborne, percept.SignOnFloor:
		return true
	}
	return false
}

// means tells whether a sign says anything at this point of the plan: motors
// that turn on the floor belong to take-off, and a doubtful camera before the
// flight is for the inspection.
func (x *Person) means(s percept.Sign, p *percept.Percept) bool {
	switch s {
	case percept.SignMotorsOnFloor:
		return x.flown || !x.mayTurn()
	case percept.SignOnFloor, percept.SignLow, percept.SignCamera:
		return x.flown
	case percept.SignAway, percept.SignSlide:
		return x.flown && !p.OnFloor
	case percept.SignSink:
		return !x.landing()
	case percept.SignBattery:
		return x.flown || p.Armed
	case percept.SignOddRotor:
		return p.Armed && !(x.flown && p.OnFloor)
	}
	return true
}

// mayTurn tells whether the plan has come to where motors may turn.
func (x *Person) mayTurn() bool {
	plan := x.exec.plan
	for i := range min(int(x.exec.Progress.Leg)+1, plan.Count) {
		if plan.Legs[i].Do == LegArm {
			return true
		}
	}
	return false
}

// landing tells whether the plan is at a landing.
func (x *Person) landing() bool {
	plan, leg := x.exec.plan, x.exec.Progress.Leg
	return leg < int64(plan.Count) && plan.Legs[leg].Do == LegLand
}
