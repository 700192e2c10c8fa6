package pilot

import "lapwing/sim/percept"

// seesCue tells whether a sign of the drill has passed this person's threshold.
func (x *Person) seesCue(p *percept.Percept) bool {
	seen := false
	for i := range x.drill.CueCount {
		seen = x.sees(x.drill.Cues[i], &x.watch[i], p) || seen
	}
	return seen
}

// sees tells whether rule has passed this person's threshold.
func (x *Person) sees(rule percept.Rule, w *percept.Watch, p *percept.Percept) bool {
	if !x.means(rule.Sign, p) {
		w.Since = 0
		return false
	}
	rule.Above = x.level(&rule, p)
	rule.For += x.profile.Notice
	return rule.Holds(w, p)
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
		percept.SignMotorsOnFloor, percept.SignNotHolding, percept.SignAirborne, percept.SignOnFloor,
		percept.SignStationSilent, percept.SignMotorsSilent, percept.SignSmoke, percept.SignOtherMoves,
		percept.SignPictureStill, percept.SignCageAlert, percept.SignNoseIn, percept.SignPrompt, percept.SignHeld,
		percept.SignItemBad:
		return true
	}
	return false
}

// means tells whether a sign says anything at this point of the plan: motors
// that turn on the floor belong to take-off, a doubtful camera before the flight
// is for the inspection, and a craft in a hand leans and moves as the hand does.
func (x *Person) means(s percept.Sign, p *percept.Percept) bool {
	switch s {
	case percept.SignPersonNear:
		return x.profile.Habit != WrongAttitude // who looks at the craft only
	case percept.SignMotorsOnFloor:
		return x.flown || !x.mayTurn()
	case percept.SignOnFloor, percept.SignLow, percept.SignCamera, percept.SignStationSilent:
		return x.flown
	case percept.SignAway, percept.SignSlide, percept.SignYawSlide, percept.SignSwing, percept.SignLeap:
		return x.flown && !p.OnFloor && !p.Held
	case percept.SignTilt, percept.SignAccel, percept.SignSpeed, percept.SignPinned, percept.SignContact:
		return !p.Held
	case percept.SignClimb:
		return !p.Held && !x.doing(LegLift)
	case percept.SignSink:
		return !p.Held && !x.doing(LegLand)
	case percept.SignMotorsSilent:
		return x.flown && !p.CutOff
	case percept.SignBattery:
		return x.flown || p.Armed
	case percept.SignOddRotor:
		return p.Armed && !p.Held && !(x.flown && p.OnFloor)
	}
	return true
}

// mayTurn tells whether the plan has come to where motors may turn.
func (x *Person) mayTurn() bool {
	plan, may := x.exec.plan, false
	for i := range min(int(x.exec.Progress.Leg)+1, plan.Count) {
		switch plan.Legs[i].Do {
		case LegArm, LegTilt, LegPrompts:
			may = true
		case LegCutOff, LegRelease, LegDisarm:
			may = false
		}
	}
	return may
}

// doing tells whether the plan is at a leg of kind k.
func (x *Person) doing(k LegKind) bool {
	plan, leg := x.exec.plan, x.exec.Progress.Leg
	return leg < int64(plan.Count) && plan.Legs[leg].Do == k
}
