// Package score turns what the judge noted into what a person is told: GO or
// NO-GO and why, the times, how long there was to act, and one number for the
// trend.
//
//  1. available.go forks the world at the cue and asks how late the right
//     action could still have come
//  2. assess.go compares what was done with what was asked
//  3. hotwash.go says it in sentences
//
// Three layers, in this order of weight: GO or NO-GO is what matters, the facts
// are what is talked about, the number is for the trend alone.
package score

import (
	"fmt"
	"math"

	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
)

// Verdict is the result of a run.
type Verdict string

// The verdicts.
const (
	Go       Verdict = "GO"
	NoGo     Verdict = "NO-GO"
	Void     Verdict = "VOID"
	Unscored Verdict = "UNSCORED" // a demonstration: what happened is told and not judged
)

// Assessment is everything that is reported of a run. Times are seconds from
// the start of the run unless the name says otherwise; one that never came is
// null.
type Assessment struct {
	Verdict Verdict  `json:"verdict"`
	Band    string   `json:"band"` // desired, adequate, inadequate; empty when void or unscored
	Reasons []Reason `json:"reasons"`

	Event     uint8  `json:"event"`
	Class     string `json:"class"`
	Announced string `json:"announced"` // no, kind, fully

	OnsetS       *float64 `json:"onset_s"`
	CueS         *float64 `json:"cue_s"`
	CueSign      string   `json:"cue_sign,omitempty"`
	FirstInputS  *float64 `json:"first_input_s"`
	FirstRightS  *float64 `json:"first_right_s"`
	CompleteS    *float64 `json:"complete_s"`
	SafeS        *float64 `json:"safe_s"`
	EndS         float64  `json:"end_s"`
	EndedBecause string   `json:"ended_because"`

	ToFirstRightS *float64  `json:"time_to_first_right_s"` // from the cue
	BeforeCue     bool      `json:"right_before_cue"`
	Anticipation  bool      `json:"anticipation"` // sooner than 0.1 s after the cue
	TargetS       float64   `json:"target_s"`
	LimitS        float64   `json:"limit_s"`
	EnduranceS    *float64  `json:"endurance_s"` // of the battery, from the cue; where the answer is to land soon
	Available     Available `json:"available"`
	UsedShare     *float64  `json:"used_share"` // of the time available, saveable events only

	Demands     []DemandResult     `json:"demands"`
	Commissions []CommissionResult `json:"commissions"`
	Exceedances []ExceedanceResult `json:"exceedances"`
	OrderErrors int64              `json:"order_errors"`
	CallMade    bool               `json:"call_made"`
	Secured     int                `json:"secured_steps"`   // in order
	SecureSteps int                `json:"steps_to_secure"` // 4; 3 with a pack that has smoked, which nobody touches
	Securing    bool               `json:"asks_securing"`   // it flew, or an event came: it had to be secured
	HardFails   []HardFailResult   `json:"hard_fails"`
	Work        *WorkResult        `json:"before_flight"` // null where nothing was asked before a flight

	Outcome    string   `json:"outcome"`
	OutcomeS   *float64 `json:"outcome_s"`
	TouchdownM *float64 `json:"touchdown_m_s"`
	MaxAwayM   float64  `json:"max_away_m"`
	MinWallM   *float64 `json:"min_clearance_m"`
	MaxTilt    float64  `json:"max_tilt_deg"`

	Parts       Parts         `json:"parts"`
	Number      float64       `json:"number"`
	NumberRange [2]float64    `json:"number_range"` // over each weight moved by 0.1
	Weights     judge.Weights `json:"weights"`
}

// Reason is one thing that decided the verdict, with its evidence.
type Reason struct {
	Rule      string   `json:"rule"`
	Says      string   `json:"says"`
	AtS       *float64 `json:"at_s"`
	Value     *float64 `json:"value"`
	Threshold *float64 `json:"threshold"`
}

// DemandResult is one required action.
type DemandResult struct {
	Action   string   `json:"action"`
	DoneS    *float64 `json:"done_s"`
	EarlyS   *float64 `json:"early_s"`  // done, but before what it must follow; null otherwise
	WithinS  *float64 `json:"within_s"` // from the cue; null when there is no limit
	Critical bool     `json:"critical"`
	Met      bool     `json:"met"`
}

// CommissionResult is one thing done that should not have been.
type CommissionResult struct {
	Action string  `json:"action"`
	Grade  string  `json:"grade"`
	AtS    float64 `json:"at_s"`
}

