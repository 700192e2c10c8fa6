package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim"
	"lapwing/sim/bench"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// Goal: the judge is told when an event that emerges is watched: from its mark of
// the flight on. Method: a sign that is there from take-off on, watched from each
// of several marks; the cue, and with it the onset, comes at the mark.
func TestAnEmergingEventIsWatchedFromItsMark(t *testing.T) {
	for _, from := range []inject.Mark{inject.MarkAirborne, inject.MarkHover, inject.MarkPositionHold} {
		c := rehearsal(t, "nothing-happens", 2)
		d := &c.Drill
		d.Class, d.Emerges, d.From, d.CueCount = judge.ClassB, true, uint8(from), 1
		d.Cues[0] = percept.Rule{Sign: percept.SignAirborne, Above: 0.5}
		w, p := sim.Start(&c), nobody(t, &c)
		fly(&c, &w, p, 20000)
		at := w.Marks.At[from]
		require.NotEqual(t, inject.Never, at, "%s", from)
		assert.InDelta(t, at, w.Judge.Cue, 2*percept.Every, "%s", from)
		assert.Equal(t, w.Judge.Cue, w.Judge.Onset, "%s", from)
	}
}

// Goal: what is done at the bench reaches the judge: the list worked through, and
// the verdict called. Method: walk the list of a craft with one loose strap, tick
// it as it is, or as sound, and call a verdict.
func TestTheJudgeSeesTheBench(t *testing.T) {
	for _, tc := range []struct {
		name    string
		sees    bool
		verdict hands.Call
		done    [4]bool // found-all, missed, verdict-right, verdict-wrong
	}{
		{"found and mended, go", true, hands.CallGo, [4]bool{true, false, true, false}},
		{"found and mended, no-go", true, hands.CallNoGo, [4]bool{true, false, false, true}},
		{"missed, go", false, hands.CallGo, [4]bool{false, true, false, true}},
	} {
		c := rehearsal(t, "nothing-happens", 1)
		c.Bench.List(4, true, true)
		strap := c.Bench.Find(bench.Strap, 0)
		loose, ok := bench.ParseFinding(bench.Strap, "slides")
		require.True(t, ok)
		c.Bench.Items[strap].State = loose
		d := &c.Drill
		for i, kind := range []judge.DeedKind{judge.DeedFoundAll, judge.DeedMissed, judge.DeedVerdictRight, judge.DeedVerdictWrong} {
			d.Demands[i] = judge.Demand{AnyOf: [judge.MaxChoices]judge.Deed{{Kind: kind}}, Count: 1, Within: judge.NoLimit}
		}
		d.DemandCount = 4
		w := sim.Start(&c)
		step := func(k hands.Step, item int, call hands.Call) {
			h := hands.Rest()
			h.Step, h.Item, h.Call = k, uint8(item), call
			fly(&c, &w, keep{h}, w.Tick+percept.Every)
		}
		for i := range c.Bench.Count {
			step(hands.StepLook, i, hands.CallNone)
			if i == strap && tc.sees {
				step(hands.StepTickBad, i, hands.CallNone)
			} else {
				step(hands.StepTickGood, i, hands.CallNone)
			}
		}
		step(hands.StepNone, 0, tc.verdict)
		step(hands.StepNone, 0, hands.CallNone)
		for i, want := range tc.done {
			assert.Equal(t, want, w.Judge.Done[i] != judge.Never, "%s: %d", tc.name, i)
		}
	}
}
