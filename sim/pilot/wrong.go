package pilot

import (
	"math"

	"lapwing/sim/hands"
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
	wrongCount
)

var wrongWords = [wrongCount]string{"", "freeze", "cut-off", "fight", "throttle-up", "reselect",
	"transmitter-off", "stir", "attitude"}

// String returns the word for w.
func (w Wrong) String() string { return wrongWords[min(w, wrongCount-1)] }

// Sizes of the wrong actions. Judgements.
const (
	fightStick   = 0.9  // share of full travel
	throttleMore = 0.25 // share of travel
	stirStick    = 0.8  // share of full travel
	stirTicks    = 340  // from side to side
	reselectTime = 700  // ticks out of position-hold
)

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

// alwaysAttitude selects attitude, lands and secures.
func (x *Person) alwaysAttitude(p *percept.Percept, h *hands.Hands) {
	if h.Response != hands.Attitude && !p.OnFloor {
		x.toResponse(hands.Attitude, p, h)
		return
	}
	x.comeDown(p, h)
}
