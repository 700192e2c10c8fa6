package score

import (
	"math"

	"lapwing/sim"
	"lapwing/sim/judge"
)

// What an error takes off the action part, and where the control part begins
// and ends. Choices, not findings; printed with every number.
const (
	minorCost, majorCost, orderCost = 0.15, 0.30, 0.10
	awayFull                        = 0.5 // m, excursion that costs nothing
	clearFull                       = 0.5 // m, clearance that costs nothing
	touchFull, touchNone            = 0.5, 2.0
	stopWithin                      = 2000 // ticks from ground contact to motors stopped
)

// count fills the parts and the number.
func (a *Assessment) count(c *sim.Conditions, f *judge.Facts) {
	if a.Verdict == Void || a.Verdict == Unscored {
		return
	}
	a.Parts = Parts{
		Time:      a.timePart(&c.Drill, f),
		Actions:   a.actionPart(),
		Control:   a.controlPart(&c.Drill, f),
		Procedure: a.procedurePart(),
	}
	a.Number = a.weighed(c.Drill.Weights)
	a.NumberRange = a.weighedRange(c.Drill.Weights)
}

// timePart is the first right action's; where the craft acts by itself, the
// lower of the call's and the sticks'.
func (a *Assessment) timePart(d *judge.Drill, f *judge.Facts) float64 {
	if d.Class == judge.ClassN {
		return a.planPart()
	}
	if a.ToFirstRightS == nil {
		return 0
	}
	part := a.onTime(*a.ToFirstRightS, a.TargetS)
	if d.Class == judge.ClassE {
		part = math.Min(part, a.othersOnTime(d, f))
	}
	return part
}

// onTime is 1 where t (s from the cue) is within the target, falling to 0 at the
// limit.
func (a *Assessment) onTime(t, target float64) float64 {
	if a.LimitS <= target {
		if t <= a.LimitS {
			return 1
		}
		return 0
	}
	return clamp01((a.LimitS - t) / (a.LimitS - target))
}

// othersOnTime is the least part of the demands other than the first right
// action, each with its own time as the target: where the craft acts by itself,
// call and sticks are both the task.
func (a *Assessment) othersOnTime(d *judge.Drill, f *judge.Facts) float64 {
	least := 1.0
	for i := range d.DemandCount {
		demand := &d.Demands[i]
		if demand.First || demand.Within >= judge.NoLimit {
			continue
		}
		part := 0.0
		if f.Done[i] != judge.Never {
			part = a.onTime(float64(f.Done[i]-max(f.Cue, f.Onset, 0))/1000, float64(demand.Within)/1000)
		}
		least = math.Min(least, part)
	}
	return least
}

// planPart is the share of demands met, for runs without an event.
func (a *Assessment) planPart() float64 {
	if len(a.Demands) == 0 {
		return 1
	}
	met := 0
	for _, demand := range a.Demands {
		if demand.Met {
			met++
		}
	}
	return float64(met) / float64(len(a.Demands))
}

func (a *Assessment) actionPart() float64 {
	cost := orderCost * float64(a.OrderErrors)
	for _, commission := range a.Commissions {
		cost += gradeCost(commission.Grade)
	}
	for _, exceedance := range a.Exceedances {
		cost += gradeCost(exceedance.Grade)
	}
	return math.Max(0, a.planPart()-cost)
}

func gradeCost(grade string) float64 {
	switch grade {
	case judge.Minor.String():
		return minorCost
	case judge.Major.String():
		return majorCost
	}
	return 0
}

// controlPart is the mean of excursion, clearance and touchdown; where the
// craft could not be saved, or is rightly cut off, it is whether harm was
// limited.
func (a *Assessment) controlPart(d *judge.Drill, f *judge.Facts) float64 {
	if a.Available.Known && !a.Available.Saveable || cutOffEvent(d) || rightlyCutOff(d, f) {
		return limitedHarm(f)
	}
	parts := []float64{1 - clamp01((a.MaxAwayM-awayFull)/math.Max(f.Margin-awayFull, 0.1))}
	if f.Cue == judge.Never {
		parts[0] = 1
	}
	if a.MinWallM != nil {
		parts = append(parts, clamp01(*a.MinWallM/clearFull))
	}
	if a.TouchdownM != nil {
		parts = append(parts, 1-clamp01((*a.TouchdownM-touchFull)/(touchNone-touchFull)))
	}
	sum := 0.0
	for _, p := range parts {
		sum += p
	}
	return sum / float64(len(parts))
}

func limitedHarm(f *judge.Facts) float64 {
	down := f.FloorTouch
	if down == judge.Never {
		down = f.Hard
	}
	stopped := f.MotorsOff != judge.Never && (down == judge.Never || f.MotorsOff-down <= stopWithin)
	if stopped && f.Fail[judge.FailPerson] == judge.Never && f.Fail[judge.FailCutOver] == judge.Never {
		return 1
	}
	return 0
}

func (a *Assessment) procedurePart() float64 {
	p := 0.0
	if a.CallMade {
		p += 0.5
	}
	if a.Secured == a.SecureSteps || !a.Securing {
		p += 0.5
	}
	return p
}

func (a *Assessment) weighed(w judge.Weights) float64 {
	if len(a.HardFails) > 0 || a.totalOmission() {
		return 0
	}
	return 100 * (w.Time*a.Parts.Time + w.Actions*a.Parts.Actions + w.Control*a.Parts.Control + w.Procedure*a.Parts.Procedure)
}

func (a *Assessment) totalOmission() bool {
	for _, r := range a.Reasons {
		if r.Rule == "total-omission" {
			return true
		}
	}
	return false
}

// weighedRange moves each weight by ±0.1, the others keeping their ratios.
func (a *Assessment) weighedRange(w judge.Weights) [2]float64 {
	lo, hi := a.Number, a.Number
	for i := range 4 {
		for _, by := range []float64{-0.1, 0.1} {
			n := a.weighed(shift(w, i, by))
			lo, hi = math.Min(lo, n), math.Max(hi, n)
		}
	}
	return [2]float64{lo, hi}
}

func shift(w judge.Weights, i int, by float64) judge.Weights {
	all := [4]*float64{&w.Time, &w.Actions, &w.Control, &w.Procedure}
	old := *all[i]
	moved := clamp01(old + by)
	for k, p := range all {
		if k == i {
			*p = moved
		} else if old < 1 {
			*p *= (1 - moved) / (1 - old)
		}
	}
	return w
}

func clamp01(x float64) float64 { return math.Max(0, math.Min(1, x)) }
