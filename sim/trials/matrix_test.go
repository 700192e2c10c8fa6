package trials_test

import (
	"encoding/json"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/score"
	"lapwing/sim/tally"
	"lapwing/sim/trials"
)

func loaded(t testing.TB, names ...string) (all []trials.Scenario) {
	t.Helper()
	for _, name := range names {
		b, err := scenarios.Load(scenarios.Catalogue(), name)
		require.NoError(t, err)
		all = append(all, trials.Scenario{Name: name, Rehearsal: b.Rehearsal})
	}
	return all
}

// Goal: the rows do not depend on how many fly at the same time. Method: the same
// matrix with one worker and with eight, compared as text, digit for digit; and one
// row against the flight flown by itself.
func TestAnyNumberOfWorkers(t *testing.T) {
	m := trials.DefaultMatrix(loaded(t, "motor-failure-quad", "nothing-happens"), []string{"novice", "trained"}, 2)
	m.Timed = 1
	text := func(workers int) string {
		m.Workers = workers
		var flown atomic.Int64
		rows, err := m.Run(func() { flown.Add(1) })
		require.NoError(t, err)
		require.EqualValues(t, m.Flights(), flown.Load())
		require.Len(t, rows, m.Flights())
		b, err := json.Marshal(rows)
		require.NoError(t, err)
		return string(b)
	}
	one := text(1)
	require.Equal(t, one, text(8))

	var rows []trials.Row
	require.NoError(t, json.Unmarshal([]byte(one), &rows))
	row := rows[3] // by scenario, pilot, seed: the first, trained, 2
	c := m.Scenarios[0].Rehearsal(2)
	p, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	r := sim.Run(&c, p)
	a := score.Assess(&c, &r, score.Available{})
	require.Equal(t, trials.RowOf("motor-failure-quad", "trained", &c, &r, &a), row)
	assert.NotNil(t, rows[0].AvailableS, "the first seed is timed")
	assert.Nil(t, rows[1].AvailableS)
}

// Goal: a row says what happened. Method: nobody answers a drift, someone who always
// cuts off meets nothing at all, an ideal pilot answers and carries on.
func TestRows(t *testing.T) {
	m := trials.DefaultMatrix(loaded(t, "drift-in-hold", "nothing-happens"), []string{"none", "ideal"}, 1)
	rows, err := m.Run(nil)
	require.NoError(t, err)
	missed, met, left, done := rows[0], rows[1], rows[2], rows[3]
	assert.True(t, missed.Event && !missed.Hit && missed.FirstRightS == nil && missed.Verdict == score.NoGo)
	assert.NotEmpty(t, missed.WhyNot)
	assert.Positive(t, missed.WatchedS)
	assert.True(t, met.Event && met.Hit && *met.FirstRightS < 1 && met.Verdict == score.Go)
	assert.Empty(t, met.WhyNot)
	for _, r := range []trials.Row{left, done} {
		assert.True(t, r.Flown && !r.Event && !r.Hit && !r.FalseAlarm && r.Verdict == score.Go, r.Pilot)
	}
}

// Goal: what cannot be flown is said, with who and where; a fault of the program in
// one flight does not take the others' goroutines down with it.
func TestMatrixSaysWhatIsWrong(t *testing.T) {
	m := trials.Matrix{Timed: -1}
	require.ErrorContains(t, m.Validate(), "at least one of each")
	require.ErrorContains(t, m.Validate(), "at least one has to fly")
	require.ErrorContains(t, m.Validate(), "-1 seeds")
	m = trials.DefaultMatrix(loaded(t, "nothing-happens"), []string{"nobody"}, 2)
	_, err := m.Run(nil)
	require.ErrorContains(t, err, `there is no pilot "nobody"`)
	m.Pilots = []string{"ideal"}
	m.Scenarios = []trials.Scenario{{Name: "broken", Rehearsal: func(uint64) sim.Conditions { panic("a fault") }}}
	_, err = m.Run(nil)
	require.ErrorContains(t, err, "broken, pilot ideal, seed 1: a fault")
}

// Goal: rows are counted where they belong. Method: made-up rows, one of each kind.
func TestSummary(t *testing.T) {
	s := func(x float64) *float64 { return &x }
	rows := []trials.Row{
		{Pilot: "a", Scenario: "x", Seed: 1, Event: true, Verdict: score.Go, FirstRightS: s(1), Hit: true, UsedShare: s(0.2)},
		{Pilot: "a", Scenario: "x", Seed: 2, Event: true, Verdict: score.NoGo, FirstRightS: s(3), Hit: true, Number: 20},
		{Pilot: "a", Scenario: "x", Seed: 3, Event: true, Verdict: score.NoGo, WatchedS: 9},
		{Pilot: "a", Scenario: "y", Seed: 1, Event: true, Announced: "fully", Verdict: score.Go, FirstRightS: s(0.5), Hit: true},
		{Pilot: "a", Scenario: "z", Seed: 1, Flown: true, Verdict: score.NoGo, FalseAlarm: true},
		{Pilot: "a", Scenario: "z", Seed: 2, Flown: true, Verdict: score.Go},
		{Pilot: "a", Scenario: "z", Seed: 3, Verdict: score.Void},
		{Pilot: "a", Scenario: "bench", Seed: 1, Verdict: score.Go},
	}
	got := trials.Summarise(rows)
	assert.Equal(t, trials.Summary{Flights: 8, Void: 1, Go: tally.Share{Some: 4, All: 7},
		Announced: tally.Share{Some: 1, All: 1}, Unannounced: tally.Share{Some: 1, All: 3},
		Detection: tally.Detection{Hits: tally.Share{Some: 3, All: 4}, FalseAlarms: tally.Share{Some: 1, All: 2}},
		Waits:     tally.Waits{{Seconds: 1, Came: true}, {Seconds: 3, Came: true}, {Seconds: 9}, {Seconds: 0.5, Came: true}},
		Used:      []float64{0.2}}, got)

	for _, r := range rows[:6] {
		r.Pilot, r.Verdict, r.Number = "b", score.Go, 3*r.Number
		rows = append(rows, r)
	}
	assert.Equal(t, tally.Pairs{Both: 3, Second: 3}, trials.Compare(rows, "a", "b"), "the void flight has no pair")
	assert.Equal(t, []float64{0, -40, 0, 0, 0, 0}, trials.Numbers(rows, "a", "b"))
	assert.Len(t, trials.Where(rows, func(r *trials.Row) bool { return r.Pilot == "b" }), 6)
}
