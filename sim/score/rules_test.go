package score_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/score"
)

// tried is how many made-up runs each rule is tried on.
const tried = 20000

// checkAlways checks what holds of every assessment: GO never with a hard fail, a
// number of 0 … 100, 0 with a hard fail or when void, inside its range.
func checkAlways(t *testing.T, a *score.Assessment) {
	t.Helper()
	const rounding = 1e-9
	if a.Verdict == score.Go {
		require.Empty(t, a.HardFails)
		require.Empty(t, a.Reasons)
	}
	if a.Verdict == score.Void || len(a.HardFails) > 0 {
		require.Zero(t, a.Number)
	}
	for _, part := range []float64{a.Parts.Time, a.Parts.Actions, a.Parts.Control, a.Parts.Procedure} {
		require.True(t, part >= 0 && part <= 1, "part %v", part)
	}
	for _, n := range []float64{a.Number, a.NumberRange[0], a.NumberRange[1]} {
		require.True(t, n >= 0 && n <= 100+rounding, "number %v", n)
	}
	require.LessOrEqual(t, a.NumberRange[0], a.Number)
	require.GreaterOrEqual(t, a.NumberRange[1], a.Number)
	require.Equal(t, a.Verdict == score.NoGo, a.Band == "inadequate", "band %s", a.Band)
}

// chance makes up runs.
type chance struct{ *rand.Rand }

func (r chance) yes(share float64) bool { return r.Float64() < share }

// tick returns a tick after from, or never.
func (r chance) tick(from int64, share float64) int64 {
	if !r.yes(share) {
		return judge.Never
	}
	return from + r.Int64N(20000)
}

// drill makes up a drill of any class.
func (r chance) drill() judge.Drill {
	d := judge.Drill{Class: judge.Class(r.IntN(7)), Target: 1 + 9*r.Float64(), Limit: 1 + 29*r.Float64(),
		CueCount: 1, DemandCount: 1 + r.IntN(judge.MaxDemands), CommissionCount: r.IntN(judge.MaxCommissions + 1),
		ExceedanceCount: r.IntN(judge.MaxExceedances + 1), Outcome: judge.DefaultOutcome(), Weights: r.weights()}
	kinds := []judge.DeedKind{judge.DeedRefuge, judge.DeedCutOff, judge.DeedDescend, judge.DeedReturnSafe, judge.DeedDisarm}
	for i := range d.DemandCount {
		m := &d.Demands[i]
		m.Count, m.AnyOf[0].Kind = 1, kinds[r.IntN(len(kinds))]
		m.Within, m.Critical, m.First, m.Ordered = judge.NoLimit, r.yes(0.3), i == 0, r.yes(0.3)
		if r.yes(0.7) {
			m.Within = 1000 + r.Int64N(20000)
		}
	}
	for i := range d.CommissionCount {
		d.Commissions[i].Deed.Kind, d.Commissions[i].Grade = judge.DeedStir, judge.Grade(r.IntN(3))
	}
	for i := range d.ExceedanceCount {
		d.Exceedances[i].Grade = judge.Grade(r.IntN(3))
	}
	return d
}

// weights makes up weights whose sum is 1, one of them nearly all now and then.
func (r chance) weights() judge.Weights {
	w := [4]float64{r.Float64(), r.Float64(), r.Float64(), r.Float64()}
	if r.yes(0.2) {
		w[r.IntN(4)] = 50
	}
	sum := w[0] + w[1] + w[2] + w[3]
	return judge.Weights{Time: w[0] / sum, Actions: w[1] / sum, Control: w[2] / sum, Procedure: w[3] / sum}
}

