package pilot

import (
	"math"

	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// When a leg counts as done. Judgements.
const (
	liftWithin = 0.15 // m, of the height asked for
	liftFor    = 1000 // ticks
	followFor  = 1000 // ticks at the path's end
	turnWithin = 0.09 // rad, of the angle asked for
	turnSlow   = 0.15 // rad/s, slow enough to count as turned
	moveWithin = 0.35 // m, of the place, horizontally
	moveHigh   = 0.25 // m, of its height
	nearFor    = 300  // ticks
	calmFor    = 500  // ticks at rest, released, or without a prompt
)

// Advance looks at one percept and moves pr on when the present leg is seen to
// be over. h is what the person does in the same look.
func (pr *Progress) Advance(plan *Plan, p *percept.Percept, h *hands.Hands) {
	if pr.Leg >= int64(plan.Count) {
		return
	}
	leg := &plan.Legs[pr.Leg]
	if !pr.over(leg, p, h) {
		return
	}
	next := pr.Leg + 1
	if leg.Do == LegDecide && h.Call == hands.CallNoGo {
		next = int64(plan.Count)
	}
	*pr = Progress{Leg: next, Since: p.Tick}
}

// Done tells whether every leg of plan is over.
func (pr *Progress) Done(plan *Plan) bool { return pr.Leg >= int64(plan.Count) }

func (pr *Progress) over(leg *Leg, p *percept.Percept, h *hands.Hands) bool {
	switch leg.Do {
	case LegCall:
		return h.Call == leg.Call
	case LegStep:
		return h.Step == leg.Step
	case LegArm:
		return p.Armed
	case LegLift:
		return pr.held(math.Abs(p.PosW.Z-leg.Height) < liftWithin && !p.OnFloor, liftFor, p.Tick)
	case LegEngage:
		return h.Response == leg.Response && (p.Actual == leg.Response || p.Silent)
	case LegHold:
		return p.Tick-pr.Since >= leg.For
	case LegFollow:
		return pr.held(p.PathDone && p.Actual == hands.Path, followFor, p.Tick)
	case LegLand:
		return p.OnFloor && h.Throttle == 0
	case LegDisarm:
		return h.CutOff && !h.Armed && (!p.Armed && p.CutOff || p.Silent && !p.MotorsTurn)
	case LegTurn, LegMove, LegCutOff, LegRelease, LegIdle, LegTakeOver:
		return pr.flown(leg, p, h)
	}
	return pr.prepared(leg, p, h)
}

// prepared tells whether a leg of the work before a flight is over.
func (pr *Progress) prepared(leg *Leg, p *percept.Percept, h *hands.Hands) bool {
	switch leg.Do {
	case LegInspect:
		if h.Step == hands.StepTickGood || h.Step == hands.StepTickBad {
			pr.Ticked |= 1 << h.Item
		}
		all := uint64(1)<<p.Items - 1
		return pr.Ticked&all == all
	case LegDecide:
		return h.Call == hands.CallGo || h.Call == hands.CallNoGo
	case LegCarry, LegTilt:
		return pr.setDown(p, h)
	case LegCover:
		return h.Step == hands.StepUncover
	case LegNameRefusal:
		return h.Call.Refused()
	case LegPrompts:
		return pr.held(p.Prompts == 0 && p.Prompt == 0, calmFor, p.Tick)
	}
	return true
}

// flown tells whether a leg of handling is over.
func (pr *Progress) flown(leg *Leg, p *percept.Percept, h *hands.Hands) bool {
	switch leg.Do {
	case LegTurn:
		pr.Turned += float64(p.YawRate * look)
		there := math.Abs(pr.Turned) > math.Abs(leg.Angle)-turnWithin
		return pr.held(there && math.Abs(p.YawRate) < turnSlow, nearFor, p.Tick)
	case LegMove:
		off := leg.PlaceW.Sub(p.PosW)
		return pr.held(off.NormXY() < moveWithin && math.Abs(off.Z) < moveHigh, nearFor, p.Tick)
	case LegCutOff:
		return h.CutOff && p.CutOff && !p.MotorsTurn
	case LegRelease:
		return pr.held(!h.CutOff, calmFor, p.Tick)
	case LegIdle:
		return p.Tick-pr.Since >= leg.For
	}
	direct := h.Response == hands.Attitude && p.Actual == hands.Attitude
	return pr.held(direct && p.VelW.NormXY() < quietSpeed, calmFor, p.Tick)
}

// quietSpeed is the speed below which a craft counts as brought to rest.
const quietSpeed = 0.3 // m/s

// setDown tells whether the craft was set down and let go of.
func (pr *Progress) setDown(p *percept.Percept, h *hands.Hands) bool {
	if h.Step == hands.StepSetDown {
		pr.Held = max(p.Tick, 1)
	}
	return pr.Held > 0 && !p.Held && p.Tick-pr.Held >= nearFor
}

// held tells whether a condition has lasted for some ticks.
func (pr *Progress) held(holds bool, ticks, now int64) bool {
	if !holds {
		pr.Held = 0
		return false
	}
	if pr.Held == 0 {
		pr.Held = max(now, 1)
	}
	return now-pr.Held >= ticks
}
