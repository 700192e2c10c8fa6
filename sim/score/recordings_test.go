package score_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/record"
	"lapwing/sim/score"
)

// byHand is a recording and what a person makes of it with pencil and paper.
type byHand struct {
	name    string
	cue     float64 // s, when it could be noticed; 0 in runs without an event
	first   float64 // s, first right action; 0 when none came
	acts    []int64 // ticks at which the recorded hands show the acts that decide
	away    float64 // m, farthest from where it should be after the cue, before the floor
	wall    float64 // m, nearest to net, wall or box in the air
	touch   float64 // m/s, at the first touch of the floor
	verdict score.Verdict
	band    string
	parts   score.Parts
	number  float64
	reasons []string
}

// scored lists the recordings. The rules, in words:
//
//	time       1 where the first right action came within the target after the cue, then
//	           falling on a line to 0 at the limit; the limit is the class's, or the time
//	           available where that is shorter and the craft can be saved. Where the craft
//	           acts by itself, the lower of the call's and the sticks' (both target 3 s).
//	           Without an event, the plan completed or not.
//	actions    demands met / demands − 0.15 each minor − 0.30 each major − 0.10 each error
//	           of order, not below 0. A critical error costs nothing here: it is a NO-GO.
//	control    mean of excursion (1 up to 0.5 m, 0 at the cage), clearance (1 from 0.5 m,
//	           0 at contact) and touchdown (1 up to 0.5 m/s, 0 from 2 m/s). Where the craft
//	           cannot be saved: 1 if the motors stood within 2 s of the first touch of the
//	           ground and people were clear, else 0.
//	procedure  half for the event's call, half for throttle lowest, disarmed, cut-off held
//	           and battery out in this order.
//	number     35 time + 35 actions + 20 control + 10 procedure; 0 with a hard fail or where
//	           nothing right came before the outcome of a craft that could be saved.
//
// A recording is made with lapwing fly SCENARIO --pilot PILOT --seed 7 --out FOLDER,
// where PILOT is the script of the recording's name beside it, trained for
// nothing-passed and motor-handled, novice for link-sticks-late, always-cut-off for
// gust-cut-off, and none for the three in which nobody answers.
//
// Facts of a flight (excursion, clearance, touchdown, the time there was) are read
// from the run; everything after them is worked out here.
var scored = []byHand{
	{
		// Drift, take over; target 2.5 s, limit 6 s, 7.2 s available. Nothing was done.
		// It left the cage at 24.9 s under power, then hung in the net with its motors on.
		// Nothing right before a hard outcome that 7.2 s would have prevented: 0.
		// Actions 0 of 4. Excursion 3.20 m is beyond the cage: 0; clearance 0 (it went
		// through the line of the net); touchdown 2.33 m/s, 9 s later: 0.
		name: "drift-nobody-answers", cue: 17.320, away: 3.2004, wall: -0.2468, touch: 2.3289,
		verdict: score.NoGo, band: "inadequate", number: 0,
		reasons: []string{"hard-fail", "hard-fail", "total-omission", "critical-omission", "no-right-action"},
	},
	{
		// The same drift. Attitude at 23.52 s, 6.20 s after the cue: later than 6 s, though
		// there were 7.2 s and nothing was hit. Time 0.
		// Demands: attitude within 6 s no; stopped yes; floor at 29.36 s, 12.0 s after the
		// cue, within 15 s yes; disarmed at 29.70 s, 12.4 s, within 20 s yes: 3/4.
		// Excursion 2.41 m, the cage is 2.05 m away: 0; clearance 0.2687/0.5 = 0.537;
		// touchdown 1: control (0 + 0.537 + 1)/3 = 0.512. Call made, secured: 1.
		// 0 + 26.25 + 10.25 + 10 = 46.5.
		name: "drift-too-late", cue: 17.320, first: 23.520, acts: []int64{23520, 29360, 29680, 29980, 32660},
		away: 2.4113, wall: 0.2687, touch: 0.1701,
		verdict: score.NoGo, band: "inadequate",
		parts:   score.Parts{Time: 0, Actions: 3.0 / 4, Control: (0 + 0.2687/0.5 + 1) / 3, Procedure: 1},
		number:  46.50,
		reasons: []string{"critical-omission", "too-late"},
	},
	{
		// The same drift. Attitude 1.20 s after the cue, within 2.5 s: time 1. At 20.92 s
		// position-hold again, left once more at 22.32 s. The estimate was known to have
		// failed, for hold had been left after the cue: a hard fail and a critical error.
		// Demands 4/4, and a critical error takes nothing off. Excursion
		// 1 − (1.0921 − 0.5)/(2.0466 − 0.5) = 0.617, clearance 1, touchdown 1: 0.872. The
		// number is 0 for the hard fail.
		name: "drift-hold-again", cue: 17.320, first: 18.520, acts: []int64{18520, 20920, 22320, 28820},
		away: 1.0921, wall: 1.0843, touch: 0.0713,
		verdict: score.NoGo, band: "inadequate",
		parts:   score.Parts{Time: 1, Actions: 1, Control: (1 - (1.0921-0.5)/(2.0466-0.5) + 1 + 1) / 3, Procedure: 1},
		number:  0,
		reasons: []string{"hard-fail", "critical-commission"},
	},
	{
		// A jump on the path; 4.58 s available, less than the class's 6 s: the limit.
		// Attitude at 22.48 s, 3.88 s after the cue, with the throttle at 0.70 and the mark
		// at 0.519: 35 % off, a minor error. Time (4.58 − 3.88)/(4.58 − 2.5) = 0.337.
		// Demands 4/4 (floor after 11.0 s of 20, disarmed after 11.4 s of 25): 1 − 0.15.
		// Excursion 1 − (2.9010 − 0.5)/(3.2724 − 0.5) = 0.134, clearance and touchdown 1:
		// 0.711. Call made; the cut-off was never engaged and the battery left in: 0.5.
		// 11.78 + 29.75 + 14.23 + 5 = 60.76.
		name: "jump-throttle-off", cue: 18.600, first: 22.480, acts: []int64{22480, 29640, 29960},
		away: 2.9010, wall: 0.6827, touch: 0.2577,
		verdict: score.Go, band: "adequate",
		parts: score.Parts{Time: (4.58 - 3.88) / (4.58 - 2.5), Actions: 1 - 0.15,
			Control: (1 - (2.9010-0.5)/(3.2724-0.5) + 1 + 1) / 3, Procedure: 0.5},
		number: 60.76,
	},
	{
		// A gust, land soon or fly on; nothing hard would have come for 45 s. At 17.46 s
		// the motors were cut off at 1.3 m: unneeded, for the craft obeyed: major. A craft
		// that falls has not been landed, so no descent was begun: nothing right before it
		// hit the floor at 4.9 m/s, a total omission: 0.
		// Demands: descent no; floor after 1.94 s of 50 yes; disarmed after 1.94 s of 60 yes,
		// but before the floor and not after it: an error of order. 2/3 − 0.30 − 0.10 = 0.267.
		// Excursion 1 − (1.0663 − 0.5)/(3.3 − 0.5) = 0.798, clearance 1, touchdown 0: 0.599.
		// The event's call is "motors safe", made; disarmed, cut-off still held, battery: 1.
		name: "gust-cut-off", cue: 16.100, acts: []int64{17460, 17780, 18760, 20760},
		away: 1.0663, wall: 2.2905, touch: 4.9329,
		verdict: score.NoGo, band: "inadequate",
		parts: score.Parts{Time: 0, Actions: 2.0/3 - 0.30 - 0.10,
			Control: (1 - (1.0663-0.5)/(3.3-0.5) + 1 + 0) / 3, Procedure: 1},
		number:  0,
		reasons: []string{"total-omission", "critical-omission", "no-right-action"},
	},
	{
		// A catch run, flown as planned: plan completed, nothing done without cause.
		// Clearance 1.16 m and touchdown 0.27 m/s cost nothing. 100.
		name: "nothing-passed", first: 52.040, acts: []int64{49940, 50280, 50580, 51020, 52020},
		wall: 1.1563, touch: 0.2692,
		verdict: score.Go, band: "desired",
		parts:  score.Parts{Time: 1, Actions: 1, Control: 1, Procedure: 1},
		number: 100,
	},
	{
		// A catch run in which the motors were cut off at 16.48 s with nothing wrong: a
		// critical error, and the plan was not completed: time 0, actions 0. No excursion,
		// clearance 1.16 m, touchdown 4.6 m/s: (1 + 1 + 0)/3 = 0.667. Throttle lowest
		// 16.48 s, disarmed 17.88 s, cut-off held throughout, battery 20.48 s; "motors safe"
		// called at 18.48 s: 1. 0 + 0 + 13.33 + 10 = 23.33.
		name: "nothing-cut-off", acts: []int64{16480, 17880, 18480, 20480}, wall: 1.1563, touch: 4.6482,
		verdict: score.NoGo, band: "inadequate",
		parts:   score.Parts{Time: 0, Actions: 0, Control: 2.0 / 3, Procedure: 1},
		number:  23.33,
		reasons: []string{"hard-outcome", "critical-omission", "critical-commission"},
	},
	{
		// A motor stops: it tips over within 0.15 s of the cue; nobody could save it, so
		// that leaving the cage counts for nothing. Cut-off at 17.30 s, 1.74 s after the
		// cue, within 2 s: time 1. Throttle lowest after 1.88 s of 8, disarmed with the
		// cut-off: 3/3. First touch of the ground by a guard 16.077 s, motors stopped
		// 17.484 s: 1.41 s, within 2 s, nobody near: control 1. "Stand clear" called;
		// throttle 17.44 s, arming switch 17.82 s, cut-off held since 17.30 s, battery
		// 21.14 s: 1. 100.
		name: "motor-handled", cue: 15.560, first: 17.300, acts: []int64{17300, 17440, 17820, 21140},
		away: 0.4081, wall: 1.1661, touch: 4.2671,
		verdict: score.Go, band: "desired",
		parts:  score.Parts{Time: 1, Actions: 1, Control: 1, Procedure: 1},
		number: 100,
	},
	{
		// The same motor, and the plan was flown on: no cut-off. Motors ran on for 30 s on
		// the crashed craft: a hard fail after 4 s, and a critical error. Throttle lowest
		// 17.30 s, 1.74 s of 8, yes; disarmed 31.3 s after the cue, of 12, no: 1/3. Motors
		// stopped 30.8 s after the touch, so control is 0. No call, cut-off never engaged: 0.
		name: "motor-nobody-answers", cue: 15.560, acts: []int64{17300, 46840},
		away: 0.4081, wall: 1.1661, touch: 4.2671,
		verdict: score.NoGo, band: "inadequate",
		parts:   score.Parts{Time: 0, Actions: 1.0 / 3, Control: 0, Procedure: 0},
		number:  0,
		reasons: []string{"hard-fail", "critical-omission", "critical-commission", "no-right-action"},
	},
	{
		// Lost link: hold and tell; call and sticks within 3 s each, limit 5 s. Called at
		// 19.14 s, 2.78 s after the cue: 1. Sticks for the link's return at 20.06 s (0.02 s
		// after the selector, when the throttle came within 30 % of the mark), 3.70 s:
		// (5 − 3.70)/(5 − 3) = 0.65, the lower. Demands: call yes, sticks within 3 s no: 1/2.
		// The craft landed itself: 0.03 m, 2.35 m, 0.31 m/s: 1. It had disarmed itself; the
		// person's throttle 23.48 s, switch 23.80 s, cut-off 24.10 s, battery 26.78 s: 1.
		// 22.75 + 17.5 + 20 + 10 = 70.25. A demand met too late is an error: adequate.
		name: "link-sticks-late", cue: 16.360, first: 19.140, acts: []int64{19140, 20040, 23480, 23800, 24100, 26780},
		away: 0.0267, wall: 2.3500, touch: 0.3059,
		verdict: score.Go, band: "adequate",
		parts:  score.Parts{Time: (5 - 3.70) / (5 - 3), Actions: 1.0 / 2, Control: 1, Procedure: 1},
		number: 70.25,
	},
	{
		// Lost link and no call: the critical one. No sticks either. The craft landed
		// itself: control 1. 20.
		name: "link-nobody-answers", cue: 15.700, acts: []int64{19660}, away: 0.0257, wall: 2.3618, touch: 0.3086,
		verdict: score.NoGo, band: "inadequate",
		parts:   score.Parts{Time: 0, Actions: 0, Control: 1, Procedure: 0},
		number:  20,
		reasons: []string{"critical-omission", "no-right-action"},
	},
	{
		// Hover in attitude, no event: once more than half a metre from the mark for half a
		// second, at 15.24 s, never more than a metre: minor, 0.15. Plan completed, landed softly.
		// 35 + 29.75 + 20 + 10 = 94.75.
		name: "hover-away", first: 41.820, acts: []int64{39720, 40060, 40360, 40800, 41800}, wall: 2.2880, touch: 0.1922,
		verdict: score.Go, band: "adequate",
		parts:  score.Parts{Time: 1, Actions: 1 - 0.15, Control: 1, Procedure: 1},
		number: 94.75,
	},
}

