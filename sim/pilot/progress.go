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
)

// Advance looks at one percept and moves pr on when the present leg is seen to
// be over. h is what the person does in the same look.
func (pr *Progress) Advance(plan *Plan, p *percept.Percept, h *hands.Hands) {
	if pr.Leg >= int64(plan.Count) {
		return
	}
	if pr.over(&plan.Legs[pr.Leg], p, h) {
		pr.Leg++
		pr.Since, pr.Held = p.Tick, 0
	}
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
		return h.Response == leg.Response && p.Actual == leg.Response
	case LegHold:
		return p.Tick-pr.Since >= leg.For
	case LegFollow:
		return pr.held(p.PathDone && p.Actual == hands.Path, followFor, p.Tick)
	case LegLand:
		return p.OnFloor && h.Throttle == 0
	case LegDisarm:
		return !p.Armed && p.CutOff && h.CutOff
	}
	return true
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
