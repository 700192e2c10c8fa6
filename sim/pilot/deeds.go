package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// do works on one deed for one look and tells whether it is done. Whatever it
// leaves to the sticks is flown in the same look.
func (x *Person) do(deed *judge.Deed, p *percept.Percept, h *hands.Hands) bool {
	switch deed.Kind {
	case judge.DeedRefuge, judge.DeedAttitude:
		if deed.Kind == judge.DeedRefuge && h.Response == hands.HeightHold {
			x.bracing = true
			x.fly(p, h)
			return true
		}
		return x.toResponse(hands.Attitude, p, h)
	case judge.DeedPositionHold, judge.DeedReselect:
		return x.toResponse(hands.PositionHold, p, h)
	case judge.DeedArrest:
		x.bracing = true
		x.fly(p, h)
		return x.quiet != judge.Never && p.Tick-x.quiet >= restFor || p.OnFloor
	case judge.DeedDescend:
		x.coming = true
		x.fly(p, h)
		return p.VelW.Z < -0.15 && p.Tick-x.since >= sinkFor || p.OnFloor
	case judge.DeedTouchdown:
		x.coming = true
		x.fly(p, h)
		return p.OnFloor
	case judge.DeedReturnSafe:
		if h.CutOff {
			return true
		}
		return returnSafe(&x.exec.Hand, &x.exec.grip, p, h)
	case judge.DeedPlanDone, judge.DeedInspected, judge.DeedFoundAll, judge.DeedVerdictRight,
		judge.DeedPromptsAnswered, judge.DeedCarryDone:
		x.exec.fly(p, h)
		return x.exec.Progress.Done(x.exec.plan)
	case judge.DeedYawStopped, judge.DeedSticksNeutral, judge.DeedCorrectThrottle, judge.DeedEaseThrottle,
		judge.DeedMoveAway, judge.DeedMoveClear:
		return x.steady(deed, p, h)
	}
	return x.act(deed, p, h)
}

// patience is how long a person works at a deed that does not come about before
// going on to the next. A judgement.
const patience = 6000 // ticks

// bounded tells whether a deed is given up when it does not come about. What
// brings the craft down and makes it safe is not.
func bounded(k judge.DeedKind) bool {
	switch k {
	case judge.DeedArrest, judge.DeedDescend, judge.DeedReturnSafe, judge.DeedYawStopped, judge.DeedSticksNeutral,
		judge.DeedCorrectThrottle, judge.DeedEaseThrottle, judge.DeedMoveAway, judge.DeedMoveClear:
		return true
	}
	return false
}

// Times for which a state must last to be seen. As long as the judge asks.
const (
	restFor = 320 // ticks
	sinkFor = 320
)

// act does a deed that is a switch, a call or a step.
func (x *Person) act(deed *judge.Deed, p *percept.Percept, h *hands.Hands) bool {
	hand, g := &x.exec.Hand, &x.exec.grip
	switch deed.Kind {
	case judge.DeedCutOff:
		h.CutOff = true
		g.rest(hand, h)
		return true
	case judge.DeedThrottleLowest:
		if !x.mayStop(p, h) {
			return false
		}
		g.rest(hand, h)
		return h.Throttle == 0
	case judge.DeedHoldLowest:
		if !x.mayStop(p, h) {
			return false
		}
		g.rest(hand, h)
		return x.lasts(h.Throttle == 0, int64(1000*deed.Level), p)
	case judge.DeedDisarm:
		if !x.mayStop(p, h) {
			return false
		}
		return x.disarm(p, h)
	case judge.DeedCall:
		x.fly(p, h)
		h.Call = deed.Call
		return true
	case judge.DeedStep:
		return x.take(deed.Step, p, h)
	}
	x.fly(p, h)
	return true
}

// mayStop tells whether the motors may be stopped by throttle or disarming: not
// in the air, unless the event asks to stop at once or they are cut off. Until
// then the craft is brought down.
func (x *Person) mayStop(p *percept.Percept, h *hands.Hands) bool {
	if p.OnFloor || h.CutOff || !p.Armed || x.drill.Class == judge.ClassA {
		return true
	}
	x.coming = true
	x.fly(p, h)
	return false
}

func (x *Person) disarm(p *percept.Percept, h *hands.Hands) bool {
	yaw := h.Yaw
	x.exec.grip.rest(&x.exec.Hand, h)
	h.Armed = false
	if x.exec.Hand.Brief.ArmBySticks && p.Armed && !h.CutOff {
		h.Yaw = moved(yaw, -1, x.exec.Hand.StickRate)
	}
	return !p.Armed || p.LinkLost || p.Silent && !p.MotorsTurn
}

// take takes a step of a procedure; what is done at the craft waits until it
// stands with motors stopped and disarmed.
func (x *Person) take(step hands.Step, p *percept.Percept, h *hands.Hands) bool {
	atCraft := step == hands.StepBatteryOut || step == hands.StepApproach || step == hands.StepPickUp
	if atCraft && (p.MotorsTurn || p.Armed && !p.CutOff && !p.LinkLost) {
		x.comeDown(p, h)
		return false
	}
	if !atCraft {
		x.fly(p, h)
	} else if p.Tick-x.since < pauseBattery {
		return false
	}
	h.Step = step
	return true
}

// toResponse selects r, with the throttle matched unless this person is one who
// forgets, and tells whether it is selected.
func (x *Person) toResponse(r hands.Response, p *percept.Percept, h *hands.Hands) bool {
	x.bracing = true
	if h.Response == r || h.CutOff || x.lot(drawMatch) < x.profile.Unmatched {
		h.Response = r
		x.fly(p, h)
		return true
	}
	w := x.stance.wish(p)
	x.exec.grip.selectMatched(&x.exec.Hand, r, p, h, &w)
	return h.Response == r
}

// fly keeps the craft in hand for one look: on with what was, to rest, or down.
// While the link is lost nothing on the sticks helps, so they stay.
func (x *Person) fly(p *percept.Percept, h *hands.Hands) {
	hand, g := &x.exec.Hand, &x.exec.grip
	switch {
	case h.CutOff:
		g.rest(hand, h)
	case p.LinkLost:
	case x.down || p.OnFloor && x.coming:
		x.down = true
		g.rest(hand, h)
		h.Throttle = 0
	case x.coming:
		if h.Response == hands.Path {
			h.Response = hands.PositionHold
		}
		x.stance.land(hand, g, p, h)
	case x.bracing && !p.OnFloor:
		x.stance.hold(hand, g, p, h)
	default:
		x.exec.stay(p, h)
	}
}
