package score

import (
	"fmt"

	"lapwing/sim"
	"lapwing/sim/judge"
)

// Loss is something that took points off the trend number: by which rule, with
// what was measured and what the rule compares it with.
type Loss struct {
	Rule      string   `json:"rule"`
	Says      string   `json:"says"`
	Value     *float64 `json:"value"`
	Threshold *float64 `json:"threshold"`
	Unit      string   `json:"unit,omitempty"` // of both
	Points    float64  `json:"points"`         // of 100, before a part is held to 0
}

// Lost lists what took points off, in the order of the parts. A run that was not
// judged has lost nothing; a hard fail takes all there is.
func (a *Assessment) Lost(c *sim.Conditions, r *sim.Result) []Loss {
	if a.Verdict == Void || a.Verdict == Unscored {
		return nil
	}
	var all []Loss
	for _, fail := range a.HardFails {
		all = append(all, Loss{Rule: "hard fail", Says: fail.Says, Points: 100})
	}
	w := &a.Weights
	all = append(all, a.lostTime(c, 100*w.Time)...)
	all = append(all, a.lostActions(100*w.Actions)...)
	all = append(all, a.lostControl(&c.Drill, &r.End.Judge, 100*w.Control)...)
	return append(all, a.lostProcedure(100*w.Procedure)...)
}

func (a *Assessment) lostTime(c *sim.Conditions, points float64) []Loss {
	if a.Parts.Time >= 1 {
		return nil
	}
	l := Loss{Rule: "time", Says: "the first right action never came", Points: points * (1 - a.Parts.Time)}
	switch {
	case c.Drill.Class == judge.ClassN:
		l.Says = "what was asked was not all done"
	case a.ToFirstRightS != nil:
		l.Says, l.Value, l.Threshold, l.Unit = "the first right action after the cue", a.ToFirstRightS, number(a.TargetS), "s"
	}
	return []Loss{l}
}

func (a *Assessment) lostActions(points float64) (all []Loss) {
	for _, d := range a.Demands {
		if !d.Met {
			all = append(all, Loss{Rule: "actions", Says: "left out, or too late: " + d.Action, Value: d.DoneS, Threshold: d.WithinS, Unit: "s",
				Points: points / float64(len(a.Demands))})
		}
	}
	if a.OrderErrors > 0 {
		all = append(all, Loss{Rule: "actions", Says: fmt.Sprintf("out of order, %d times", a.OrderErrors), Points: points * orderCost * float64(a.OrderErrors)})
	}
	for _, x := range a.Commissions {
		all = append(all, Loss{Rule: "actions", Says: x.Grade + " error: " + x.Action, Points: points * gradeCost(x.Grade)})
	}
	for _, x := range a.Exceedances {
		all = append(all, Loss{Rule: "actions", Says: x.Grade + " exceedance: " + x.Says, Points: points * gradeCost(x.Grade)})
	}
	return all
}

func (a *Assessment) lostControl(d *judge.Drill, f *judge.Facts, points float64) (all []Loss) {
	lost := func(is bool, l Loss) {
		l.Rule = "control"
		if is {
			all = append(all, l)
		}
	}
	if a.Available.Known && !a.Available.Saveable || cutOffEvent(d) || rightlyCutOff(d, f) {
		lost(a.Parts.Control < 1, Loss{Says: "harm was not limited", Points: points * (1 - a.Parts.Control)})
		return all
	}
	share := points / float64(1+count(a.MinWallM != nil)+count(a.TouchdownM != nil))
	if f.Cue != judge.Never {
		over := clamp01((a.MaxAwayM - awayFull) / max(f.Margin-awayFull, 0.1))
		lost(over > 0, Loss{Says: "away from where it should have been", Value: number(a.MaxAwayM), Threshold: number(awayFull), Unit: "m", Points: share * over})
	}
	if a.MinWallM != nil {
		near := 1 - clamp01(*a.MinWallM/clearFull)
		lost(near > 0, Loss{Says: "near a net, wall or box", Value: a.MinWallM, Threshold: number(clearFull), Unit: "m", Points: share * near})
	}
	if a.TouchdownM != nil {
		hard := clamp01((*a.TouchdownM - touchFull) / (touchNone - touchFull))
		lost(hard > 0, Loss{Says: "touched down", Value: a.TouchdownM, Threshold: number(touchFull), Unit: "m/s", Points: share * hard})
	}
	return all
}

func (a *Assessment) lostProcedure(points float64) (all []Loss) {
	if !a.CallMade {
		all = append(all, Loss{Rule: "procedure", Says: "the call that belongs to it was not made", Points: points / 2})
	}
	if a.Secured < a.SecureSteps && a.Securing {
		all = append(all, Loss{Rule: "procedure", Says: "steps of securing in order", Value: number(float64(a.Secured)), Threshold: number(float64(a.SecureSteps)), Points: points / 2})
	}
	return all
}

func count(is bool) int {
	if is {
		return 1
	}
	return 0
}