// ExceedanceResult is one limit of the flight that was passed.
type ExceedanceResult struct {
	Says  string  `json:"says"`
	Grade string  `json:"grade"`
	AtS   float64 `json:"at_s"`
}

// HardFailResult is one hard fail.
type HardFailResult struct {
	Says string  `json:"says"`
	AtS  float64 `json:"at_s"`
}

// Parts are the four parts of the trend number, each 0 … 1.
type Parts struct {
	Time      float64 `json:"time"`
	Actions   float64 `json:"actions"`
	Control   float64 `json:"control"`
	Procedure float64 `json:"procedure"`
}

// Assess judges a finished run. available says how long there was to act; pass
// the zero Available where it was not computed.
func Assess(c *sim.Conditions, r *sim.Result, available Available) Assessment {
	w := &r.End
	f := &w.Judge
	d := &c.Drill
	a := Assessment{
		Event: d.Event, Class: d.Class.String(), Announced: d.Announced.String(),
		OnsetS: seconds(f.Onset), CueS: seconds(f.Cue), FirstInputS: seconds(f.FirstInput),
		FirstRightS: seconds(f.FirstRight), CompleteS: seconds(f.Complete), SafeS: seconds(f.Safe),
		EndS: float64(w.Tick) / 1000, EndedBecause: r.Why.Words(),
		TargetS: d.Target, LimitS: d.Limit, Available: available, Weights: d.Weights,
		OrderErrors: f.OrderErrors, CallMade: d.Call == hands.CallNone || f.CallMade != judge.Never,
		SecureSteps: stepsToSecure(f),
		Securing:    f.Airborne != judge.Never || f.Cue != judge.Never,
		Outcome:     f.HardKind.Words(), OutcomeS: seconds(f.Hard), MaxAwayM: f.MaxAway, MaxTilt: f.MaxTilt * 180 / math.Pi,
	}
	if f.Cue != judge.Never {
		a.CueSign = d.Cues[f.CueRule].Sign.String()
	}
	if f.FloorTouch != judge.Never {
		a.TouchdownM = number(f.Touchdown)
	}
	if f.MinWall < 1e3 {
		a.MinWallM = number(f.MinWall)
	}
	a.timesToAct(d, f)
	a.listDemands(c, f)
	a.listCommissions(d, f)
	a.listExceedances(d, f)
	a.listHardFails(d, f)
	a.countSecured(f)
	a.Work = workOf(c, w)
	a.decide(c, w)
	a.count(c, f)
	return a
}

// timesToAct fills the time to the first right action and what limits it: the
// class, the time available, and where landing soon is asked half of what the
// battery has left, though never less than the target.
func (a *Assessment) timesToAct(d *judge.Drill, f *judge.Facts) {
	if d.Class == judge.ClassD && f.Cue != judge.Never {
		a.EnduranceS = number(f.Endurance)
		a.LimitS = math.Min(a.LimitS, math.Max(d.Target, f.Endurance/2))
	}
	if a.Available.Known && a.Available.Saveable && !a.Available.Hand.AtLeast {
		a.LimitS = math.Min(a.LimitS, a.Available.Hand.Seconds)
	}
	if d.Class == judge.ClassN || f.FirstRight == judge.Never || f.Cue == judge.Never && f.Onset == judge.Never {
		return
	}
	if f.Cue == judge.Never || f.FirstRight < f.Cue {
		a.BeforeCue, a.ToFirstRightS = true, number(0)
		return
	}
	t := float64(f.FirstRight-f.Cue) / 1000
	a.ToFirstRightS, a.Anticipation = &t, t < 0.1
	if a.Available.Known && a.Available.Saveable && a.Available.Hand.Seconds > 0 && !a.Available.Hand.AtLeast {
		a.UsedShare = number(t / a.Available.Hand.Seconds)
		a.Available.LeftS = number(a.Available.Hand.Seconds - t)
	}
}

