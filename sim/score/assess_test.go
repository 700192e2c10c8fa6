package score

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// takeOver is a drill of class B as a scenario would give it: an unannounced
// path that runs off.
func takeOver() judge.Drill {
	d := judge.Drill{Event: 8, Class: judge.ClassB, Target: 2.5, Limit: 6, CueCount: 1, DemandCount: 2, CommissionCount: 2,
		Call: hands.CallTakingOver, Outcome: judge.DefaultOutcome(), Weights: judge.DefaultWeights()}
	d.Cues[0] = percept.Rule{Sign: percept.SignAway, Above: 0.5}
	d.Demands[0] = judge.Demand{AnyOf: [judge.MaxChoices]judge.Deed{{Kind: judge.DeedAttitude}}, Count: 1, Within: judge.NoLimit, Critical: true, First: true}
	d.Demands[1] = judge.Demand{AnyOf: [judge.MaxChoices]judge.Deed{{Kind: judge.DeedTouchdown}}, Count: 1, Within: 15000, Ordered: true}
	d.Commissions[0] = judge.Commission{Deed: judge.Deed{Kind: judge.DeedThrottleOff, Level: 0.2}, Grade: judge.Minor}
	d.Commissions[1] = judge.Commission{Deed: judge.Deed{Kind: judge.DeedCutOff}, Grade: judge.Major}
	return d
}

// answered is a run of takeOver in which attitude was selected 2.9 s after the
// cue and everything but holding the cut-off was done.
func answered() sim.Result {
	f := judge.Start()
	f.Airborne, f.Onset, f.Cue = 5000, 20000, 20500
	f.FirstInput, f.FirstRight = 23400, 23400
	f.Done[0], f.Done[1], f.Complete = 23400, 30000, 30000
	f.Committed[0] = 23400 // throttle 30 % off the mark
	f.CallMade = 24000
	f.Margin, f.MaxAway, f.MinWall, f.Touchdown, f.FloorTouch = 2, 0.8, 0.6, 0.7, 30000
	f.Secured = [4]int64{30100, 31000, judge.Never, 33000}
	f.MotorsOff, f.Safe = 31000, 31000
	return sim.Result{End: sim.World{Tick: 35000, Judge: f, Void: sim.Void{Tick: judge.Never}}}
}

func available(seconds float64, saveable bool) Available {
	w := Window{Seconds: seconds, Low: seconds, High: seconds}
	return Available{Known: true, Saveable: saveable, Ideal: w, Hand: w}
}

