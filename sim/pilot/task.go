package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Executor works through a plan, leg after leg, with a hand. It recognises
// nothing that goes wrong and answers nothing; what an inspection or a check
// shows it finds with its care.
type Executor struct {
	Hand     Hand
	Care     Care
	Progress Progress

	plan    *Plan // read-only
	trusts  bool  // takes the response type selected for the one in force
	grip    grip
	leg     int64       // leg that was entered last
	placeW  kernel.Vec3 // m, where to hover
	has     bool        // placeW is set
	work    working     // how far the leg is
	refuses bool        // something was found that stands against flying
	ended   bool        // no-go was called: the rest of the plan was not done
	stance  stance
	secure  securing
}

// NewExecutor returns an executor at the beginning of plan, who finds nothing.
func NewExecutor(plan *Plan, hand Hand, seed uint64) Executor {
	return Executor{Hand: hand, Care: careless(), plan: plan, leg: -1, grip: grip{seed: seed}}
}

// Streams and what is drawn by lot in the work before a flight.
var (
	careChance = kernel.NewStream("pilot-care")
	promptTime = kernel.NewStream("pilot-prompt")
)

const (
	lotOverlook int64 = iota // for each place of the inspection list
	lotSlip                  // for each prompt
	lotRefusal               // once
)

func (e *Executor) lot(what, item int64) float64 {
	return kernel.Uniform(e.grip.seed, careChance, what, uint64(item))
}

// Pauses of a person who works without haste, in ticks. Judgements.
const (
	pauseCall   = 400
	pauseStep   = 1000
	pauseSwitch = 300
	pauseListen = 1000 // idling before the lift
	pauseSettle = 600  // before a response type is engaged
	pauseRetry  = 2500 // before arming is tried again
	believes    = 800  // after this long a refused response type is noticed on the station
)

// Act implements Pilot.
func (e *Executor) Act(p *percept.Percept, h *hands.Hands) {
	e.look(p, h)
	e.fly(p, h)
	e.note(p, h)
}

// look takes in a percept; calls and steps last one look.
func (e *Executor) look(p *percept.Percept, h *hands.Hands) {
	h.Call, h.Step, h.Item = hands.CallNone, hands.StepNone, 0
	e.grip.look(&e.Hand, p)
}

// note observes how far the plan has come.
func (e *Executor) note(p *percept.Percept, h *hands.Hands) { e.Progress.Advance(e.plan, p, h) }

// fly works on the present leg for one look.
func (e *Executor) fly(p *percept.Percept, h *hands.Hands) {
	if e.Progress.Done(e.plan) {
		e.finish(p, h)
		return
	}
	leg := &e.plan.Legs[e.Progress.Leg]
	if e.leg != e.Progress.Leg || !e.has {
		e.enter(leg, p, h)
	}
	waited := p.Tick - e.Progress.Since
	switch leg.Do {
	case LegArm:
		e.arm(p, h, waited)
	case LegLift:
		e.lift(leg, p, h, waited)
	case LegEngage:
		e.engage(leg.Response, p, h, waited)
	case LegLand:
		e.land(p, h)
	case LegDisarm:
		e.secure.disarm(&e.Hand, &e.grip, p, h)
	case LegTurn:
		e.turn(leg, p, h)
	case LegMove:
		e.move(leg, p, h)
	case LegCutOff:
		e.cutOff(h, waited)
	case LegRelease:
		e.release(leg, h, waited)
	case LegIdle:
		e.grip.rest(&e.Hand, h)
	case LegTakeOver:
		e.takeOver(p, h)
	default:
		e.prepare(leg, p, h, waited)
	}
}

