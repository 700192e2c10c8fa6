package judge

import (
	"lapwing/dynamics"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// stage is a synthetic flight: what the judge looks at, moved on look by look.
type stage struct {
	d      Drill
	f      Facts
	p      percept.Percept
	h      hands.Hands
	craft  dynamics.State
	place  dynamics.Place
	status safety.Status

	tick     int64
	onset    int64
	planDone bool
	lostLink safety.Action
	noEvent  bool
	begun    bool
	shiftW   dynamics.Vec3
	work     Work
	pack     dynamics.Battery
}

// flight returns a craft in the air at 1.2 m, armed, in position-hold with the
// throttle in the middle, three metres from each side of the cage, one person
// standing outside. Nothing has come yet.
func flight() *stage {
	s := &stage{f: Start(), onset: Never, tick: 5000}
	s.d = Drill{Class: ClassB, Outcome: DefaultOutcome()}
	s.place = dynamics.Place{PersonRadius: 1.5, PersonCount: 1,
		CageMin: dynamics.Vec3{X: -3, Y: -3}, CageMax: dynamics.Vec3{X: 3, Y: 3, Z: 3}}
	s.place.People[0] = dynamics.Person{PosW: dynamics.Vec3{X: -6}, Radius: 0.3, Height: 1.8}
	s.craft.QWB = dynamics.Quat{W: 1}
	s.craft.PosW.Z = 1.2
	s.turn(1000)
	s.h = hands.Hands{Throttle: 500, Response: hands.PositionHold, Armed: true}
	s.status = safety.Status{Armed: true, MotorsOn: true, Response: hands.PositionHold}
	s.p = percept.Percept{Armed: true, HoverStick: 0.5, Wall: 2, Person: 6, MotorsTurn: true,
		Commanded: hands.PositionHold, Actual: hands.PositionHold}
	s.look(1)
	return s
}

// turn sets the speed of all rotors (rad/s).
func (s *stage) turn(speed float64) {
	for i := range 4 {
		s.craft.RotorSpeed[i] = speed
	}
}

// tickOn lets one tick pass; the percept is new in every twentieth.
func (s *stage) tickOn() {
	looked := s.tick%percept.Every == 0
	if looked {
		s.p.Tick, s.p.PosW, s.p.VelW = s.tick, s.craft.PosW, s.craft.VelW
	}
	Note(&s.d, &s.f, &View{Tick: s.tick, Looked: looked, Percept: &s.p, Hands: &s.h, Craft: &s.craft, Place: &s.place,
		Status: &s.status, Onset: s.onset, PlanDone: s.planDone, LostLink: s.lostLink, HasEvent: !s.noEvent,
		Begun: s.begun, PersonShiftW: s.shiftW, Work: s.work, Pack: &s.pack})
	s.tick++
}

// look lets looks pass, and what lies between, and returns the tick of the first.
func (s *stage) look(looks int) int64 {
	for s.tick%percept.Every != 0 {
		s.tickOn()
	}
	at := s.tick
	for range looks {
		s.tickOn()
		for s.tick%percept.Every != 0 {
			s.tickOn()
		}
	}
	return at
}

// cued lets the event come and be seen: a slide for one look.
func (s *stage) cued() *stage {
	s.d.CueCount, s.d.Cues[0] = 1, percept.Rule{Sign: percept.SignSlide, Above: 0.15}
	s.onset = s.tick
	s.p.Uncommanded = 0.5
	s.look(2)
	return s
}

// land puts the craft on the floor.
func (s *stage) land() {
	s.craft.PosW.Z, s.craft.VelW = 0.06, dynamics.Vec3{}
	s.craft.Touch = dynamics.Touch{Kinds: dynamics.TouchSkidFloor, Load: 5}
	s.p.OnFloor = true
}

// stop stops the motors.
func (s *stage) stop() {
	s.turn(0)
	s.status.Armed, s.status.MotorsOn = false, false
	s.h.Armed = false
	s.p.MotorsTurn, s.p.Armed = false, false
}
