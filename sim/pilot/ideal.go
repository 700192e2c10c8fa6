package pilot

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Answering performs one answer from its first look on, with a given hand: with
// IdealHand the best that hands can do, with TrainedHand what a trained person's
// hands could do who knew at once. It is a plain value.
type Answering struct {
	answer Answer
	hand   Hand
	grip   grip
	stance stance
	safeW  kernel.Vec3 // m, where the craft should have been: room is there
	began  int64       // tick
	reach  float64     // m, distance to people or walls at the beginning
	over   bool        // the first part of the answer is done
}

// NewAnswering returns the pilot who begins answer at percept p.
func NewAnswering(answer Answer, hand Hand, p *percept.Percept) Answering {
	a := Answering{answer: answer, hand: hand, safeW: p.HoldW, began: p.Tick}
	switch answer {
	case AnswerAway:
		a.reach = p.Person
	case AnswerClear:
		a.reach = p.Wall
	case AnswerNeutralLand:
		a.hand.Velocity, a.hand.Brake, a.hand.Place = softer*hand.Velocity, softer*hand.Brake, softer*hand.Place
		a.hand.Climb, a.hand.Height = softer*hand.Climb, softer*hand.Height
	}
	a.grip.seen.recall(p)
	return a
}

// Act implements Pilot.
func (a *Answering) Act(p *percept.Percept, h *hands.Hands) {
	h.Call, h.Step = hands.CallNone, hands.StepNone
	a.grip.look(&a.hand, p)
	a.grip.orient(p)
	switch a.answer {
	case AnswerRefuge:
		h.Response = hands.Attitude
		a.comeDown(p, h)
	case AnswerHeightHold:
		h.Response = hands.HeightHold
		a.comeDown(p, h)
	case AnswerLand:
		if h.Response == hands.Path {
			h.Response = hands.PositionHold
		}
		a.comeDown(p, h)
	case AnswerPositionHold:
		h.Response = hands.PositionHold
		a.grip.neutral(&a.hand, h)
	case AnswerCutOff:
		a.stop(h)
	case AnswerReturnSafe:
		returnSafe(&a.hand, &a.grip, p, h)
	case AnswerNeutral, AnswerNeutralLand:
		a.neutral(p, h)
	case AnswerAway, AnswerClear:
		a.moveOff(p, h)
	default:
		a.stance.hold(&a.hand, &a.grip, p, h)
	}
}

// comeDown arrests, lands, and stops the motors at the touch.
func (a *Answering) comeDown(p *percept.Percept, h *hands.Hands) {
	if p.OnFloor || h.CutOff {
		a.stop(h)
		return
	}
	a.stance.safeW, a.stance.hasSafe = a.safeW, true
	a.stance.land(&a.hand, &a.grip, p, h)
}

// neutral holds still for a second, and then lets position-hold have it or lands.
func (a *Answering) neutral(p *percept.Percept, h *hands.Hands) {
	switch {
	case p.Tick-a.began < neutralFor:
		a.grip.level(&a.hand, p, h)
	case a.answer == AnswerNeutral:
		h.Response = hands.PositionHold
		a.grip.neutral(&a.hand, h)
	default:
		a.comeDown(p, h)
	}
}

// moveOff flies away from the nearest person or to where room is, and lands.
func (a *Answering) moveOff(p *percept.Percept, h *hands.Hands) {
	const enough = 0.6 // m, a judgement
	if h.Response == hands.Path {
		h.Response = hands.PositionHold
	}
	to, at := a.safeW, p.Wall
	if a.answer == AnswerAway {
		to, at = p.PosW.Add(unitXY(p.PosW.Sub(p.PersonW)).Scale(awayReach)), p.Person
	}
	a.over = a.over || at > a.reach+enough || p.Tick-a.began > patience || p.OnFloor
	if a.over {
		a.comeDown(p, h)
		return
	}
	to.Z = p.PosW.Z
	a.grip.fly(&a.hand, p, h, h.Response, &wish{placeW: to, hold: true})
}

func (a *Answering) stop(h *hands.Hands) {
	h.CutOff, h.Armed, h.Throttle = true, false, 0
	a.grip.centre(&a.hand, h)
}

// returnSafe sets the hands for the moment at which the link comes back: cut-off
// where the craft stops its motors by itself, else attitude at the hover mark
// with sticks centred. It tells whether they stand so.
func returnSafe(hand *Hand, g *grip, p *percept.Percept, h *hands.Hands) bool {
	g.centre(hand, h)
	if hand.Brief.LostLinkStops {
		h.CutOff = true
		g.throttle(hand, h, 0)
		return h.Throttle == 0
	}
	h.Response = hands.Attitude
	g.throttle(hand, h, p.HoverStick)
	return near(h.Throttle, p.HoverStick, 0.01)
}

// stance is how a craft is brought to rest and down by eye.
type stance struct {
	stopped bool        // it came to rest, and stays at stopW
	stopW   kernel.Vec3 // m
	has     bool        // stopW's height is set
	safeW   kernel.Vec3 // m, where room is
	hasSafe bool
	landing bool
	since   int64 // tick at which it was first to come down, 0 before
}

// How a craft is brought to rest. Judgements.
const (
	restSpeed   = 0.25 // m/s, slow enough to hold the place
	landSpeed   = 0.5  // m/s, slow enough to begin the descent
	landAnyway  = 1000 // ticks, after which a craft whose speed is not in the hand's power comes down sliding
	closeWall   = 0.45 // m, nearer than this a stopped craft is moved towards where room is
	flareHeight = 0.5  // m, above this an ideal hand sinks faster
)

// hold brings the craft to rest and keeps it there under the response type that
// is selected.
func (s *stance) hold(hand *Hand, g *grip, p *percept.Percept, h *hands.Hands) {
	w := s.wish(p)
	s.fly(hand, g, p, h, &w)
}

// land brings the craft to rest and down. A look at a time; the caller stops the
// motors on the floor.
func (s *stance) land(hand *Hand, g *grip, p *percept.Percept, h *hands.Hands) {
	w := s.wish(p)
	if s.since == 0 {
		s.since = max(p.Tick, 1)
	}
	slides := h.Response.PositionBased() && p.Tick-s.since >= landAnyway
	s.landing = s.landing || slides || p.VelW.NormXY() < landSpeed
	if s.landing {
		w.sink = hand.Sink
		if above := p.PosW.Z - flareHeight; above > 0 && hand.Delay == 0 {
			w.sink = min(0.9, hand.Sink+float64(0.8*above))
		}
	}
	s.fly(hand, g, p, h, &w)
}

// wish says where the craft should come to rest.
func (s *stance) wish(p *percept.Percept) wish {
	if !s.has {
		s.stopW, s.has = p.PosW, true
	}
	if !s.stopped {
		s.stopW.X, s.stopW.Y = p.PosW.X, p.PosW.Y
		s.stopped = p.VelW.NormXY() < restSpeed
	}
	if s.stopped && s.hasSafe && p.Wall < closeWall {
		s.stopW.X, s.stopW.Y = s.safeW.X, s.safeW.Y
	}
	return wish{placeW: s.stopW, hold: s.stopped, grab: !s.stopped}
}

func (s *stance) fly(hand *Hand, g *grip, p *percept.Percept, h *hands.Hands, w *wish) {
	r := h.Response
	if r.PositionBased() {
		g.centre(hand, h)
		g.throttle(hand, h, hand.Brief.Feel.climbStick(-w.sink))
		return
	}
	g.fly(hand, p, h, r, w)
}
