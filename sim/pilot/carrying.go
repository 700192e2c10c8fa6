package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// placing is where a craft is, as seen and as the station shows it, and what its
// motors are told.
type placing struct {
	posW, shownW kernel.Vec3 // m
	motors       [len(percept.Percept{}.Motors)]float64
}

func placingOf(p *percept.Percept) placing { return placing{p.PosW, p.ShownPosW, p.Motors} }

// The stages of a carry.
const (
	carryTake  int64 = iota // to be picked up
	carryHold               // in the hand, before a move
	carryBegin              // a move was begun
	carryMove               // a move is under way
	carryDown               // to be set down
)

// Times and levels of a carry. Judgements.
const (
	pauseMove  = 600  // ticks between two moves
	pauseTake  = 1500 // ticks, to the craft
	carryTold  = 0.3  // m, a shorter way tells nothing
	carryShort = 0.5  // share of a way: shown shorter than this, or backwards, is another way
	carryAside = 0.25 // share of a way: so is what is shown further aside than this
	tiltTold   = 0.1  // rad, a smaller lean tells nothing
	tiltStick  = 0.3  // throttle while the motors are watched
	coverLeast = 2000 // ticks with the lens covered
	coverMost  = 6000 // ticks, after which the station should have said something
)

// carry picks the craft up, makes its moves and sets it down, comparing what the
// station shows with what is seen.
func (e *Executor) carry(p *percept.Percept, h *hands.Hands) {
	e.grip.rest(&e.Hand, h)
	e.handle(p, h, func() bool { return e.shownWrong(p) })
}

// handle goes through the moves of a carry; wrong judges each at its end.
func (e *Executor) handle(p *percept.Percept, h *hands.Hands, wrong func() bool) {
	w := &e.work
	waited := p.Tick - w.since
	switch w.stage {
	case carryTake:
		if p.Held {
			w.to(carryHold, p.Tick)
		} else if waited >= pauseTake {
			h.Step = hands.StepPickUp
			w.since = p.Tick
		}
	case carryHold:
		if !p.MoveDone || waited < pauseMove {
			return
		}
		if w.item >= int64(p.Moves) {
			e.refuses = e.scaleWrong() || e.refuses
			w.to(carryDown, p.Tick)
			return
		}
		h.Step, h.Item = hands.StepCarry, uint8(w.item)
		w.from = placingOf(p)
		w.to(carryBegin, p.Tick)
	case carryBegin:
		if waited >= 3*percept.Every {
			w.to(carryMove, p.Tick)
		}
	case carryMove:
		if p.MoveDone {
			e.refuses = wrong() || e.refuses
			w.item++
			w.to(carryHold, p.Tick)
		}
	case carryDown:
		if p.Held && p.MoveDone && waited >= pauseMove {
			h.Step = hands.StepSetDown
			w.since = p.Tick
		}
	}
}

// shownWrong tells whether the way that the station showed of a move is another
// one than was seen: aside or the other way.
func (e *Executor) shownWrong(p *percept.Percept) bool {
	w := &e.work
	way := p.PosW.Sub(w.from.posW)
	shown := p.ShownPosW.Sub(w.from.shownW)
	n := way.Norm()
	if n < carryTold {
		return false
	}
	along := shown.Dot(way)
	w.shown += along
	w.way += float64(n * n)
	share := along / float64(n*n)
	aside := shown.AddScaled(-share, way).Norm()
	return e.Care.Scale < carryAside && (share < carryShort || aside > carryAside*n)
}

// scaleWrong tells whether all moves together were shown too long or too short:
// one alone is not followed closely enough to tell.
func (e *Executor) scaleWrong() bool {
	w := &e.work
	return w.way > 0 && math.Abs(w.shown/w.way-1) > e.Care.Scale
}

// tilt arms the craft in the hand, its propellers off, and goes through its
// moves with the throttle raised: the motors on the low side must work harder.
func (e *Executor) tilt(p *percept.Percept, h *hands.Hands) {
	w := &e.work
	switch {
	case w.stage == carryTake:
		e.grip.rest(&e.Hand, h)
	case w.stage == carryDown:
		if e.secure.Since == 0 || p.Armed || !h.CutOff {
			e.secure.disarm(&e.Hand, &e.grip, p, h)
			w.since = p.Tick
			return
		}
	case !p.Armed:
		e.arm(p, h, p.Tick-w.since)
		if w.stage == carryHold {
			return
		}
	default:
		e.grip.centre(&e.Hand, h)
		e.grip.throttle(&e.Hand, h, tiltStick)
		if h.Throttle < hands.Stick(tiltStick) {
			w.since = p.Tick
		}
	}
	e.handle(p, h, func() bool { return e.motorsWrong(p) })
}

// motorsWrong tells whether the motors would make the present lean worse, or do
// nothing about it. Told is what they are told more or less than before: a law
// that cannot get its way in the hand goes on pushing against the leans before.
func (e *Executor) motorsWrong(p *percept.Percept) bool {
	if p.Tilt < tiltTold || e.Care.Scale > carryAside {
		return false
	}
	leanX, leanY := toHeading(p.Yaw, p.TiltW)
	push := 0.0
	for i := range e.Hand.Brief.Rotors {
		at := &e.Hand.Brief.RotorB[i]
		low := float64(at.X*leanX) + float64(at.Y*leanY)
		push += float64((p.Motors[i] - e.work.from.motors[i]) * low)
	}
	return !(push > 0)
}

// cover covers the lens until the station has said something of it, and
// uncovers it.
func (e *Executor) cover(p *percept.Percept, h *hands.Hands) {
	e.stay(p, h)
	w := &e.work
	waited := p.Tick - w.since
	switch w.stage {
	case 0:
		if waited >= pauseTake {
			h.Step = hands.StepCoverLens
			w.to(1, p.Tick)
		}
	case 1:
		w.saw = w.saw || p.Camera > 0
		if waited >= coverMost || w.saw && waited >= coverLeast {
			e.refuses = e.refuses || !w.saw && e.Care.Scale < carryAside
			h.Step = hands.StepUncover
			w.to(2, p.Tick)
		}
	}
}