// prepare works on a leg that does not fly the craft.
func (e *Executor) prepare(leg *Leg, p *percept.Percept, h *hands.Hands, waited int64) {
	switch leg.Do {
	case LegCall:
		e.stay(p, h)
		if waited >= pauseCall {
			h.Call = leg.Call
		}
	case LegStep:
		e.stay(p, h)
		if waited >= pauseStep {
			h.Step = leg.Step
		}
	case LegInspect:
		e.inspect(p, h)
	case LegDecide:
		e.decide(p, h, waited)
	case LegCarry:
		e.carry(p, h)
	case LegTilt:
		e.tilt(p, h)
	case LegCover:
		e.cover(p, h)
	case LegNameRefusal:
		e.nameRefusal(p, h, waited)
	case LegPrompts:
		e.prompts(p, h)
	default:
		e.stay(p, h)
	}
}

// enter prepares a leg: where to hover during it. An executor that begins in
// the middle of a plan takes the height from the last lift.
func (e *Executor) enter(leg *Leg, p *percept.Percept, h *hands.Hands) {
	direct := !h.Response.PositionBased()
	if !e.has || leg.Do == LegLift || leg.Do == LegEngage && !direct {
		e.placeW = p.PosW
	}
	if !e.has && direct && !p.OnFloor && leg.Do != LegLand {
		e.placeW.Z = e.plan.heightAt(e.Progress.Leg, p.PosW.Z)
	}
	if leg.Do == LegLift {
		e.placeW.Z = leg.Height
	}
	e.leg, e.has = e.Progress.Leg, true
	e.secure, e.stance = securing{}, stance{}
	e.work = working{since: p.Tick}
}

// heightAt returns the height of the last lift up to leg, or otherwise.
func (plan *Plan) heightAt(leg int64, otherwise float64) float64 {
	for i := min(leg, int64(plan.Count)-1); i >= 0; i-- {
		if plan.Legs[i].Do == LegLift {
			return plan.Legs[i].Height
		}
	}
	return otherwise
}

// released tells whether leg comes right after a release.
func (plan *Plan) released(leg int64) bool {
	return leg > 0 && leg < int64(plan.Count) && plan.Legs[leg-1].Do == LegRelease
}

// landed tells whether leg comes after a landing, with no lift since.
func (plan *Plan) landed(leg int64) bool {
	for i := min(leg, int64(plan.Count)) - 1; i >= 0; i-- {
		switch plan.Legs[i].Do {
		case LegLand:
			return true
		case LegLift:
			return false
		}
	}
	return false
}

// inForce returns the response type that the pilot believes is in force: the
// one selected, until the station has shown another one for a while.
func (e *Executor) inForce(p *percept.Percept, h *hands.Hands) hands.Response {
	if e.trusts || p.Actual == h.Response || p.Commanded != h.Response || p.LinkLost || p.Silent {
		return h.Response
	}
	if p.Tick-e.Progress.Since < believes {
		return h.Response
	}
	return p.Actual
}

// stay keeps everything as it is: on the floor, and once landed, hands rest; in
// the air the place is held. Hands stay where they are where the cut-off was just
// released as a trap, and at a craft that lies on its back.
func (e *Executor) stay(p *percept.Percept, h *hands.Hands) {
	r := e.inForce(p, h)
	switch {
	case e.plan.released(e.Progress.Leg):
	case p.OnFloor || !p.Armed && !p.LinkLost || e.plan.landed(e.Progress.Leg):
		e.grip.rest(&e.Hand, h)
	case p.Tilt > math.Pi/2 && p.VelW.Norm() < quietSpeed:
	case r.PositionBased():
		e.grip.neutral(&e.Hand, h)
	default:
		e.grip.fly(&e.Hand, p, h, r, &wish{placeW: e.placeW, hold: true})
	}
}

// arm goes through throttle lowest, attitude, cut-off released, armed.
func (e *Executor) arm(p *percept.Percept, h *hands.Hands, waited int64) {
	yaw := h.Yaw
	e.grip.rest(&e.Hand, h)
	h.Response = hands.Attitude
	if waited < pauseSwitch || h.Throttle > 0 {
		return
	}
	h.CutOff = false
	turn := (waited - pauseSwitch) % pauseRetry
	ready := turn >= pauseSwitch && !p.Armed
	if e.Hand.Brief.ArmBySticks {
		if ready {
			h.Yaw = moved(yaw, 1, e.Hand.StickRate)
		}
		return
	}
	h.Armed = p.Armed || ready
}

