package trials_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"lapwing/scenarios"
	"lapwing/sim/judge"
	"lapwing/sim/tally"
	"lapwing/sim/trials"
)

// levels are the modelled persons from the first hours to the one who needs no
// time, and habits what must lose against a trained one.
var (
	levels = []string{"novice", "trained", "expert", "ideal"}
	habits = []string{"always-cut-off", "always-attitude", "wait", "stir"}
)

// catalogue returns every scenario that can be flown and tells which of them have
// an event.
func catalogue(t testing.TB) (all []trials.Scenario, events map[string]bool) {
	t.Helper()
	events = map[string]bool{}
	for _, name := range scenarios.Names(scenarios.KindScenario) {
		b, err := scenarios.Load(scenarios.Catalogue(), name)
		require.NoError(t, err)
		all = append(all, trials.Scenario{Name: name, Rehearsal: b.Rehearsal})
		if b.Drill.Class != judge.ClassN {
			events[name] = true
		}
	}
	return all, events
}

// Goal: the score puts people in order: an ideal and an expert are not behind a
// trained person, and a novice and each bad habit are. Method: a sample of the
// catalogue, the same flights for all, paired; the trend number tells them apart
// with so few, GO must not speak against it. That it holds beyond chance is
// TestSlowTableOfPilots's.
func TestOrderOfPilots(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: -short leaves out some hundred flights")
	}
	const flights = 12 // of each pilot
	all, _ := catalogue(t)
	var sample []trials.Scenario
	for i := range min(flights, len(all)) {
		sample = append(sample, all[i*len(all)/min(flights, len(all))])
	}
	m := trials.DefaultMatrix(sample, append(slices.Clone(levels), habits...), max(1, flights/len(sample)))
	rows, err := m.Run(nil)
	require.NoError(t, err)
	ahead := func(first, second string) float64 {
		assert.GreaterOrEqual(t, trials.Compare(rows, first, second).Difference(), 0.0, "GO of %s against %s", first, second)
		return stat.Mean(trials.Numbers(rows, first, second), nil)
	}
	const point = 1 // of 100: what a hand without any delay loses by its abruptness, in so few flights
	assert.GreaterOrEqual(t, ahead("ideal", "trained"), -point*1.0, "ideal against trained")
	assert.GreaterOrEqual(t, ahead("expert", "trained"), -point*1.0, "expert against trained")
	for _, worse := range append([]string{"novice"}, habits...) {
		assert.Positive(t, ahead("trained", worse), "trained against %s", worse)
	}
}

const (
	pilotsBegin = "<!-- pilots: begin -->\n"
	pilotsEnd   = "<!-- pilots: end -->"
)

// The size of the table. A flight costs some 80 ms of a core, so the bounds keep it
// within ten minutes on two cores however large the catalogue is.
const (
	mostSeeds    = 200   // of each scenario and level
	levelFlights = 10400 // of the four levels together
	habitFlights = 2600  // of the four habits together
	mostTimed    = 20    // seeds for which the time available is worked out
	timedFlights = 1040  // the same, over events and levels

	checkedShare = 4 // where the table only is checked, not written, the part of all this that is flown
)

