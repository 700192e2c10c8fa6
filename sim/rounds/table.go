package rounds

import (
	"lapwing/sim/tally"
	"lapwing/sim/trials"
)

// Confidences of the table, common practice: of intervals, and of the one-sided
// statement about a clean sheet.
const (
	Sureness = 0.95
	Surely   = 0.90
)

// Group is the cases of one scenario, craft, law and pilot, over seeds and the
// points of a sweep.
type Group struct {
	Scenario string `json:"scenario"`
	Craft    string `json:"craft"`
	Law      string `json:"law"`
	Pilot    string `json:"pilot"`

	Cases    int            `json:"cases"`
	Go       tally.Share    `json:"go"` // of those that were judged
	Wilson   tally.Interval `json:"go_wilson_95"`
	Supports *float64       `json:"supports_at_least"` // rate of GO, at 90 %, where all passed
	Hard     int            `json:"hard_outcomes"`
	Errors   int            `json:"errors"`
	Void     int            `json:"void"`
	MedianS  *float64       `json:"median_first_right_s"` // from the cue; who never acted is counted as such; null where half never did
	LateS    *float64       `json:"p95_first_right_s"`

	waits tally.Waits
}

// Table is what a number of results came to.
type Table struct {
	Groups []Group
	Counter
	places map[names]int // only looked up
}

type names struct{ scenario, craft, law, pilot string }

// Add counts a result. Groups stand in the order in which they came.
func (t *Table) Add(r *trials.Result) {
	name := names{r.Scenario, r.Craft, r.Law, r.Pilot}
	i, ok := t.places[name]
	if !ok {
		if t.places == nil {
			t.places = map[names]int{}
		}
		i = len(t.Groups)
		t.places[name], t.Groups = i, append(t.Groups, Group{Scenario: r.Scenario, Craft: r.Craft, Law: r.Law, Pilot: r.Pilot})
	}
	t.Counter.Add(r.Outcome)
	t.Groups[i].add(r)
}

func (g *Group) add(r *trials.Result) {
	g.Cases++
	switch r.Outcome {
	case trials.Errored:
		g.Errors++
		return
	case trials.Voided:
		g.Void++
		return
	case trials.Passed:
		g.Go.Some++
		g.Go.All++
	case trials.Failed:
		g.Go.All++
	}
	if r.Hard != "" {
		g.Hard++
	}
	switch {
	case !r.Event:
	case r.FirstRightS != nil:
		g.waits = append(g.waits, tally.Wait{Seconds: *r.FirstRightS, Came: true})
	default:
		g.waits = append(g.waits, tally.Wait{Seconds: r.WatchedS})
	}
}

// Close works out what follows from the counts, once all results are in.
func (t *Table) Close() {
	for i := range t.Groups {
		g := &t.Groups[i]
		g.Wilson = g.Go.Wilson(Sureness)
		if g.Go.All > 0 && g.Go.Some == g.Go.All {
			least := tally.AtLeast(g.Go.All, Surely)
			g.Supports = &least
		}
		if s, ok := g.waits.Percentile(0.5); ok {
			g.MedianS = &s
		}
		if s, ok := g.waits.Percentile(0.95); ok {
			g.LateS = &s
		}
	}
}