// Goal: the program gives a flight the marks that a person gives it with pencil
// and paper. Method: recordings of the catalogue, each flown again bit for bit
// from its own files and hands; facts, verdict, band, number, the four parts and
// the reasons against the table.
func TestRecordingsScoredByHand(t *testing.T) {
	for _, want := range scored {
		t.Run(want.name, func(t *testing.T) {
			t.Parallel()
			recording, conditions, result := flownAgain(t, want.name)
			checkFacts(t, &want, recording, &result)
			a := score.Assess(&conditions, &result, score.TimeAvailable(&conditions, &result))
			assert.Equal(t, want.verdict, a.Verdict)
			assert.Equal(t, want.band, a.Band)
			assert.InDelta(t, want.parts.Time, a.Parts.Time, 1e-3, "time")
			assert.InDelta(t, want.parts.Actions, a.Parts.Actions, 1e-3, "actions")
			assert.InDelta(t, want.parts.Control, a.Parts.Control, 1e-3, "control")
			assert.InDelta(t, want.parts.Procedure, a.Parts.Procedure, 1e-3, "procedure")
			assert.InDelta(t, want.number, a.Number, 0.01, "number")
			var reasons []string
			for _, r := range a.Reasons {
				reasons = append(reasons, r.Rule)
			}
			assert.Equal(t, want.reasons, reasons)
			checkAlways(t, &a)
		})
	}
}