// Goal: DEVELOPERS.md tells how the modelled persons fare in every scenario, and
// the order of TestOrderOfPilots holds there beyond chance. Method: many seeds;
// with LAPWING_WRITE_DOCS=1 the table is written, else (LAPWING_SLOW=1) it must
// name every scenario of the catalogue and the order is tested, over a part of the
// seeds.
func TestSlowTableOfPilots(t *testing.T) {
	write := os.Getenv("LAPWING_WRITE_DOCS") != ""
	if os.Getenv("LAPWING_SLOW") == "" && !write {
		t.Skip("skipped: some ten thousand flights; LAPWING_SLOW=1 flies them")
	}
	all, events := catalogue(t)
	file := filepath.Join("..", "..", "DEVELOPERS.md")
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, found := strings.Cut(string(text), pilotsBegin)
	require.True(t, found, "DEVELOPERS.md has no line %s", pilotsBegin)
	stands, after, found := strings.Cut(rest, pilotsEnd)
	require.True(t, found, "DEVELOPERS.md has no line %s", pilotsEnd)

	part := checkedShare
	if write {
		part = 1
	}
	m := trials.DefaultMatrix(all, levels, min(mostSeeds, levelFlights/part/len(all)/len(levels)))
	m.Timed = min(mostTimed, timedFlights/part/max(1, len(events))/len(levels))
	rows, err := m.Run(nil)
	require.NoError(t, err)
	bad := trials.DefaultMatrix(all, habits, min(len(m.Seeds), habitFlights/part/len(all)/len(habits)))
	badRows, err := bad.Run(nil)
	require.NoError(t, err)

	want := tableOfPilots(all, events, rows, &m) + tableOfPairs(t, append(rows, badRows...), len(m.Seeds), len(bad.Seeds))
	if write {
		require.NoError(t, os.WriteFile(file, []byte(before+pilotsBegin+want+pilotsEnd+after), 0o644))
		return
	}
	for _, s := range all {
		assert.Contains(t, stands, "| "+s.Name+" |", "the table in DEVELOPERS.md lacks a scenario; write it anew with\n"+
			"    LAPWING_WRITE_DOCS=1 go test -timeout 30m -run TestSlowTableOfPilots ./sim/trials")
	}
}

// tableOfPilots is the table of events, then that of flights without one.
func tableOfPilots(all []trials.Scenario, events map[string]bool, rows []trials.Row, m *trials.Matrix) string {
	var out strings.Builder
	fmt.Fprintf(&out, "%d seeds of each scenario and pilot, judged by the limits of the class. GO in %% with its Wilson interval at 95 %%. "+
		"In brackets the median and the 95th percentile of the time (s) from the cue to the first right action, those without any counted as such "+
		"(Kaplan and Meier; a dash: not reached), then the share of the time available that the median flight used, over %d seeds; none where the craft could not be saved or nothing hard comes.\n\n",
		len(m.Seeds), m.Timed)
	head := func(what string) {
		fmt.Fprintf(&out, "| %s | %s |\n| ---%s |\n", what, strings.Join(m.Pilots, " | "), strings.Repeat(" | ---", len(m.Pilots)))
	}
	head("event")
	for _, s := range all {
		if events[s.Name] {
			out.WriteString(lineOf(s.Name, m.Pilots, rows, eventWords))
		}
	}
	out.WriteString("\n")
	head("no event")
	for _, s := range all {
		if !events[s.Name] {
			out.WriteString(lineOf(s.Name, m.Pilots, rows, quietWords))
		}
	}
	out.WriteString(lineOf("", m.Pilots, rows, func(s *trials.Summary) string {
		d, _ := s.Detection.Sensitivity()
		return fmt.Sprintf("d′ %.1f", d)
	}))
	out.WriteString("\nd′ sets answers to all events against flights broken off without one, with the log-linear correction.\n")
	return out.String()
}

// lineOf is one line of a table: a scenario, or all of them where name is empty.
func lineOf(name string, pilots []string, rows []trials.Row, words func(s *trials.Summary) string) string {
	line := "| " + name
	if name == "" {
		line = "| all"
	}
	for _, pilot := range pilots {
		s := trials.Summarise(trials.Where(rows, func(r *trials.Row) bool {
			return r.Pilot == pilot && (name == "" || r.Scenario == name)
		}))
		line += " | " + words(&s)
	}
	return line + " |\n"
}

func eventWords(s *trials.Summary) string {
	words := goWords(s.Go)
	if len(s.Waits) > 0 {
		words += fmt.Sprintf(" (%s, %s%s)", secondsWords(s.Waits, 0.5), secondsWords(s.Waits, 0.95), usedWords(s.Used))
	}
	return words + voidWords(s)
}

func quietWords(s *trials.Summary) string {
	words := goWords(s.Go)
	if n := s.Detection.FalseAlarms.Some; n > 0 {
		words += fmt.Sprintf(", %d broken off", n)
	}
	return words + voidWords(s)
}

