package sim

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// trend is what an eye keeps from look to look to tell what goes on over
// seconds: turning, swinging, leaping, flying on.
type trend struct {
	turns  [4]float64     // rad/s, fastest turning in each of the last half seconds
	half   int64          // the half second that came last
	leans  [2]swing       // of the lean along x and y of the room
	actual hands.Response // at the last look
	direct int64          // tick of the last change into direct thrust in the air
	lost   bool           // the link flag was up at the last look
	flags  [8]int64       // ticks at which it came up lately
	flag   int64          // how often it came up
}

// How it is told. Judgements.
const (
	halfSecond = 500  // ticks
	leapFor    = 1000 // ticks after a change into direct thrust in which a leap counts
	actionLate = 500  // ticks beyond its time after which the lost-link action is missed
	sinksBy    = 0.1  // m/s, slower than which nothing is being landed
	cageEdge   = 0.2  // m, from the side of the cage at which the station warns
	flagsFor   = 5000 // ticks for which a person remembers that the link flag came up
	noseWithin = 0.7  // cosine of the angle to who flies within which the nose points at them
)

// seeTrend fills what only several looks show, and what only single events bring.
func seeTrend(c *Conditions, w *World) {
	e, p, fx := &w.Eye.trend, &w.Percept, &w.Effects
	p.Turned = e.turned(math.Abs(p.YawRate), w.Tick)
	e.swings(p)
	e.leap(p)
	p.CutRuns = longer(p.CutRuns, w.Hands.CutOff && p.MotorsTurn)
	p.DeadFly = longer(p.DeadFly, fliesOn(&c.Safety, p, w.Heard.Age))
	p.Flicker = e.flickers(p.LinkLost, w.Tick)
	p.CageAlert = atCage(&c.Place, p)
	p.NoseIn = noseIn(&c.Place, &w.Craft)
	p.Smoke, p.Frozen = fx.Smoke, fx.PictureFrozen
	p.OtherMoves = fx.OtherCraft && !atRest(&w.Hands)
}

// longer counts seconds while a condition holds.
func longer(seconds float64, holds bool) float64 {
	if !holds {
		return 0
	}
	return seconds + lookSeconds
}

// turned returns the fastest turning (rad/s) of the last 1.5 to 2 s.
func (e *trend) turned(rate float64, tick int64) float64 {
	for now := tick / halfSecond; e.half < now; {
		e.half++
		e.turns[e.half%4] = 0
	}
	slot := &e.turns[e.half%4]
	*slot = max(*slot, rate)
	return max(e.turns[0], e.turns[1], e.turns[2], e.turns[3])
}

// leap fills the vertical speed within a second of a change into direct thrust.
func (e *trend) leap(p *percept.Percept) {
	if e.actual.HoldsHeight() && !p.Actual.HoldsHeight() && !p.OnFloor {
		e.direct = p.Tick
	}
	e.actual, p.Leap = p.Actual, 0
	if e.direct > 0 && p.Tick-e.direct <= leapFor && !p.OnFloor {
		p.Leap = math.Abs(p.VelW.Z)
	}
}

// flickers returns how often the link flag came up of late.
func (e *trend) flickers(lost bool, tick int64) float64 {
	if lost && !e.lost {
		e.flags[e.flag%int64(len(e.flags))] = tick + 1
		e.flag++
	}
	e.lost = lost
	times := 0.0
	for _, at := range e.flags {
		if at > 0 && tick-at < flagsFor {
			times++
		}
	}
	return times
}

// fliesOn tells whether the lost-link action is seen not to come: its time is
// over, and the craft neither stops its motors nor sinks, as it was set to.
func fliesOn(s *safety.Params, p *percept.Percept, age int64) bool {
	due := s.FreshTicks + s.HoldTicks + actionLate
	if s.LostLinkAction == safety.ActionHoldThenLand {
		due += s.WaitTicks
	}
	if !p.LinkLost || age <= due || p.OnFloor || !p.MotorsTurn {
		return false
	}
	return s.LostLinkAction == safety.ActionMotorStop || p.VelW.Z > -sinksBy
}

// atCage tells whether the station warns that the craft, by its own estimate, is
// at a side of the cage or beyond.
func atCage(place *dynamics.Place, p *percept.Percept) bool {
	if !p.Armed || p.OnFloor || p.Held {
		return false
	}
	at, lo, hi := p.ShownPosW, place.CageMin, place.CageMax
	return at.X < lo.X+cageEdge || at.X > hi.X-cageEdge || at.Y < lo.Y+cageEdge || at.Y > hi.Y-cageEdge || at.Z > hi.Z-cageEdge
}

// noseIn tells whether the nose points at who flies: person 0 at their place.
func noseIn(place *dynamics.Place, s *dynamics.State) bool {
	if place.PersonCount == 0 {
		return false
	}
	to, nose := place.People[0].PosW.Sub(s.PosW), s.QWB.Rotate(kernel.Vec3{X: 1})
	ahead := float64(to.X*nose.X) + float64(to.Y*nose.Y)
	return ahead > float64(noseWithin*float64(to.NormXY()*nose.NormXY()))
}

// atRest tells whether no stick asks for anything.
func atRest(h *hands.Hands) bool {
	off := func(stick int16) bool { return stick > stickMoved || stick < -stickMoved }
	return !off(h.Throttle) && !off(h.Roll) && !off(h.Pitch) && !off(h.Yaw)
}

// swing follows a lean from one turning point to the next.
type swing struct {
	rising bool
	edge   float64 // furthest lean since it last turned back
	turn   float64 // lean at which it last turned back
	at     int64   // tick of that
	size   float64 // amplitude: half the way between the last two turning points
	halves int64   // half swings in a row that were large enough and did not shrink
}

// When a lean swings. Judgements.
const (
	swingBack  = 0.0349 // 2 degrees of lean the other way make a turning point
	swingLeast = 0.0523 // 3 degrees of amplitude
	swingKeeps = 0.8    // of the amplitude before, less than which it is dying away
	swingWait  = 2000   // ticks from one turning point to the next
	swingFrom  = 4      // half swings
)

// look takes in the lean (sine of the angle) of one look.
func (s *swing) look(lean float64, tick int64) {
	on := lean - s.edge
	if !s.rising {
		on = -on
	}
	switch {
	case on >= 0:
		s.edge = lean
	case on < -swingBack:
		s.turnBack(tick)
		s.rising, s.edge = !s.rising, lean
	}
	if tick-s.at > swingWait {
		s.halves = 0
	}
}

func (s *swing) turnBack(tick int64) {
	size := math.Abs(s.edge-s.turn) / 2
	if size < swingLeast || s.halves > 0 && size < float64(swingKeeps*s.size) {
		s.halves = 0
	} else {
		s.halves++
	}
	s.turn, s.size, s.at = s.edge, size, tick
}

// swings fills how far and how often the lean swings to and fro in the worse of
// the two axes.
func (e *trend) swings(p *percept.Percept) {
	e.leans[0].look(p.TiltW.X, p.Tick)
	e.leans[1].look(p.TiltW.Y, p.Tick)
	p.Swing, p.Swings = 0, 0
	for i := range e.leans {
		if s := &e.leans[i]; s.halves >= swingFrom && s.size > p.Swing {
			p.Swing, p.Swings = s.size, float64(s.halves)/2
		}
	}
	if p.Swing > 0 {
		p.Swing = kernel.Asin(min(p.Swing, 1))
	}
}