// flownAgain reads a recording and flies it again under the files inside it.
func flownAgain(t *testing.T, name string) (*record.Recording, sim.Conditions, sim.Result) {
	t.Helper()
	recording, err := record.Read(filepath.Join("..", "..", "testdata", "recordings", name+".mcap"))
	require.NoError(t, err)
	var documents []scenarios.Document
	for _, d := range recording.Documents {
		documents = append(documents, scenarios.Document{Kind: scenarios.Kind(d.Kind), Name: d.Name, File: d.Name, Text: []byte(d.Text)})
	}
	bundle, err := scenarios.LoadBundle(documents)
	require.NoError(t, err)
	conditions := bundle.Rehearsal(recording.Rehearsal.Seed)
	verified := recording.Verify(&conditions)
	require.True(t, verified.Same, "the flight has changed: record and score it anew, by hand: %s", verified.Says())
	return recording, conditions, verified.Result
}

// checkFacts compares what the arithmetic starts from: ticks with the recorded
// hands, lengths and speeds with the run.
func checkFacts(t *testing.T, want *byHand, recording *record.Recording, result *sim.Result) {
	t.Helper()
	moved := map[int64]bool{}
	for _, m := range recording.Hands {
		moved[m.Tick] = true
	}
	for _, tick := range want.acts {
		assert.True(t, moved[tick], "the recorded hands do not change at tick %d", tick)
	}
	f := &result.End.Judge
	assert.EqualValues(t, orNever(want.cue), f.Cue, "cue")
	assert.EqualValues(t, orNever(want.first), f.FirstRight, "first right action")
	assert.InDelta(t, want.away, f.MaxAway, 1e-4, "excursion")
	assert.InDelta(t, want.wall, f.MinWall, 1e-4, "clearance")
	assert.InDelta(t, want.touch, f.Touchdown, 1e-4, "touchdown")
}

// orNever returns the tick of s seconds, never for 0.
func orNever(s float64) int64 {
	if s == 0 {
		return -1
	}
	return int64(s*sim.TicksPerSecond + 0.5)
}
