// Package carry is a craft in the hand: carried about with its motors off to see
// whether the estimate follows, tilted without propellers to see whether the
// motors would answer the right way, and with a hand over its lens.
//
// It stands apart because here a person moves the craft and not the law. The way
// of the data:
//
//  1. Params lists the moves of a carry, each a pose relative to the mark
//  2. steps of the hands pick the craft up, begin a move, set it down, cover the
//     lens (this file)
//  3. the hand is led along a path of least jerk, and holds the craft like a
//     spring with a damper: a force and a moment on the body (hold.go)
//  4. what the station showed of each move is compared with what was true
//     (facts.go)
package carry

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// MaxMoves bounds the moves of a carry.
const MaxMoves = 16

// Times of a hand, in ticks. Judgements.
const (
	graspFor   = 400  // until the hand bears the weight
	settleFor  = 400  // after a move, until the hand is still
	lowerLeast = 1000 // the shortest way down
	lowerPerM  = 1500 // for each metre of it
	letGoFor   = 400  // until the hand bears nothing
)

// Phase is what the hand is doing.
type Phase uint8

// The phases.
const (
	Free     Phase = iota // no hand on the craft
	Grasping              // taking up its weight
	Holding               // still
	Moving                // on a move
	Lowering              // on the way down
	Letting               // standing again, letting go
)

// Pose is where the hand leads the craft.
type Pose struct {
	PosW             kernel.Vec3 // m, centre of gravity, room axes
	Roll, Pitch, Yaw float64     // rad, as in kernel.QuatEuler; yaw may pass a full turn
}

// State is what of the carry changes. A plain value.
type State struct {
	Phase    Phase
	Since    int64 // tick at which the phase began
	Lasts    int64 // ticks that the way of this phase takes
	Move     int64 // the move under way, or made last; −1 before
	Covered  bool  // a hand covers the lens
	From, To Pose  // of the way
	Mark     Pose  // where the craft was taken from first

	Facts Facts
}

// Start returns a craft that nobody holds.
func Start() State { return State{Move: -1, Facts: noFacts()} }

// Held tells whether a hand is on the craft.
func (s *State) Held() bool { return s.Phase != Free }

// Moves tells whether a move, or the way down, is under way.
func (s *State) Moves() bool { return s.Phase != Free && s.Phase != Holding }

// Take takes the step that the hands take at this look. safe tells that the
// motors are disarmed or bear no propellers: otherwise nobody's hand goes near.
func (s *State) Take(p *Params, h *hands.Hands, craft *dynamics.State, shownW kernel.Vec3, safe bool, tick int64) {
	switch h.Step {
	case hands.StepPickUp:
		if s.Phase == Free && safe && p.Count > 0 {
			s.grasp(craft, shownW, tick)
		}
	case hands.StepCarry:
		if s.Phase == Holding && int(h.Item) < p.Count {
			s.begin(p, int64(h.Item), craft, shownW, tick)
		}
	case hands.StepSetDown:
		if s.Phase == Holding {
			s.lower(tick)
		}
	case hands.StepCoverLens:
		s.Covered = s.Covered || safe && (s.Held() || stands(craft))
	case hands.StepUncover:
		s.Covered = false
	}
}

func stands(craft *dynamics.State) bool {
	return craft.Touch.Kinds&dynamics.TouchSkidFloor != 0 && craft.Touch.Load > 0
}

func (s *State) grasp(craft *dynamics.State, shownW kernel.Vec3, tick int64) {
	roll, pitch, yaw := craft.QWB.Euler()
	here := Pose{craft.PosW, roll, pitch, yaw}
	if s.Facts.TakenAt == Never {
		s.Mark = here
		s.Facts.take(craft.PosW, shownW, tick)
	}
	s.way(Grasping, here, here, graspFor, tick)
}

// begin begins a move: from where the hand is to the move's pose, which is
// relative to the mark, its x along the heading there.
func (s *State) begin(p *Params, i int64, craft *dynamics.State, shownW kernel.Vec3, tick int64) {
	m := &p.Moves[i]
	to := Pose{
		PosW: s.Mark.PosW.Add(kernel.QuatYaw(s.Mark.Yaw).Rotate(m.To)),
		Roll: m.Roll, Pitch: m.Pitch, Yaw: s.Mark.Yaw + m.Yaw,
	}
	s.Move = i
	s.Facts.begin(i, craft.PosW, shownW)
	s.way(Moving, s.To, to, m.For, tick)
}

// lower begins the way down: to the height at which it stood, level, below
// where it is.
func (s *State) lower(tick int64) {
	to := s.To
	to.PosW.Z = s.Mark.PosW.Z
	to.Roll, to.Pitch = s.Mark.Roll, s.Mark.Pitch
	lasts := lowerLeast + int64(float64(lowerPerM*max(0, s.To.PosW.Z-to.PosW.Z)))
	s.way(Lowering, s.To, to, lasts, tick)
}

func (s *State) way(phase Phase, from, to Pose, lasts, tick int64) {
	s.Phase, s.From, s.To, s.Lasts, s.Since = phase, from, to, lasts, tick
}

// pass goes on to the next phase when the present one is over.
func (s *State) pass(craft *dynamics.State, shownW kernel.Vec3, tick int64) {
	age := tick - s.Since
	switch {
	case s.Phase == Grasping && age >= graspFor:
		s.way(Holding, s.To, s.To, 0, tick)
	case s.Phase == Moving && age >= s.Lasts+settleFor:
		s.Facts.end(s.Move, craft.PosW, shownW)
		s.way(Holding, s.To, s.To, 0, tick)
	case s.Phase == Lowering && age >= s.Lasts+settleFor:
		s.way(Letting, s.To, s.To, letGoFor, tick)
	case s.Phase == Letting && age >= letGoFor:
		s.Facts.setDown(craft.PosW, shownW, tick)
		s.Phase = Free
	}
}