// Goal: the number is the one that a person gets with pencil and paper. Method:
// each case states its arithmetic, by the rules
// T = (L − t)/(L − target), A = done/required − 0.15 minor − 0.30 major − 0.10 order,
// C = mean(excursion, clearance, touchdown), P = ½ call + ½ secured.
func TestNumberByHand(t *testing.T) {
	cases := []struct {
		name    string
		change  func(d *judge.Drill, f *judge.Facts)
		have    Available
		verdict Verdict
		band    string
		parts   Parts
		number  float64
	}{
		{
			// L = 3.4. T = (3.4−2.9)/(3.4−2.5) = 0.5556. A = 1 − 0.15 = 0.85.
			// excursion 1−(0.8−0.5)/(2−0.5) = 0.80, clearance 1, touchdown 1−(0.7−0.5)/1.5 = 0.8667: C = 0.8889.
			// P = 0.5. 35·0.5556 + 35·0.85 + 20·0.8889 + 10·0.5 = 19.44 + 29.75 + 17.78 + 5 = 71.97.
			name: "late, throttle off the mark, cut-off not held", have: available(3.4, true),
			verdict: Go, band: "adequate", parts: Parts{0.5556, 0.85, 0.8889, 0.5}, number: 71.97,
		},
		{
			// On target with nothing wrong: T = 1, A = 1, C = 1, P = 1.
			name: "on target", have: available(3.4, true),
			change: func(_ *judge.Drill, f *judge.Facts) {
				f.FirstRight, f.Done[0], f.Committed[0] = 22900, 22900, judge.Never
				f.MaxAway, f.Touchdown = 0.4, 0.3
				f.Secured[2] = 31500
			},
			verdict: Go, band: "desired", parts: Parts{1, 1, 1, 1}, number: 100,
		},
		{
			// 3.5 s > L = 3.4: NO-GO, T = 0. 0 + 29.75 + 17.78 + 5 = 52.53.
			name: "later than there was time for", have: available(3.4, true),
			change:  func(_ *judge.Drill, f *judge.Facts) { f.FirstRight, f.Done[0] = 24000, 24000 },
			verdict: NoGo, band: "inadequate", parts: Parts{0, 0.85, 0.8889, 0.5}, number: 52.53,
		},
		{
			// Not saveable: L is the class limit. T = (6−2.9)/(6−2.5) = 0.8857; C is harm:
			// motors stopped 1.0 s after ground contact, nobody hurt: 1. 31.0 + 29.75 + 20 + 5 = 85.75.
			name: "not saveable counts harm", have: available(1.0, false),
			verdict: Go, band: "adequate", parts: Parts{0.8857, 0.85, 1, 0.5}, number: 85.75,
		},
		{
			// A = 1 − 0.15 − 0.30 = 0.55. 19.44 + 19.25 + 17.78 + 5 = 61.47.
			name: "an unneeded cut-off", have: available(3.4, true),
			change:  func(_ *judge.Drill, f *judge.Facts) { f.Committed[1], f.CutInFlight = 24000, 24000 },
			verdict: Go, band: "adequate", parts: Parts{0.5556, 0.55, 0.8889, 0.5}, number: 61.47,
		},
		{
			// The laboratory's procedures permit the cut-off: 2.4 s after the cue is on
			// target, T = 1. A = 1 − 0.30 for the major that this drill still has = 0.70,
			// C is harm: motors off 1.0 s after ground contact: 1. 35 + 24.5 + 20 + 5 = 84.5.
			name: "a cut-off that the procedures permit", have: available(3.4, true),
			change: func(d *judge.Drill, f *judge.Facts) {
				d.Demands[0].AnyOf[1], d.Demands[0].Count = judge.Deed{Kind: judge.DeedCutOff}, 2
				f.FirstRight, f.Done[0], f.CutInFlight, f.Committed[1] = 22900, 22900, 22900, 22900
				f.Committed[0] = judge.Never
				f.Hard, f.HardKind = 23400, judge.HardTouchdown
			},
			verdict: Go, band: "adequate", parts: Parts{1, 0.7, 1, 0.5}, number: 84.5,
		},
		{
			// Hold and tell: the call 2.9 s after the cue, within 3: 1; the sticks at 3.5 s
			// of 3, limit 5: (5 − 3.5)/(5 − 3) = 0.75, the lower. One demand of two in time,
			// a minor: 0.5 − 0.15 = 0.35. 26.25 + 12.25 + 17.78 + 5 = 61.28.
			name: "call in time, sticks late",
			change: func(d *judge.Drill, f *judge.Facts) {
				d.Class, d.Target, d.Limit = judge.ClassE, 3, 5
				d.Demands[1].AnyOf[0].Kind, d.Demands[1].Within, f.Done[1] = judge.DeedReturnSafe, 3000, 24000
			},
			verdict: Go, band: "adequate", parts: Parts{0.75, 0.35, 0.8889, 0.5}, number: 61.28,
		},
		{
			// On target and without an error, but the landing came 16 s after the cue where
			// 15 s are asked: half of the demands, not desired.
			// 35 + 17.5 + 17.78 + 5 = 75.28.
			name: "landed late", have: available(3.4, true),
			change: func(_ *judge.Drill, f *judge.Facts) {
				f.FirstRight, f.Done[0], f.Committed[0], f.Done[1] = 22900, 22900, judge.Never, 36500
			},
			verdict: Go, band: "adequate", parts: Parts{1, 0.5, 0.8889, 0.5}, number: 75.28,
		},
		{
			// The cut-off was held from before the throttle went down to the end: in order.
			// 19.44 + 29.75 + 17.78 + 10 = 76.97.
			name: "cut-off engaged before the rest", have: available(3.4, true),
			change:  func(_ *judge.Drill, f *judge.Facts) { f.Secured[2], f.CutOffSince = 30050, 29000 },
			verdict: Go, band: "adequate", parts: Parts{0.5556, 0.85, 0.8889, 1}, number: 76.97,
		},
		{
			// Not saveable, motors off 2.1 s after the first ground contact, whatever came
			// later: harm not limited. 31.0 + 29.75 + 0 + 5 = 65.75.
			name: "motors stopped late", have: available(1.0, false),
			change: func(_ *judge.Drill, f *judge.Facts) {
				f.MotorsOff, f.Hard, f.HardKind = 32100, 30500, judge.HardContact
			},
			verdict: Go, band: "adequate", parts: Parts{0.8857, 0.85, 0, 0.5}, number: 65.75,
		},
		{
			// Land soon, with 24 s of battery at the cue: half of it is 12 s, between the
			// target of 10 and the class limit of 30. T = (12 − 11)/(12 − 10) = 0.5.
			// 17.5 + 29.75 + 17.78 + 5 = 70.03.
			name: "half the endurance is the limit",
			change: func(d *judge.Drill, f *judge.Facts) {
				d.Class, d.Target, d.Limit, f.Endurance = judge.ClassD, 10, 30, 24
				f.FirstRight, f.Done[0], f.Done[1] = 31500, 31500, 32000
			},
			verdict: Go, band: "adequate", parts: Parts{0.5, 0.85, 0.8889, 0.5}, number: 70.03,
		},
		{
			// With 8 s left half would be 4 s, below the target: the target is the limit,
			// and 10.0 s are on time. T = 1. 35 + 29.75 + 17.78 + 5 = 87.53.
			name: "never a limit below the target",
			change: func(d *judge.Drill, f *judge.Facts) {
				d.Class, d.Target, d.Limit, f.Endurance = judge.ClassD, 10, 30, 8
				f.FirstRight, f.Done[0], f.Done[1] = 30500, 30500, 31000
			},
			verdict: Go, band: "adequate", parts: Parts{1, 0.85, 0.8889, 0.5}, number: 87.53,
		},
		{
			// A full battery does not loosen the class limit: 31 s are too late. T = 0.
			// The landing came 31.5 s after the cue, where 15 are asked: A = 0.5 − 0.15 = 0.35.
			// 0 + 12.25 + 17.78 + 5 = 35.03.
			name: "a long endurance loosens nothing",
			change: func(d *judge.Drill, f *judge.Facts) {
				d.Class, d.Target, d.Limit, f.Endurance = judge.ClassD, 10, 30, 300
				f.FirstRight, f.Done[0], f.Done[1] = 51500, 51500, 52000
			},
			verdict: NoGo, band: "inadequate", parts: Parts{0, 0.35, 0.8889, 0.5}, number: 35.03,
		},
		{
			// At the bench nothing flies: nothing has to be secured, the call was made. No
			// cue: excursion 1, no clearance or touchdown. 35 + 35 + 20 + 10 = 100.
			name: "a bench drill",
			change: func(d *judge.Drill, f *judge.Facts) {
				d.Class, d.CommissionCount = judge.ClassN, 0
				d.Demands[0].AnyOf[0].Kind, d.Demands[1].AnyOf[0].Kind = judge.DeedInspected, judge.DeedVerdictRight
				d.Demands[1].Within = judge.NoLimit
				done := f.Done
				*f = judge.Start()
				f.Done, f.FirstRight, f.CallMade = done, done[0], 24000
			},
			verdict: Go, band: "desired", parts: Parts{1, 1, 1, 1}, number: 100,
		},
		{
			// A hard fail: the number is 0 whatever the parts.
			name: "a hard fail", have: available(3.4, true),
			change:  func(_ *judge.Drill, f *judge.Facts) { f.Fail[judge.FailCage] = 25000 },
			verdict: NoGo, band: "inadequate", parts: Parts{0.5556, 0.85, 0.8889, 0.5}, number: 0,
		},
		{
			// Before the cue: 0 s, so T = 1. 35 + 29.75 + 17.78 + 5 = 87.53.
			name: "right before the cue", have: available(3.4, true),
			change:  func(_ *judge.Drill, f *judge.Facts) { f.FirstRight, f.Done[0] = 20300, 20300 },
			verdict: Go, band: "adequate", parts: Parts{1, 0.85, 0.8889, 0.5}, number: 87.53,
		},
		{
			// Nothing right came: total omission, 0.
			name: "nobody answered", have: available(3.4, true),
			change: func(_ *judge.Drill, f *judge.Facts) {
				f.FirstRight, f.Done, f.Committed[0], f.CallMade = judge.Never, judge.Start().Done, judge.Never, judge.Never
				f.Hard, f.HardKind = 24000, judge.HardContact
			},
			// excursion 0.80, clearance 1, touchdown 0.8667 as before.
			verdict: NoGo, band: "inadequate", parts: Parts{0, 0, 0.8889, 0}, number: 0,
		},
		{
			// Order: one error takes 0.10: A = 1 − 0.15 − 0.10 = 0.75.
			// 19.44 + 26.25 + 17.78 + 5 = 68.47.
			name: "out of order", have: available(3.4, true),
			change:  func(_ *judge.Drill, f *judge.Facts) { f.OrderErrors = 1 },
			verdict: Go, band: "adequate", parts: Parts{0.5556, 0.75, 0.8889, 0.5}, number: 68.47,
		},
		{
			// The limit may be at or below the target: then on time is 1 and late is 0.
			// t = 2.9 ≤ L = 2.9 with target 3: T = 1. 35 + 29.75 + 17.78 + 5 = 87.53.
			name: "a target beyond the limit", have: available(2.9, true),
			change:  func(d *judge.Drill, _ *judge.Facts) { d.Target = 3 },
			verdict: Go, band: "adequate", parts: Parts{1, 0.85, 0.8889, 0.5}, number: 87.53,
		},
		{
			// Time available not computed: L is the class limit, T = 0.8857.
			// 31.0 + 29.75 + 17.78 + 5 = 83.53.
			name: "without forks", have: Available{},
			verdict: Go, band: "adequate", parts: Parts{0.8857, 0.85, 0.8889, 0.5}, number: 83.53,
		},
		{
			// The first demand left out is critical: NO-GO; landing alone is half: A = 0.5.
			// T = 0: 0 + 17.5 + 17.78 + 5 = 40.28.
			name: "landed in hold", have: available(3.4, true),
			change: func(_ *judge.Drill, f *judge.Facts) {
				f.FirstRight, f.Done[0], f.Committed[0] = judge.Never, judge.Never, judge.Never
			},
			verdict: NoGo, band: "inadequate", parts: Parts{0, 0.5, 0.8889, 0.5}, number: 40.28,
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			conditions := sim.Conditions{Drill: takeOver()}
			r := answered()
			if c.change != nil {
				c.change(&conditions.Drill, &r.End.Judge)
			}
			a := Assess(&conditions, &r, c.have)
			assert.Equal(t, c.verdict, a.Verdict, a.Reasons)
			assert.Equal(t, c.band, a.Band)
			assert.InDelta(t, c.parts.Time, a.Parts.Time, 1e-4, "time")
			assert.InDelta(t, c.parts.Actions, a.Parts.Actions, 1e-4, "actions")
			assert.InDelta(t, c.parts.Control, a.Parts.Control, 1e-4, "control")
			assert.InDelta(t, c.parts.Procedure, a.Parts.Procedure, 1e-4, "procedure")
			assert.InDelta(t, c.number, a.Number, 0.01)
		})
	}
}

