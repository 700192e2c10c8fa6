package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/percept"
)

// MaxLines bounds a script.
const MaxLines = 32

// Script says what hands do and when. Without lines it flies the plan.
type Script struct {
	Lines [MaxLines]Line
	Count int
}

// Line is one entry: done once, After ticks after its When.
type Line struct {
	When  When
	Mark  inject.Mark  // of WhenMark
	Rule  percept.Rule // of WhenSign
	After int64        // ticks, ≥ 0: from tick 0, the mark, or when the rule first held
	Set   Part
	To    int16          // of the sticks: position in thousandths; of the switches: 0 or 1
	Resp  hands.Response // of SetResponse
	Call  hands.Call     // of SetCall
	Step  hands.Step     // of SetStep
	Item  uint8          // what the step is about: a place of the inspection list, a move of the carry
}

// When says what a line waits for.
type When uint8

// What lines wait for.
const (
	WhenTick When = iota // the beginning
	WhenMark             // a moment of the flight
	WhenSign             // a rule over the percept
)

// Part is what a line sets.
type Part uint8

// The parts. A stick or switch that a line has set stays so, whatever the plan
// wants, until FlyTask, FlyHover or FlyLand takes it back.
const (
	SetThrottle Part = iota
	SetRoll
	SetPitch
	SetYaw
	SetResponse
	SetCutOff
	SetArmed
	SetCall
	SetStep
	FlyTask  // on with the plan
	FlyHover // come to rest and stay
	FlyLand  // come to rest, land and secure
	FlyHands // nothing by itself: hands stay as lines set them
)

// Scripted is the pilot who does what a script says. It is a plain value but for
// script and plan, which it only reads.
type Scripted struct {
	exec   Executor
	script *Script
	watch  [MaxLines]percept.Watch
	due    [MaxLines]int64 // tick at which a line comes; 0 before it is known
	done   uint64          // bit for each line
	passed uint64          // bit for each mark
	at     [16]int64       // tick of each mark
	fixed  uint64          // bit for each part that a line has set
	set    hands.Hands     // what lines have set
	intent Part
	stance stance
	flown  bool
}

// NewScripted returns the pilot of a script.
func NewScripted(plan *Plan, script *Script, hand Hand, seed uint64) Scripted {
	return Scripted{exec: NewExecutor(plan, hand, seed), script: script, intent: FlyTask}
}

// Act implements Pilot.
func (s *Scripted) Act(p *percept.Percept, h *hands.Hands) {
	s.exec.look(p, h)
	s.mark(p)
	for i := range s.script.Count {
		s.consider(i, p)
	}
	s.fly(p, h)
	s.hold(h)
	for i := range s.script.Count {
		s.fire(i, p, h)
	}
	s.exec.note(p, h)
}

// mark notes the moments of the flight as a person sees them.
func (s *Scripted) mark(p *percept.Percept) {
	flying := !p.OnFloor && !p.Held && p.PosW.Z > 0.25
	s.flown = s.flown || flying
	s.pass(inject.MarkStart, true, 0)
	s.pass(inject.MarkArmed, p.Armed, p.Tick)
	s.pass(inject.MarkAirborne, flying, p.Tick)
	airborne := s.at[inject.MarkAirborne]
	s.pass(inject.MarkHover, flying && p.Tick-airborne >= hoverAfter, p.Tick)
	s.pass(inject.MarkPositionHold, flying && p.Actual == hands.PositionHold, p.Tick)
	s.pass(inject.MarkPath, flying && p.Actual == hands.Path && p.PathSpeed > 0, p.Tick)
	s.pass(inject.MarkLanded, s.flown && p.OnFloor, p.Tick)
}

// hoverAfter is how long after leaving the floor a craft counts as hovering.
const hoverAfter = 5000 // ticks

func (s *Scripted) pass(m inject.Mark, passed bool, tick int64) {
	if bit := uint64(1) << m; passed && s.passed&bit == 0 {
		s.passed |= bit
		s.at[m] = tick
	}
}

// consider finds out whether line i's time is known now.
func (s *Scripted) consider(i int, p *percept.Percept) {
	line := &s.script.Lines[i]
	if s.due[i] != 0 || s.done>>i&1 == 1 {
		return
	}
	switch line.When {
	case WhenTick:
		s.due[i] = 1 + line.After
	case WhenMark:
		if s.passed>>line.Mark&1 == 1 {
			s.due[i] = 1 + s.at[line.Mark] + line.After
		}
	case WhenSign:
		if line.Rule.Holds(&s.watch[i], p) {
			s.due[i] = 1 + p.Tick + line.After
		}
	}
}

// fire does line i once its time has come; due is one more than its tick.
func (s *Scripted) fire(i int, p *percept.Percept, h *hands.Hands) {
	if s.due[i] == 0 || p.Tick < s.due[i]-1 || s.done>>i&1 == 1 {
		return
	}
	s.done |= 1 << i
	line := &s.script.Lines[i]
	switch line.Set {
	case SetCall:
		h.Call = line.Call
		return
	case SetStep:
		h.Step, h.Item = line.Step, line.Item
		return
	case FlyTask, FlyHover, FlyLand, FlyHands:
		if line.Set != FlyHands {
			s.fixed = 0
		}
		s.intent, s.stance = line.Set, stance{}
		s.exec.has = false
		return
	}
	s.fixed |= 1 << line.Set
	s.put(line)
	s.hold(h)
}

// put remembers what a line sets.
func (s *Scripted) put(line *Line) {
	switch line.Set {
	case SetThrottle:
		s.set.Throttle = line.To
	case SetRoll:
		s.set.Roll = line.To
	case SetPitch:
		s.set.Pitch = line.To
	case SetYaw:
		s.set.Yaw = line.To
	case SetResponse:
		s.set.Response = line.Resp
	case SetCutOff:
		s.set.CutOff = line.To != 0
	case SetArmed:
		s.set.Armed = line.To != 0
	}
}

// hold puts what lines have set into the hands.
func (s *Scripted) hold(h *hands.Hands) {
	fixed := func(part Part) bool { return s.fixed>>part&1 == 1 }
	if fixed(SetThrottle) {
		h.Throttle = s.set.Throttle
	}
	if fixed(SetRoll) {
		h.Roll = s.set.Roll
	}
	if fixed(SetPitch) {
		h.Pitch = s.set.Pitch
	}
	if fixed(SetYaw) {
		h.Yaw = s.set.Yaw
	}
	if fixed(SetResponse) {
		h.Response = s.set.Response
	}
	if fixed(SetCutOff) {
		h.CutOff = s.set.CutOff
	}
	if fixed(SetArmed) {
		h.Armed = s.set.Armed
	}
}

// fly does what the script leaves to the pilot.
func (s *Scripted) fly(p *percept.Percept, h *hands.Hands) {
	e := &s.exec
	switch s.intent {
	case FlyTask:
		e.fly(p, h)
	case FlyHover:
		if p.OnFloor {
			e.grip.rest(&e.Hand, h)
			return
		}
		s.stance.hold(&e.Hand, &e.grip, p, h)
	case FlyLand:
		if p.OnFloor || e.secure.Since != 0 || p.CutOff {
			e.secure.all(&e.Hand, &e.grip, p, h, nil)
			return
		}
		if h.Response == hands.Path {
			h.Response = hands.PositionHold
		}
		s.stance.land(&e.Hand, &e.grip, p, h)
	}
}