func (a *Assessment) listDemands(c *sim.Conditions, f *judge.Facts) {
	a.Demands, a.Commissions, a.HardFails, a.Reasons = []DemandResult{}, []CommissionResult{}, []HardFailResult{}, []Reason{}
	start := max(f.Cue, f.Onset, 0)
	for i := range c.Drill.DemandCount {
		demand := &c.Drill.Demands[i]
		result := DemandResult{Action: demandWords(demand), DoneS: seconds(f.Done[i]), Critical: demand.Critical,
			Met: f.Done[i] != judge.Never}
		if f.Done[i] == judge.Never && demand.IsAct() {
			result.EarlyS = seconds(f.Began[i])
		}
		if demand.Within < judge.NoLimit {
			result.WithinS = number(float64(demand.Within) / 1000)
			result.Met = result.Met && f.Done[i]-start <= demand.Within
		}
		a.Demands = append(a.Demands, result)
	}
}

func (a *Assessment) listCommissions(d *judge.Drill, f *judge.Facts) {
	for i := range d.CommissionCount {
		if f.Committed[i] != judge.Never {
			a.Commissions = append(a.Commissions, CommissionResult{deedWords(&d.Commissions[i].Deed),
				d.Commissions[i].Grade.String(), float64(f.Committed[i]) / 1000})
		}
	}
}

func (a *Assessment) listExceedances(d *judge.Drill, f *judge.Facts) {
	a.Exceedances = []ExceedanceResult{}
	for i := range d.ExceedanceCount {
		if x := &d.Exceedances[i]; f.Exceeded[i] != judge.Never {
			a.Exceedances = append(a.Exceedances, ExceedanceResult{signSays(&x.Rule), x.Grade.String(), float64(f.Exceeded[i]) / 1000})
		}
	}
}

func (a *Assessment) listHardFails(d *judge.Drill, f *judge.Facts) {
	for i := range judge.Fails {
		excused := judge.Fail(i) == judge.FailCage && !a.saveable(d)
		if f.Fail[i] != judge.Never && !excused {
			a.HardFails = append(a.HardFails, HardFailResult{judge.Fail(i).Words(), float64(f.Fail[i]) / 1000})
		}
	}
}

// countSecured counts the steps that end every event, as far as they were taken
// in order: throttle lowest, disarmed, cut-off held, battery out. A cut-off that
// was engaged sooner, as the first right action may be, counts where it was held
// from then to the end.
func (a *Assessment) countSecured(f *judge.Facts) {
	last := int64(0)
	for i, t := range f.Secured[:stepsToSecure(f)] {
		if i == stepCutOff && t != judge.Never && f.CutOffSince != judge.Never && f.CutOffSince <= last {
			t = last
		}
		if t == judge.Never || t < last {
			return
		}
		last = t
		a.Secured++
	}
}

// stepsToSecure is how many steps end an event: a pack that has smoked stays where
// it is.
func stepsToSecure(f *judge.Facts) int {
	if f.Smoked {
		return stepCutOff + 1
	}
	return len(f.Secured)
}

// stepCutOff is the place of the cut-off in Facts.Secured.
const stepCutOff = 2

// decide applies the rules of GO: no hard fail, no critical omission, no
// critical commission, and the first right action within the limit.
func (a *Assessment) decide(c *sim.Conditions, w *sim.World) {
	f, d := &w.Judge, &c.Drill
	if w.Void.Reason != sim.VoidNot {
		a.Verdict = Void
		a.because("void", w.Void.Reason.Words(), seconds(w.Void.Tick), nil, nil)
		return
	}
	if d.Class != judge.ClassN && f.Onset != judge.Never && f.Cue == judge.Never && f.FirstRight == judge.Never {
		a.Verdict = Void
		a.because("no-cue", "the event began but nothing a person could perceive came of it before the end", seconds(f.Onset), nil, nil)
		return
	}
	if d.Emerges && f.Cue == judge.Never {
		a.Verdict = Void
		a.because("no-event", "the event did not come", nil, nil, nil)
		return
	}
	if d.Class != judge.ClassN && f.Onset == judge.Never {
		a.Verdict = Void
		a.because("no-event", "the run ended before the event began", nil, nil, nil)
		return
	}
	if d.Demonstration {
		a.Verdict = Unscored
		return
	}
	a.noGoReasons(d, f)
	a.Verdict = Go
	if len(a.Reasons) > 0 {
		a.Verdict = NoGo
	}
	a.Band = a.band()
}