// nameRefusal tries to arm and says which check refused, as the station shows it.
// Who slips says the first that comes to mind, the throttle.
func (e *Executor) nameRefusal(p *percept.Percept, h *hands.Hands, waited int64) {
	e.arm(p, h, waited)
	if p.Armed || p.Refused == hands.CallNone || waited < pauseSwitch+pauseDecide {
		return
	}
	h.Call = p.Refused
	if e.lot(lotRefusal, 0) < e.Care.Slip {
		h.Call = hands.CallRefusedThrottle
	}
}

// lift takes off in attitude and hovers at the height of the leg; or it trusts a
// response type that holds height or place.
func (e *Executor) lift(leg *Leg, p *percept.Percept, h *hands.Hands, waited int64) {
	if waited < pauseListen {
		e.grip.rest(&e.Hand, h)
		return
	}
	if leg.Response.HoldsHeight() {
		e.liftHolding(leg, p, h)
		return
	}
	e.grip.fly(&e.Hand, p, h, hands.Attitude, &wish{placeW: e.placeW, hold: true, lean: 0.26})
	if p.OnFloor {
		e.grip.centre(&e.Hand, h)
	}
}

// engage selects r once the throttle stands where r wants it.
func (e *Executor) engage(r hands.Response, p *percept.Percept, h *hands.Hands, waited int64) {
	if h.Response == r || waited < pauseSettle {
		e.stay(p, h)
		return
	}
	e.grip.selectMatched(&e.Hand, r, p, h, &wish{placeW: e.placeW, hold: true})
}

// selectMatched moves the throttle to where r wants it, keeps the craft where it
// is meanwhile, and then selects r. Height-holding types want the middle, direct
// thrust wants the hover mark.
func (g *grip) selectMatched(hand *Hand, r hands.Response, p *percept.Percept, h *hands.Hands, w *wish) {
	if h.Response == r {
		return
	}
	at, loose := p.HoverStick, 0.02
	if r.HoldsHeight() {
		at, loose = 0.5, max(0.02, 0.4*hand.Brief.Feel.ThrottleBand)
	}
	throttle := h.Throttle
	if h.Response.PositionBased() {
		g.centre(hand, h)
	} else {
		g.fly(hand, p, h, h.Response, w)
	}
	if h.Response.HoldsHeight() == r.HoldsHeight() {
		h.Response = r
		return
	}
	h.Throttle = throttle
	g.throttle(hand, h, at)
	if near(h.Throttle, at, loose) {
		h.Response = r
		g.centre(hand, h)
	}
}

// land comes down at the place under the present response type; a path is left
// for position-hold first.
func (e *Executor) land(p *percept.Percept, h *hands.Hands) {
	if h.Response == hands.Path {
		h.Response = hands.PositionHold
	}
	e.grip.land(&e.Hand, p, h, e.inForce(p, h), e.placeW, true)
}

// land sinks under response type r and brings the throttle to its lowest at the
// first touch.
func (g *grip) land(hand *Hand, p *percept.Percept, h *hands.Hands, r hands.Response, placeW kernel.Vec3, hold bool) {
	if p.OnFloor {
		g.centre(hand, h)
		h.Throttle = 0
		return
	}
	if r.PositionBased() {
		g.centre(hand, h)
		g.throttle(hand, h, hand.Brief.Feel.climbStick(-hand.Sink))
		return
	}
	g.fly(hand, p, h, r, &wish{placeW: placeW, hold: hold, sink: hand.Sink})
}

// finish secures the craft when the plan is over: down if it still flies, then
// disarmed, cut-off, "motors safe", battery out, as far as the plan did not say
// it already.
func (e *Executor) finish(p *percept.Percept, h *hands.Hands) {
	if p.Armed && !p.OnFloor && !p.CutOff && e.secure.Since == 0 {
		e.land(p, h)
		return
	}
	plan := e.plan
	if e.ended {
		plan = nil
	}
	e.secure.all(&e.Hand, &e.grip, p, h, plan)
}
