package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// Levels and times of deeds that are flown; a little more than the judge asks.
const (
	yawStill    = 0.15 // rad/s
	climbStill  = 0.25 // m/s
	stillFor    = 340  // ticks
	neutralFor  = 1060 // ticks
	easeMore    = 0.05 // share of travel below what is asked for
	easeRate    = 0.25 // of the quickest move: a throttle that is eased, not pulled
	awayReach   = 1.2  // m ahead of the craft that is aimed at
	awayMore    = 0.1  // m beyond what is asked for
	softer      = 0.55 // of the crossover frequencies, for who has just swung
	turnedRound = 2.4  // rad, a heading further off than this is the other way round
)

// steady works on a deed that is flown for one look and tells whether it is done.
func (x *Person) steady(deed *judge.Deed, p *percept.Percept, h *hands.Hands) bool {
	hand, g := &x.exec.Hand, &x.exec.grip
	switch deed.Kind {
	case judge.DeedYawStopped:
		yaw := h.Yaw
		x.fly(p, h)
		h.Yaw, g.yaw = moved(yaw, 0, hand.StickRate), p.Yaw
		return x.lasts(math.Abs(p.YawRate) < yawStill, stillFor, p)
	case judge.DeedSticksNeutral:
		g.level(hand, p, h)
		if !x.lasts(percept.CommandsNothing(h), neutralFor, p) {
			return false
		}
		x.compose(p)
		return true
	case judge.DeedEaseThrottle:
		at := h.Throttle
		x.fly(p, h)
		to := max(hands.Share(x.began.Throttle)-deed.Level-easeMore, 0)
		h.Throttle = moved(at, to, easeRate*hand.StickRate)
		return near(h.Throttle, to, 0.002) || p.OnFloor
	case judge.DeedMoveAway:
		x.flyTo(p.PosW.Add(unitXY(p.PosW.Sub(p.PersonW)).Scale(awayReach)), p, h)
		return p.Person > x.nearest+deed.Level+awayMore || p.OnFloor
	case judge.DeedMoveClear:
		x.flyTo(x.roomW, p, h)
		return p.Wall > x.closest+deed.Level+awayMore || p.OnFloor
	}
	x.bracing = true
	g.retrim(hand, p)
	x.fly(p, h)
	return x.lasts(math.Abs(p.VelW.Z) < climbStill, stillFor, p) || p.OnFloor
}

// lasts tells whether a condition has lasted for some ticks while the present
// deed was worked on.
func (x *Person) lasts(holds bool, ticks int64, p *percept.Percept) bool {
	if !holds {
		x.held = judge.Never
		return false
	}
	if x.held == judge.Never {
		x.held = p.Tick
	}
	return p.Tick-x.held >= ticks
}

// compose is what holding still is good for: the hand that swung is softer from
// then on, and who took the tail for the nose finds out, or not.
func (x *Person) compose(p *percept.Percept) {
	hand := &x.exec.Hand
	for _, gain := range []*float64{&hand.Velocity, &hand.Brake, &hand.Place, &hand.Climb, &hand.Height} {
		*gain *= softer
	}
	if x.lot(drawTurned) >= x.profile.Lost {
		x.exec.grip.orient(p)
	}
}

// measure keeps how near the craft came to people and walls since the answer
// began, and where it had most room.
func (x *Person) measure(p *percept.Percept) {
	if p.Wall > x.room && !p.OnFloor {
		x.room, x.roomW = p.Wall, p.PosW
	}
	if x.start {
		x.nearest, x.closest = min(x.nearest, p.Person), min(x.closest, p.Wall)
	}
}

// flyTo flies towards a place at the present height, under the response type that
// is selected; a path is left for position-hold.
func (x *Person) flyTo(placeW kernel.Vec3, p *percept.Percept, h *hands.Hands) {
	if h.Response == hands.Path {
		h.Response = hands.PositionHold
	}
	if p.OnFloor || p.LinkLost || h.CutOff {
		x.fly(p, h)
		return
	}
	placeW.Z = p.PosW.Z
	x.exec.grip.fly(&x.exec.Hand, p, h, h.Response, &wish{placeW: placeW, hold: true})
	x.stance = stance{safeW: x.stance.safeW, hasSafe: x.stance.hasSafe}
}

// orient compares the heading seen with the one that the station shows, and
// turns the pilot's idea of it round where they are opposite.
func (g *grip) orient(p *percept.Percept) {
	g.turned = 0
	if math.Abs(wrapped(p.Yaw-p.ShownYaw)) > turnedRound {
		g.turned = math.Pi
	}
}

// level lets go of roll, pitch and yaw, and holds the height.
func (g *grip) level(hand *Hand, p *percept.Percept, h *hands.Hands) {
	roll, pitch, yaw := h.Roll, h.Pitch, h.Yaw
	g.fly(hand, p, h, h.Response, &wish{placeW: p.PosW})
	h.Roll, h.Pitch, h.Yaw = roll, pitch, yaw
	g.centre(hand, h)
}

// retrim moves the steady pull of the throttle against a rise or fall, whatever
// its size: a correction that is meant, not the slow one of a hover.
func (g *grip) retrim(hand *Hand, p *percept.Percept) {
	const meant = 3 // times as quick as a hover's trim, a judgement
	g.trimW.Z -= float64(meant * trimShare * hand.Climb * hand.Climb * look * p.VelW.Z)
	g.trimW.Z = kernel.Clamp(g.trimW.Z, -trimLift, trimLift)
}

// unitXY returns the horizontal direction of v, zero where it has none.
func unitXY(v kernel.Vec3) kernel.Vec3 {
	n := v.NormXY()
	if n < 1e-6 {
		return kernel.Vec3{}
	}
	return kernel.Vec3{X: v.X / n, Y: v.Y / n}
}
