package pilot

import (
	"math"

	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// Wrong is a wrong thing to do when something goes wrong.
type Wrong uint8

// The wrong actions. WrongAttitude and WrongCutOff are right in some events and
// wrong as a habit.
const (
	WrongNot            Wrong = iota
	WrongFreeze               // hands held as they are
	WrongCutOff               // motor cut-off, whatever it is
	WrongFight                // full stick against the motion under a position-based response type
	WrongThrottleUp           // more throttle
	WrongReselect             // out of position-hold and back into it
	WrongTransmitterOff       // transmitter switched off
	WrongStir                 // sticks from side to side
	WrongAttitude             // attitude and land, whatever it is
	WrongUnmatched            // attitude with the throttle where it stands
	WrongYaw                  // yaw held over
	WrongStep                 // a step that must not be taken now
	wrongCount
)

var wrongWords = [wrongCount]string{"", "freeze", "cut-off", "fight", "throttle-up", "reselect",
	"transmitter-off", "stir", "attitude", "unmatched", "yaw", "step"}

// String returns the word for w.
func (w Wrong) String() string { return wrongWords[min(w, wrongCount-1)] }

// Sizes of the wrong actions. Judgements.
const (
	fightStick   = 0.9  // share of full travel
	throttleMore = 0.25 // share of travel
	stirStick    = 0.8  // share of full travel
	stirTicks    = 340  // from side to side
	reselectTime = 700  // ticks out of position-hold
	yawStick     = 0.9  // share of full travel
	rareWrong    = 0.5  // weight of a wrong action of the drill that the profile does not name
)

// drawWrong returns the wrong action for a number u in 0 … 1: of those that the
// drill names, or, where it names none that a person does, of the profile's own;
// by the profile's weights. To do nothing is always among them.
func (x *Person) drawWrong(u float64) (Wrong, hands.Step) {
	weights := [wrongCount]float64{}
	step, named := hands.StepNone, false
	for i := range x.drill.CommissionCount {
		deed := &x.drill.Commissions[i].Deed
		w := wrongOf(deed)
		if w == WrongNot {
			continue
		}
		if w == WrongStep {
			step = deed.Step
		}
		named = true
		if weights[w] = x.profile.Weights[w]; weights[w] == 0 {
			weights[w] = rareWrong
		}
	}
	if !named {
		weights = x.profile.Weights
		weights[WrongStep] = 0
	}
	weights[WrongFreeze] = x.profile.Weights[WrongFreeze]
	return pick(&weights, u), step
}

// pick returns the action of the weights for a number u in 0 … 1.
func pick(weights *[wrongCount]float64, u float64) Wrong {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	u *= sum
	for i, w := range weights {
		if u < w {
			return Wrong(i)
		}
		u -= w
	}
	return WrongNot
}

// wrongOf returns the wrong action that shows as deed, WrongNot for none.
func wrongOf(deed *judge.Deed) Wrong {
	switch deed.Kind {
	case judge.DeedCutOff:
		return WrongCutOff
	case judge.DeedReselect, judge.DeedSwitchAbout:
		return WrongReselect
	case judge.DeedThrottleUp, judge.DeedClimb:
		return WrongThrottleUp
	case judge.DeedPositionStick:
		return WrongFight
	case judge.DeedStir:
		return WrongStir
	case judge.DeedThrottleOff:
		return WrongUnmatched
	case judge.DeedYawOn:
		return WrongYaw
	case judge.DeedLeaveCause:
		return WrongAttitude
	case judge.DeedStayPath, judge.DeedStayPositionBased, judge.DeedMotorsRun:
		return WrongFreeze
	case judge.DeedStep:
		if deed.Step == hands.StepTransmitterOff {
			return WrongTransmitterOff
		}
		return WrongStep
	}
	return WrongNot
}

// err does the wrong thing for one look; since is the tick at which it began and
// began the hands of that moment.
func (x *Person) err(p *percept.Percept, h *hands.Hands) {
	hand, g := &x.exec.Hand, &x.exec.grip
	waited := p.Tick - x.acts
	switch x.wrong {
	case WrongCutOff:
		h.CutOff = true
		x.exec.secure.all(hand, g, p, h, nil)
	case WrongFight:
		vx, vy := toHeading(p.Yaw, p.VelW)
		n := max(math.Sqrt(float64(vx*vx)+float64(vy*vy)), 1e-6)
		g.sticks(hand, h, -fightStick*vx/n, -fightStick*vy/n, 0)
	case WrongThrottleUp:
		g.throttle(hand, h, hands.Share(x.began.Throttle)+throttleMore)
	case WrongReselect:
		x.reselect(p, h, waited)
	case WrongTransmitterOff:
		if waited == 0 {
			h.Step = hands.StepTransmitterOff
		}
	case WrongStir:
		side := stirStick
		if waited/stirTicks%2 == 1 {
			side = -stirStick
		}
		h.Roll, h.Pitch = moved(h.Roll, side, hand.StickRate), moved(h.Pitch, -side, hand.StickRate)
	case WrongAttitude:
		x.alwaysAttitude(p, h)
	case WrongUnmatched:
		h.Response = hands.Attitude
		x.stance.hold(hand, g, p, h)
	case WrongYaw:
		h.Yaw = moved(h.Yaw, math.Copysign(yawStick, -p.YawRate), hand.StickRate)
	case WrongStep:
		if waited == 0 {
			h.Step = x.wrongStep
		}
	}
}

// reselect goes to attitude and back into position-hold.
func (x *Person) reselect(p *percept.Percept, h *hands.Hands, waited int64) {
	if waited < reselectTime {
		h.Response = hands.Attitude
		x.stance.hold(&x.exec.Hand, &x.exec.grip, p, h)
		return
	}
	h.Response = hands.PositionHold
	x.exec.grip.neutral(&x.exec.Hand, h)
}

// attitudeDown selects attitude, lands and secures.
func (x *Person) attitudeDown(p *percept.Percept, h *hands.Hands) {
	if h.Response != hands.Attitude && !p.OnFloor {
		x.toResponse(hands.Attitude, p, h)
		return
	}
	x.comeDown(p, h)
}

// alwaysAttitude is the habit of somebody who knows one answer: attitude, land,
// throttle lowest, disarmed. It never cuts off and says nothing.
func (x *Person) alwaysAttitude(p *percept.Percept, h *hands.Hands) {
	if h.Response != hands.Attitude && !p.OnFloor {
		x.toResponse(hands.Attitude, p, h)
		return
	}
	if !x.down && !p.OnFloor && p.Armed {
		x.coming = true
		x.fly(p, h)
		return
	}
	x.down, h.Response = true, hands.Attitude
	x.exec.grip.rest(&x.exec.Hand, h)
	h.Throttle = 0
	if p.OnFloor {
		x.disarm(p, h)
	}
}
