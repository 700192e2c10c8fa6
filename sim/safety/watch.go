package safety

import (
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/link"
)

// Input is what the watchman looks at in one tick.
type Input struct {
	Tick          int64
	Heard         *link.Heard
	Belief        *estimate.Belief
	CellVolts     float64 // V, measured
	SpecificForce float64 // m/s², magnitude of what the accelerometer feels
	CautionVolts  float64 // V for each cell
	CriticalVolts float64 // V for each cell, below CautionVolts
	PathStored    bool
	PathDone      bool    // the path's end has been reached
	DutyMean      float64 // 0 … 1, commanded in the last tick, mean of all rotors
	Powered       bool    // battery in and the electronics running

	// What goes wrong with the watchman on purpose.
	ActionFails   bool // a lost link is not noticed: the last frame is held for ever
	HoldDenied    bool // response types that hold a place are not given
	LandingMissed bool // standing is not noticed
	ArmsItself    bool // it arms without being asked
	CutOffDead    bool // motor cut-off has no effect
}

// State is what of the watchman changes. A plain value.
type State struct {
	Status Status

	Phase    Phase
	Deed     Deed
	DeedLink bool           // the link was lost during the deed
	Since    int64          // tick at which the deed began
	Selector hands.Response // where the selector stood then
	Asked    hands.Response // where the selector stood at the last tick

	Caution, Critical alarm

	FreshFor  int64 // ticks for which frames have been fresh
	ArmFor    int64 // ticks for which the arming corner is held
	DisarmFor int64 // ticks for which the disarming corner is held
	LowFor    int64 // ticks of throttle lowest while a place is held
	StoodFor  int64 // ticks for which it may be standing
}

// Start returns the watchman at power-up: barred until the arming switch is
// heard off, standing on the floor, the link steady until now.
func Start(p *Params) State {
	return State{
		Status:   Status{CutOff: true, Response: hands.Attitude, Landed: true},
		Selector: hands.Attitude,
		Asked:    hands.Attitude,
		FreshFor: p.SteadyTicks,
		StoodFor: p.LandedTicks,
	}
}

// StartArmed returns the watchman of a craft that was flying and has come down
// without being disarmed.
func StartArmed(p *Params) State {
	s := Start(p)
	s.Phase, s.StoodFor = Armed, 0
	s.Status = Status{Armed: true, MotorsOn: true, Response: hands.Attitude}
	return s
}

// Watch updates s.Status. A cut-off heard in this tick has the motors off in
// this tick.
func Watch(p *Params, s *State, in *Input) {
	fresh := in.Heard.Any && in.Heard.Age <= p.FreshTicks
	lost := in.Heard.Age > p.FreshTicks+p.HoldTicks && !in.ActionFails
	if in.Heard.Any {
		s.FreshFor = count(s.FreshFor, fresh, p.SteadyTicks)
	}
	s.watchGround(p, in)
	s.watchCorners(p, in, fresh)
	due := s.actionDue(p, in, lost)

	f := s.facts(p, in, fresh, due)
	s.arm(p, in, f, fresh)
	s.doByItself(p, in, f, lost)
	s.respond(p, in)
	s.report(p, in, lost, fresh)
}

// facts gathers what the motors' table asks for, and of the other what does not
// depend on it.
func (s *State) facts(p *Params, in *Input, fresh bool, due Action) Facts {
	h := &in.Heard.Hands
	asksArm, asksOff, rests := h.Armed, !h.Armed, !h.Armed
	if p.ArmBy == ByStickCorners {
		asksArm, asksOff, rests = s.ArmFor >= p.StickTicks, s.DisarmFor >= p.StickTicks, s.ArmFor == 0
	}
	settled := s.Deed == Descending && s.DeedLink && s.StoodFor >= p.LandedTicks+p.SettledTicks
	return fact(h.CutOff, CutOff) | fact(p.CutOffLatches, Latches) |
		fact(asksArm, AsksArm) | fact(asksOff && in.Heard.Any, AsksOff) |
		fact(fresh && rests, Rests) | fact(h.Throttle == 0, Lowest) |
		fact(due == ActionMotorStop || settled, Stops) | fact(in.Powered, Powered) |
		fact(due == ActionHoldThenLand, WantsHold) | fact(due == ActionControlledLanding, WantsLand) |
		fact(canHold(in.Belief), CanHold) | fact(in.Tick-s.Since >= p.WaitTicks, Over) |
		fact(fresh && h.Response != s.Selector, Taken) |
		fact(in.ArmsItself, Unbidden) | fact(in.CutOffDead, CutOffFails)
}

func fact(is bool, f Facts) Facts {
	if is {
		return f
	}
	return 0
}

func canHold(b *estimate.Belief) bool { return b.HeightOK && b.Health != estimate.Disagrees }

// arm takes one step of the motors' machine; the arming checks are asked only
// when they matter.
func (s *State) arm(p *Params, in *Input, f Facts, fresh bool) {
	if s.Phase == Disarmed && f&AsksArm != 0 {
		s.Status.Refused = refusal(p, in, fresh && s.FreshFor >= p.SteadyTicks)
		f |= fact(s.Status.Refused == RefusedNot, Passes)
	}
	s.Phase = NextPhase(s.Phase, f)
}

// refusal asks the arming checks in order and returns the first that refuses.
func refusal(p *Params, in *Input, steady bool) Refusal {
	h := &in.Heard.Hands
	switch {
	case h.CutOff:
		return RefusedCutOff
	case h.Throttle != 0:
		return RefusedThrottle
	case h.Response > hands.Attitude:
		return RefusedResponse
	case in.Belief.Health == estimate.Disagrees:
		return RefusedEstimate
	case !(in.CellVolts >= in.CautionVolts):
		return RefusedBattery
	case !(in.Belief.QWB.Tilt() <= p.TiltLimit):
		return RefusedTilt
	case !steady:
		return RefusedLink
	}
	return RefusedNot
}

func (s *State) flies() bool { return s.Phase == Armed || s.Phase == Masked }

// doByItself takes one step of the machine of what the craft does by itself.
func (s *State) doByItself(p *Params, in *Input, f Facts, lost bool) {
	was := s.Deed
	s.Deed = NextDeed(was, f|fact(s.flies(), Flies))
	if was == Obeying && s.Deed != Obeying {
		s.Since, s.DeedLink = in.Tick, false
		s.Selector = in.Heard.Hands.Response
		s.Asked = s.Selector
	}
	s.DeedLink = s.Deed != Obeying && (s.DeedLink || lost)
}

// report fills what of the status is not decided elsewhere. While a deed goes on
// for a lost link the link counts as lost, so that nobody heeds the sticks.
func (s *State) report(p *Params, in *Input, lost, fresh bool) {
	st := &s.Status
	st.MotorsOn, st.Armed = s.Phase == Armed, s.flies()
	st.CutOff = in.Heard.Hands.CutOff || s.Phase == Latched
	st.LinkAge = in.Heard.Age
	switch {
	case lost || s.DeedLink:
		st.Link = LinkLost
	case fresh:
		st.Link = LinkGood
	default:
		st.Link = LinkStale
	}
	st.Battery = BatteryGood
	if s.Critical.On {
		st.Battery = BatteryCritical
	} else if s.Caution.On {
		st.Battery = BatteryCaution
	}
	st.Landed = s.StoodFor >= p.LandedTicks
	st.Landing = s.flies() && (s.Deed == Descending || s.LowFor >= p.LandTicks)
}