func (a *Assessment) noGoReasons(d *judge.Drill, f *judge.Facts) {
	for _, fail := range a.HardFails {
		a.because("hard-fail", fail.Says, &fail.AtS, nil, nil)
	}
	a.hardReasons(d, f)
	for _, demand := range a.Demands {
		if demand.Critical && !demand.Met {
			says := "left out: " + demand.Action
			switch {
			case demand.DoneS != nil:
				says = "too late: " + demand.Action
			case demand.EarlyS != nil:
				says = "out of order: " + demand.Action
			}
			a.because("critical-omission", says, demand.DoneS, nil, demand.WithinS)
		}
	}
	for _, commission := range a.Commissions {
		if commission.Grade == judge.Critical.String() {
			a.because("critical-commission", "should not have been done: "+commission.Action, &commission.AtS, nil, nil)
		}
	}
	for _, x := range a.Exceedances {
		if x.Grade == judge.Critical.String() {
			a.because("exceedance", "a limit of the flight was passed: "+x.Says, &x.AtS, nil, nil)
		}
	}
	if t := a.ToFirstRightS; t != nil && *t > a.LimitS && d.Class != judge.ClassN {
		a.because("too-late", fmt.Sprintf("the first right action came %.1f s after the cue; the limit was %.1f s", *t, a.LimitS),
			a.FirstRightS, t, number(a.LimitS))
	}
	if a.ToFirstRightS == nil && d.Class != judge.ClassN {
		a.because("no-right-action", "no right action was taken", nil, nil, number(a.LimitS))
	}
}

// hardReasons says what a hard outcome means: nothing where nobody could have
// prevented it, or where the right action brings the craft down by itself; a
// total omission where nothing right was done before it.
func (a *Assessment) hardReasons(d *judge.Drill, f *judge.Facts) {
	if f.Hard == judge.Never || !a.saveable(d) || rightlyCutOff(d, f) {
		return
	}
	switch {
	case d.Class == judge.ClassN:
		a.because("hard-outcome", f.HardKind.Words(), seconds(f.Hard), nil, nil)
	case f.FirstRight == judge.Never || f.FirstRight > f.Hard:
		a.because("total-omission", "no right action came before "+f.HardKind.Words(), seconds(f.Hard), nil, nil)
	default:
		a.because("hard-outcome", "the craft could have been saved, and "+f.HardKind.Words(), seconds(f.Hard), nil, nil)
	}
}

// saveable tells whether the craft's fate counts. Where the craft acts by itself
// and people can only be warned, it does not. Where the time available was not
// computed, a craft counts as saveable unless the right action is the cut-off,
// which brings it down by itself.
func (a *Assessment) saveable(d *judge.Drill) bool {
	if d.Class == judge.ClassE {
		return false
	}
	if a.Available.Known {
		return a.Available.Saveable
	}
	return !cutOffEvent(d)
}

// cutOffEvent tells whether the right action is to cut off the motors.
func cutOffEvent(d *judge.Drill) bool {
	for i := range d.DemandCount {
		if d.Demands[i].First {
			return d.Demands[i].AnyOf[0].Kind == judge.DeedCutOff
		}
	}
	return false
}

// rightlyCutOff tells whether the first right action was a cut-off that the
// drill permits, as a procedures file may: what follows is its consequence.
func rightlyCutOff(d *judge.Drill, f *judge.Facts) bool {
	if f.FirstRight == judge.Never || f.CutInFlight != f.FirstRight {
		return false
	}
	for i := range d.DemandCount {
		for k := range d.Demands[i].Count {
			if d.Demands[i].First && d.Demands[i].AnyOf[k].Kind == judge.DeedCutOff {
				return true
			}
		}
	}
	return false
}

func (a *Assessment) because(rule, says string, at, value, threshold *float64) {
	a.Reasons = append(a.Reasons, Reason{rule, says, at, value, threshold})
}

// band is the rating in handling-qualities words: desired, adequate, inadequate
// (ADS-33E-PRF, 2000, from memory). Desired is on target and without an error; a
// demand left out or met too late is one.
func (a *Assessment) band() string {
	switch {
	case a.Verdict == NoGo:
		return "inadequate"
	case a.withoutError() && (a.ToFirstRightS == nil || *a.ToFirstRightS <= a.TargetS):
		return "desired"
	}
	return "adequate"
}

func (a *Assessment) withoutError() bool {
	for _, demand := range a.Demands {
		if !demand.Met {
			return false
		}
	}
	return len(a.Commissions) == 0 && len(a.Exceedances) == 0 && a.OrderErrors == 0
}

func seconds(tick int64) *float64 {
	if tick == judge.Never {
		return nil
	}
	return number(float64(tick) / 1000)
}

func number(x float64) *float64 { return &x }
