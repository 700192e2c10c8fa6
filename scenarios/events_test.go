package scenarios_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/pilot"
	"lapwing/sim/score"
)

// drillCase says what the drill of one event must show.
type drillCase struct {
	scenario string

	follows judge.HardKind                             // with nobody acting: the hard outcome, HardNone where the craft is not what suffers
	shows   func(c *sim.Conditions, w *sim.World) bool // with nobody acting: what else tells that the consequence came; nil for nothing else
	lost    bool                                       // nobody can save the craft; only harm can be limited
	avoided bool                                       // a pilot who does everything right does not let it come
	wrong   string                                     // lines of a script that does the typical wrong thing
	as      string                                     // part of the words by which the report names it

	practice [2]float64 // s, time available that common practice gives for a room of 5 × 5 × 2.7 m; zero where it gives none
	why      string     // why the computed time lies outside, empty where it does not
}

// drills holds the cases of all groups of events; each group adds its own.
var drills []drillCase

const drillSeed = 7

// Goal: in each event the named consequence follows when nobody acts, the ideal
// pilot saves what can be saved and is GO, and the typical wrong action is named
// as such and is not GO. Method: the scenario as shipped, one seed.
func TestEventsAreWhatTheySay(t *testing.T) {
	for _, c := range drills {
		t.Run(c.scenario, func(t *testing.T) {
			t.Parallel()
			t.Run("nobody acts", func(t *testing.T) { c.nobody(t) })
			t.Run("ideal pilot", func(t *testing.T) { c.ideal(t) })
			t.Run("typical wrong action", func(t *testing.T) { c.wrongly(t) })
		})
	}
}

func (c *drillCase) nobody(t *testing.T) {
	conditions := conditionsOf(t, c.scenario)
	r, a := flown(t, &conditions, "none", nil)
	f := &r.End.Judge
	require.NotEqual(t, judge.Never, f.Cue, "a person must be able to perceive it")
	assert.Equal(t, c.follows.Words(), f.HardKind.Words())
	if c.shows != nil {
		assert.True(t, c.shows(&conditions, &r.End), "the consequence is not seen")
	}
	assert.NotEqual(t, score.Go, a.Verdict)
}

func (c *drillCase) ideal(t *testing.T) {
	conditions := conditionsOf(t, c.scenario)
	r, a := flown(t, &conditions, "ideal", nil)
	if c.avoided {
		assert.Equal(t, judge.Never, r.End.Judge.Cue)
		assert.Equal(t, judge.HardNone.Words(), r.End.Judge.HardKind.Words())
		return
	}
	if !conditions.Drill.Demonstration {
		assert.Equal(t, score.Go, a.Verdict, "%v", a.Reasons)
	}
	if !c.lost {
		assert.Equal(t, judge.HardNone.Words(), r.End.Judge.HardKind.Words())
	}
}

func (c *drillCase) wrongly(t *testing.T) {
	conditions := conditionsOf(t, c.scenario)
	_, a := flown(t, &conditions, "script", scriptOf(t, c.wrong))
	assert.NotEqual(t, score.Go, a.Verdict)
	var named []string
	for _, x := range a.Reasons {
		named = append(named, x.Says)
	}
	for _, x := range a.Commissions {
		named = append(named, x.Action)
	}
	for _, x := range a.HardFails {
		named = append(named, x.Says)
	}
	assert.Contains(t, strings.Join(named, "\n"), c.as)
}

const (
	timesBegin = "<!-- times: begin -->\n"
	timesEnd   = "<!-- times: end -->"
)

// Goal: how long there was to act is what common practice gives, or the case
// says why not; and DEVELOPERS.md tells it. Method: as computed for the shipped
// scenario, the band's ends against the range. With LAPWING_WRITE_DOCS=1 the
// table is written anew.
func TestSlowTimesAvailable(t *testing.T) {
	if os.Getenv("LAPWING_SLOW") == "" && os.Getenv("LAPWING_WRITE_DOCS") == "" {
		t.Skip("takes minutes: set LAPWING_SLOW=1")
	}
	var table strings.Builder
	table.WriteString("| scenario | when nobody acts | time available to a trained hand | common practice | why it differs |\n| --- | --- | --- | --- | --- |\n")
	for _, c := range drills {
		if c.practice == [2]float64{} {
			continue
		}
		conditions := conditionsOf(t, c.scenario)
		r, _ := flown(t, &conditions, "none", nil)
		a := score.TimeAvailable(&conditions, &r)
		require.True(t, a.Known, c.scenario)
		within := a.Hand.High >= c.practice[0] && a.Hand.Low <= c.practice[1]
		practice := fmt.Sprintf("%g to %g s", c.practice[0], c.practice[1])
		assert.Equal(t, c.why == "", within, "%s: %s, common practice %s", c.scenario, windowWords(a), practice)
		fmt.Fprintf(&table, "| %s | %s | %s | %s | %s |\n", c.scenario, r.End.Judge.HardKind.Words(), windowWords(a), practice, c.why)
	}
	const guide = "../DEVELOPERS.md"
	text, err := os.ReadFile(guide)
	require.NoError(t, err)
	before, rest, begins := strings.Cut(string(text), timesBegin)
	was, after, ends := strings.Cut(rest, timesEnd)
	require.True(t, begins && ends, "the table's place in DEVELOPERS.md")
	if os.Getenv("LAPWING_WRITE_DOCS") == "1" {
		require.NoError(t, os.WriteFile(guide, []byte(before+timesBegin+table.String()+timesEnd+after), 0o644))
		return
	}
	assert.Equal(t, table.String(), was, "the table in DEVELOPERS.md is stale: LAPWING_WRITE_DOCS=1 go test -run TestSlowTimesAvailable ./scenarios")
}

func windowWords(a score.Available) string {
	if a.Hand.AtLeast {
		return fmt.Sprintf("at least %.1f s", a.Hand.Seconds)
	}
	return fmt.Sprintf("%.1f s (%.1f to %.1f)", a.Hand.Seconds, a.Hand.Low, a.Hand.High)
}

func conditionsOf(t testing.TB, scenario string) sim.Conditions {
	t.Helper()
	b, err := scenarios.Load(scenarios.Catalogue(), scenario)
	require.NoError(t, err)
	return b.Rehearsal(drillSeed)
}

func flown(t testing.TB, c *sim.Conditions, name string, script *pilot.Script) (sim.Result, score.Assessment) {
	t.Helper()
	p, err := c.Pilot(name, script)
	require.NoError(t, err)
	r := sim.Run(c, p)
	return r, score.Assess(c, &r, score.Available{})
}

// scriptOf returns the script of these lines.
func scriptOf(t testing.TB, lines string) *pilot.Script {
	t.Helper()
	text := "kind: script\nversion: 1\ntitle: The typical wrong action\nlines:\n" + lines
	shelf := scenarios.Files(fstest.MapFS{"scripts/wrong.yaml": &fstest.MapFile{Data: []byte(text)}})
	s, err := scenarios.LoadScript(shelf, "wrong")
	require.NoError(t, err)
	return &s.Script
}
