package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/scenarios"
	"lapwing/sim/score"
	"lapwing/sim/tally"
	"lapwing/sim/trials"
)

// Goal: a line of the table says what counts: when, how much of the time there was,
// why not, and that nothing was meant to happen. Method: made-up flights.
func TestCourseLines(t *testing.T) {
	s := func(x float64) *float64 { return &x }
	for _, c := range []struct {
		name string
		f    coursedFlight
		want string
	}{
		{"in time", coursedFlight{Step: 1, Flight: 2, Row: trials.Row{Scenario: "drift", Verdict: score.Go, FirstRightS: s(1.84), AvailableS: s(7.2), UsedShare: s(0.256)}},
			"   1  drift          2  GO              1.8 s  26 % of 7.2 s"},
		{"nothing to save", coursedFlight{Step: 1, Flight: 3, Row: trials.Row{Scenario: "drift", Verdict: score.Go, FirstRightS: s(1)}},
			"   1  drift          3  GO              1.0 s              -"},
		{"not at all", coursedFlight{Step: 12, Flight: 1, Row: trials.Row{Scenario: "drift", Verdict: score.NoGo, WhyNot: []string{"no right action was taken", "more"}}},
			"  12  drift          1  NO-GO               -              -  no right action was taken"},
		{"a catch run", coursedFlight{Step: 1, Flight: 1, Catch: true, Row: trials.Row{Scenario: "quiet", Verdict: score.Go}},
			"   1  quiet          1  GO                  -              -  a catch run"},
		{"broken off", coursedFlight{Step: 1, Flight: 1, Catch: true, Row: trials.Row{Scenario: "quiet", Verdict: score.NoGo, WhyNot: []string{"cut off"}}},
			"   1  quiet          1  NO-GO               -              -  a catch run; cut off"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out strings.Builder
			newCourseTable(&out, &scenarios.Course{}).flight(&c.f)
			assert.Equal(t, c.want+"\n", out.String())
		})
	}
}

// Goal: how a step stands is said with what was asked for.
func TestStandingWords(t *testing.T) {
	step := trials.Step{OfLast: 3, Go: 2, FalseAlarms: 1}
	for _, c := range []struct {
		stand trials.Standing
		want  string
	}{
		{trials.Standing{Alarms: []int{0}}, "not reached"},
		{trials.Standing{Flights: 4, Moved: true, Tries: []bool{false, true, false, true}, Alarms: []int{0, 0, 0, 0, 0}},
			"moved on, 2 of the last 3 GO (the standard: 2 of 3)"},
		{trials.Standing{Flights: 5, Void: 1, Tries: []bool{true, true}, Alarms: []int{1, 1, 0}},
			"not moved on, 2 of the last 2 GO (the standard: 2 of 3); false alarms between them 2, at most 1; void 1, not counted"},
	} {
		assert.Equal(t, c.want, standingWords(&step, &c.stand))
	}
	once := trials.Step{OfLast: 1, Go: 1}
	assert.Equal(t, "moved on after 1 try", standingWords(&once, &trials.Standing{Flights: 1, Moved: true, Tries: []bool{true}, Alarms: []int{0, 0}}))
	assert.Equal(t, "not moved on after 2 tries", standingWords(&once, &trials.Standing{Flights: 2, Tries: []bool{false, false}, Alarms: []int{0, 0, 0}}))
}

// Goal: the end of a course counts first and keeps what was announced apart from
// what was not.
func TestCountsAreTold(t *testing.T) {
	var rows []trials.Row
	for range 5 {
		x := 1.5
		rows = append(rows, trials.Row{Event: true, Flown: true, Announced: "no", Verdict: score.Go, Hit: true, FirstRightS: &x})
	}
	rows = append(rows, trials.Row{Event: true, Flown: true, Announced: "fully", Verdict: score.NoGo, WatchedS: 9},
		trials.Row{Flown: true, Verdict: score.NoGo, FalseAlarm: true}, trials.Row{Verdict: score.Void})
	c := countsOf(rows)
	assert.Equal(t, tally.Share{Some: 5, All: 7}, c.Go)
	var out strings.Builder
	printCounts(&out, &coursed{Passed: true, Counts: c})
	text := strings.Join(strings.Fields(out.String()), " ")
	for _, want := range []string{
		"6 events: 5 answered in time, 1 not.", "1 flight without an event: none flown as planned, 1 broken off.",
		"GO: 5 of 7, 71 % (Wilson interval at 95 %:", "A note: d′ 0.",
		"Announced events, GO: 0 of 1, 0 %", "Unannounced events, GO: 5 of 5, 100 %",
		"5 of 5 supports a rate of at least 63 % (90 % confidence).", // 0.1^(1/5) = 0.631
		"First right action: half of them within 1.5 s of the cue (6 events, 1 of them without any).",
		"1 flight void, not counted.", "Result: course passed"} {
		assert.Contains(t, text, want)
	}
}