// Goal: the share of the time available is told for saveable events only, and a
// void run is never scored.
func TestUsedShareAndVoid(t *testing.T) {
	conditions := sim.Conditions{Drill: takeOver()}
	r := answered()
	a := Assess(&conditions, &r, available(3.4, true))
	assert.InDelta(t, 2.9/3.4, *a.UsedShare, 1e-9)
	a = Assess(&conditions, &r, available(1, false))
	assert.Nil(t, a.UsedShare)
	r.End.Void = sim.Void{Tick: 12000, Reason: sim.VoidCraft}
	a = Assess(&conditions, &r, available(3.4, true))
	assert.Equal(t, Void, a.Verdict)
	assert.Zero(t, a.Number)
}

// Goal: an event that emerges and never came is void, not a fail, whatever else
// happened; one that came is judged like any other.
func TestAnEventThatDidNotCome(t *testing.T) {
	conditions := sim.Conditions{Drill: takeOver()}
	conditions.Drill.Emerges = true
	r := answered()
	a := Assess(&conditions, &r, available(3.4, true))
	assert.Equal(t, Go, a.Verdict)

	f := &r.End.Judge
	f.Onset, f.Cue, f.FirstRight, f.Fail[judge.FailCage] = judge.Never, judge.Never, judge.Never, 9000
	a = Assess(&conditions, &r, Available{})
	assert.Equal(t, Void, a.Verdict)
	assert.Equal(t, "the event did not come", a.Reasons[0].Says)
	assert.Zero(t, a.Number)
}

// Goal: a demonstration is neither GO nor NO-GO, has no band and no number, and
// tells its facts and times.
func TestADemonstrationIsNotScored(t *testing.T) {
	conditions := sim.Conditions{Drill: takeOver()}
	conditions.Drill.Demonstration = true
	r := answered()
	r.End.Judge.Fail[judge.FailRunning] = 25000
	a := Assess(&conditions, &r, available(3.4, true))
	assert.Equal(t, Unscored, a.Verdict)
	assert.Empty(t, a.Band)
	assert.Empty(t, a.Reasons)
	assert.Zero(t, a.Number)
	assert.InDelta(t, 2.9, *a.ToFirstRightS, 1e-9)
	assert.Len(t, a.Demands, 2)
	assert.Len(t, a.Commissions, 1)
	assert.Len(t, a.HardFails, 1)
	r.End.Void = sim.Void{Tick: 12000, Reason: sim.VoidCraft}
	a = Assess(&conditions, &r, available(3.4, true))
	assert.Equal(t, Void, a.Verdict)
}
