package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// securing is how far the craft is secured: throttle lowest, disarmed, cut-off
// held, "motors safe" called, battery out. Every flight ends so (common
// practice).
type securing struct {
	Stage int64
	Since int64 // tick at which the stage began
}

// The stages.
const (
	stageThrottle int64 = iota
	stageDisarm
	stageCutOff
	stageCall
	stageBattery
	stageDone
)

const pauseBattery = 2000 // ticks, to walk up

// disarm works the first three stages for one look.
func (s *securing) disarm(hand *Hand, g *grip, p *percept.Percept, h *hands.Hands) {
	yaw := h.Yaw
	g.centre(hand, h)
	h.Throttle = 0
	if s.Since == 0 {
		s.to(s.Stage, p.Tick)
	}
	waited := p.Tick - s.Since
	switch s.Stage {
	case stageThrottle:
		if waited >= pauseSwitch {
			s.to(stageDisarm, p.Tick)
		}
	case stageDisarm:
		h.Armed = false
		if p.Armed && hand.Brief.ArmBySticks && !h.CutOff {
			h.Yaw = moved(yaw, -1, hand.StickRate)
		}
		if (!p.Armed || p.LinkLost) && waited >= pauseSwitch || waited >= pauseRetry {
			s.to(stageCutOff, p.Tick)
		}
	case stageCutOff:
		h.CutOff = true
		told := p.CutOff || p.LinkLost || p.Silent || waited >= pauseRetry // a craft that hears nothing never says so
		if told && !p.MotorsTurn && waited >= pauseSwitch {
			s.to(stageCall, p.Tick)
		}
	}
}

// all works every stage; what plan says already is not said again.
func (s *securing) all(hand *Hand, g *grip, p *percept.Percept, h *hands.Hands, plan *Plan) {
	if s.Stage < stageCall {
		s.disarm(hand, g, p, h)
		return
	}
	waited := p.Tick - s.Since
	switch {
	case s.Stage == stageCall && plan.has(LegCall, hands.CallMotorsSafe, 0):
		s.to(stageBattery, p.Tick)
	case s.Stage == stageCall && waited >= pauseCall:
		h.Call = hands.CallMotorsSafe
		s.to(stageBattery, p.Tick)
	case s.Stage == stageBattery && (p.Smoke || plan.has(LegStep, 0, hands.StepBatteryOut)): // nobody touches a pack that smokes
		s.to(stageDone, p.Tick)
	case s.Stage == stageBattery && waited >= pauseBattery:
		h.Step = hands.StepBatteryOut
		s.to(stageDone, p.Tick)
	}
}

func (s *securing) to(stage, tick int64) { s.Stage, s.Since = stage, max(tick, 1) }

// has tells whether plan says a call or takes a step. A nil plan has nothing.
func (plan *Plan) has(do LegKind, call hands.Call, step hands.Step) bool {
	if plan == nil {
		return false
	}
	for i := range plan.Count {
		leg := &plan.Legs[i]
		if leg.Do == do && leg.Call == call && leg.Step == step {
			return true
		}
	}
	return false
}