func goWords(s tally.Share) string {
	if s.All == 0 {
		return "none counts"
	}
	i := s.Wilson(0.95)
	return fmt.Sprintf("%.0f, %.0f–%.0f", 100*s.Of(), 100*i.Low, 100*i.High)
}

func voidWords(s *trials.Summary) string {
	if s.Void == 0 {
		return ""
	}
	return fmt.Sprintf(", %d void", s.Void)
}

func secondsWords(w tally.Waits, p float64) string {
	if x, ok := w.Percentile(p); ok {
		return fmt.Sprintf("%.1f", x)
	}
	return "–"
}

func usedWords(used []float64) string {
	if len(used) == 0 {
		return ""
	}
	slices.Sort(used)
	return fmt.Sprintf(", %.0f %%", 100*stat.Quantile(0.5, stat.Empirical, used, nil))
}

// tableOfPairs compares the pilots over the whole catalogue and holds them to their
// order: in the trend number a trained person is ahead of a novice and of each habit
// beyond chance, in GO of all but the two habits that mostly do the right thing, only
// late or where it is not asked for; an expert is not behind. Scenarios are drawn again whole, with all
// their seeds: what is asked is how it would be with other scenarios like these.
func tableOfPairs(t *testing.T, rows []trials.Row, seeds, badSeeds int) string {
	var out strings.Builder
	fmt.Fprintf(&out, "\nOver the whole catalogue, paired by scenario and seed (%d seeds; for the four habits %d). GO: who alone got it, the difference in points with Newcombe's interval at 95 %%, the exact McNemar test raised by Holm for all of these lines. Trend number: mean difference with a bootstrap interval (BCa, 95 %%, scenarios drawn whole).\n\n", seeds, badSeeds)
	out.WriteString("| first | second | pairs | first only | second only | GO, difference | p | number, difference |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n")
	lines := []comparison{compare("expert", "trained", rows), compare("trained", "novice", rows)}
	for _, habit := range habits {
		lines = append(lines, compare("trained", habit, rows))
	}
	var chances []float64
	for _, l := range lines {
		chances = append(chances, l.pairs.McNemar())
	}
	chances = tally.Holm(chances)
	for k, l := range lines {
		i, n := l.pairs.Newcombe(0.95), l.numbers.Corrected(0.95)
		assert.Positive(t, i.High, "GO of %s against %s: %+v", l.first, l.second, l.pairs)
		if l.first != "expert" {
			assert.Positive(t, n.Low, "number of %s against %s", l.first, l.second)
		}
		if slices.Contains([]string{"novice", "always-cut-off", "stir"}, l.second) {
			assert.Positive(t, i.Low, "GO of %s against %s: %+v", l.first, l.second, l.pairs)
			assert.Less(t, chances[k], 0.05, "GO of %s against %s", l.first, l.second)
		}
		fmt.Fprintf(&out, "| %s | %s | %d | %d | %d | %+.1f, %+.1f to %+.1f | %s | %+.1f, %+.1f to %+.1f |\n", l.first, l.second, l.pairs.Count(),
			l.pairs.First, l.pairs.Second, 100*l.pairs.Difference(), 100*i.Low, 100*i.High, chanceWords(chances[k]), l.numbers.Figure, n.Low, n.High)
	}
	return out.String()
}

type comparison struct {
	first, second string
	pairs         tally.Pairs
	numbers       tally.Bootstrap // of the mean difference of the trend number
}

func compare(first, second string, rows []trials.Row) comparison {
	var means []float64 // of each scenario
	for _, name := range scenarios.Names(scenarios.KindScenario) {
		above := trials.Numbers(trials.Where(rows, func(r *trials.Row) bool { return r.Scenario == name }), first, second)
		if len(above) > 0 {
			means = append(means, stat.Mean(above, nil))
		}
	}
	numbers := tally.Resample(len(means), 10000, 1, func(places []int) float64 {
		sum := 0.0
		for _, place := range places {
			sum += means[place]
		}
		return sum / float64(len(places))
	})
	return comparison{first, second, trials.Compare(rows, first, second), numbers}
}

func chanceWords(p float64) string {
	if p < 0.001 {
		return "< 0.001"
	}
	return fmt.Sprintf("%.3f", p)
}