// run makes up what happened in a run of d.
func (r chance) run(d *judge.Drill) sim.Result {
	f := judge.Start()
	f.Airborne = 5000
	if d.Class != judge.ClassN && r.yes(0.95) {
		f.Onset = 20000
		if r.yes(0.95) {
			f.Cue = f.Onset + r.Int64N(2000)
		}
	}
	start := max(f.Cue, f.Onset, f.Airborne)
	for i := range d.DemandCount {
		f.Done[i] = r.tick(start-200, 0.8)
	}
	f.FirstRight = f.Done[0]
	for i := range d.CommissionCount {
		f.Committed[i] = r.tick(start, 0.15)
	}
	for i := range d.ExceedanceCount {
		f.Exceeded[i] = r.tick(start, 0.15)
	}
	for i := range f.Fail {
		f.Fail[i] = r.tick(start, 0.03)
	}
	if f.Hard = r.tick(start, 0.4); f.Hard != judge.Never {
		f.HardKind = judge.HardKind(1 + r.IntN(5))
	}
	f.OrderErrors, f.CallMade, f.CutInFlight = r.Int64N(3), r.tick(start, 0.5), r.tick(start, 0.2)
	f.Margin, f.MaxAway, f.MinWall = 3*r.Float64(), 4*r.Float64(), 3*r.Float64()-0.3
	f.FloorTouch, f.Touchdown, f.MotorsOff = r.tick(start, 0.7), 6*r.Float64(), r.tick(start, 0.8)
	for i := range f.Secured {
		f.Secured[i] = r.tick(start+int64(i)*10000, 0.8)
	}
	f.CutOffSince = r.tick(start, 0.5)
	void := sim.Void{Tick: judge.Never}
	if r.yes(0.02) {
		void = sim.Void{Tick: start, Reason: sim.VoidCraft}
	}
	return sim.Result{End: sim.World{Tick: start + 60000, Judge: f, Void: void}}
}

func (r chance) available() score.Available {
	s := 8 * r.Float64()
	w := score.Window{Seconds: s, Low: s, High: s, AtLeast: r.yes(0.2)}
	return score.Available{Known: r.yes(0.8), Saveable: r.yes(0.7), Ideal: w, Hand: w}
}

// Goal: what must hold of every score holds. Method: made-up drills and runs,
// most of them stranger than flying brings forth; that each verdict is among them
// is checked too.
func TestRulesOfEveryScore(t *testing.T) {
	r := chance{rand.New(rand.NewPCG(1, 2))}
	seen := map[string]int{}
	for range tried {
		c := sim.Conditions{Drill: r.drill()}
		result := r.run(&c.Drill)
		a := score.Assess(&c, &result, r.available())
		checkAlways(t, &a)
		seen[fmt.Sprint(a.Verdict, " ", a.Band)]++
		if len(a.HardFails) > 0 {
			seen["hard fail"]++
		}
	}
	for _, kind := range []string{"GO desired", "GO adequate", "NO-GO inadequate", "VOID ", "hard fail"} {
		assert.Greater(t, seen[kind], 50, kind)
	}
}

// Goal: who acts later is never better off, in the verdict or the number. Method:
// made-up runs, each again with the first right action later and all else as it
// was. A cut-off that is itself the right action moves with it.
func TestLaterIsNeverBetter(t *testing.T) {
	r := chance{rand.New(rand.NewPCG(3, 4))}
	fell := 0
	for range tried {
		c := sim.Conditions{Drill: r.drill()}
		result := r.run(&c.Drill)
		f := &result.End.Judge
		if f.FirstRight == judge.Never {
			continue
		}
		have := r.available()
		if c.Drill.Demands[0].AnyOf[0].Kind == judge.DeedCutOff {
			f.CutInFlight = f.FirstRight
		}
		sooner := score.Assess(&c, &result, have)
		by := 20 + r.Int64N(5000)
		if f.CutInFlight == f.FirstRight {
			f.CutInFlight += by
		}
		f.FirstRight, f.Done[0] = f.FirstRight+by, f.Done[0]+by
		later := score.Assess(&c, &result, have)
		require.LessOrEqual(t, later.Number, sooner.Number, "later by %d ticks: %+v", by, c.Drill)
		if sooner.Verdict == score.NoGo {
			require.Equal(t, score.NoGo, later.Verdict)
		}
		if later.Number < sooner.Number {
			fell++
		}
	}
	assert.Greater(t, fell, 1000, "runs in which it cost something")
}
