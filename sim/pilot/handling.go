package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// How a craft is turned and moved. Judgements.
const (
	turnGain  = 1.5  // 1/s, slows the turn towards its end
	turnLeast = 0.12 // rad/s, the slowest turn towards the angle
	liftClimb = 0.5  // m/s, of a lift in a response type that holds height
	crawl     = 300  // ticks for which the throttle stays raised before a cut-off is released
)

// turn turns by the leg's angle, in place or, with a radius, while flying ahead
// so that the way is an arc.
func (e *Executor) turn(leg *Leg, p *percept.Percept, h *hands.Hands) {
	yaw, pitch := h.Yaw, h.Pitch
	e.stay(p, h)
	left := math.Copysign(leg.Angle, leg.Angle) - e.Progress.Turned
	rate := 0.0
	if math.Abs(left) > turnWithin/2 {
		rate = math.Copysign(min(leg.Rate, max(turnGain*math.Abs(left), turnLeast)), left)
	}
	f := &e.Hand.Brief.Feel
	h.Yaw = moved(yaw, -stickFor(rate/f.YawRate, f.DeadBand, f.Expo), e.Hand.StickRate)
	e.grip.yaw = p.Yaw
	if leg.Radius > 0 {
		ahead := float64(leg.Radius*math.Abs(rate)) / f.Speed
		h.Pitch = moved(pitch, stickFor(ahead, f.DeadBand, f.Expo), e.Hand.StickRate)
		e.placeW.X, e.placeW.Y = p.PosW.X, p.PosW.Y
	}
}

// move flies to the leg's place, by eye, under the response type in force.
func (e *Executor) move(leg *Leg, p *percept.Percept, h *hands.Hands) {
	e.placeW = leg.PlaceW
	r := e.inForce(p, h)
	if r == hands.Path {
		h.Response, r = hands.PositionHold, hands.PositionHold
	}
	e.grip.fly(&e.Hand, p, h, r, &wish{placeW: e.placeW, hold: true})
}

// liftHolding takes off under a response type that holds height or place, hands
// off but for the throttle.
func (e *Executor) liftHolding(leg *Leg, p *percept.Percept, h *hands.Hands) {
	h.Response = leg.Response
	if !leg.Response.PositionBased() {
		e.grip.fly(&e.Hand, p, h, leg.Response, &wish{placeW: e.placeW, hold: true, lean: 0.26})
	}
	e.grip.centre(&e.Hand, h)
	climb := kernel.Clamp(float64(e.Hand.Height*(leg.Height-p.PosW.Z)), -sinkMost, liftClimb)
	if p.OnFloor {
		climb = liftClimb
	}
	e.grip.throttle(&e.Hand, h, e.Hand.Brief.Feel.climbStick(climb))
}

// cutOff engages the cut-off, throttle lowest at once.
func (e *Executor) cutOff(h *hands.Hands, waited int64) {
	if waited < pauseSwitch {
		return
	}
	h.CutOff = true
	e.grip.rest(&e.Hand, h)
}

// release raises the throttle to the leg's level while the cut-off is engaged,
// and releases it.
func (e *Executor) release(leg *Leg, h *hands.Hands, waited int64) {
	e.grip.centre(&e.Hand, h)
	e.grip.throttle(&e.Hand, h, leg.Throttle)
	if waited >= pauseSwitch+crawl && h.Throttle == hands.Stick(leg.Throttle) {
		h.CutOff = false
	}
}

// takeOver goes into attitude with the throttle matched first, and brings the
// craft to rest by eye.
func (e *Executor) takeOver(p *percept.Percept, h *hands.Hands) {
	if h.Response != hands.Attitude {
		e.grip.selectMatched(&e.Hand, hands.Attitude, p, h, &wish{placeW: e.placeW, hold: true})
		return
	}
	e.stance.hold(&e.Hand, &e.grip, p, h)
	e.placeW = e.stance.stopW
}
