package trials

import (
	"lapwing/sim/judge"
	"lapwing/sim/score"
	"lapwing/sim/tally"
)

// Summary counts rows. Void flights and demonstrations count nowhere but as such.
type Summary struct {
	Flights  int `json:"flights"`
	Void     int `json:"void"`
	Unscored int `json:"unscored"`

	Go          tally.Share     `json:"go"`
	Announced   tally.Share     `json:"go_announced"`      // GO of events that were announced: what is measured is doing
	Half        tally.Share     `json:"go_half_announced"` // of those whose kind was known, and not the time
	Unannounced tally.Share     `json:"go_unannounced"`    // and of those that were not: noticing
	Detection   tally.Detection `json:"detection"`

	Waits tally.Waits `json:"-"` // s, from the cue to the first right action
	Used  []float64   `json:"-"` // shares of the time available
}

// Summarise counts rows.
func Summarise(rows []Row) Summary {
	var s Summary
	for i := range rows {
		s.add(&rows[i])
	}
	return s
}

func (s *Summary) add(r *Row) {
	s.Flights++
	switch r.Verdict {
	case score.Void:
		s.Void++
		return
	case score.Unscored:
		s.Unscored++
		return
	}
	count(&s.Go, r.Verdict == score.Go)
	if !r.Event {
		if r.Flown { // at the bench nothing can be broken off
			count(&s.Detection.FalseAlarms, r.FalseAlarm)
		}
		return
	}
	switch r.Announced {
	case judge.AnnouncedFully.String():
		count(&s.Announced, r.Verdict == score.Go)
	case judge.AnnouncedKind.String():
		count(&s.Half, r.Verdict == score.Go)
	default:
		count(&s.Unannounced, r.Verdict == score.Go)
	}
	count(&s.Detection.Hits, r.Hit)
	if r.FirstRightS != nil {
		s.Waits = append(s.Waits, tally.Wait{Seconds: *r.FirstRightS, Came: true})
	} else {
		s.Waits = append(s.Waits, tally.Wait{Seconds: r.WatchedS})
	}
	if r.UsedShare != nil {
		s.Used = append(s.Used, *r.UsedShare)
	}
}

func count(s *tally.Share, yes bool) {
	s.All++
	if yes {
		s.Some++
	}
}

// Compare pairs the flights of two pilots by scenario and seed and counts who got
// GO. A pair in which either flight is void, or a demonstration, is left out.
func Compare(rows []Row, first, second string) (p tally.Pairs) {
	paired(rows, first, second, func(a, b *Row) { p.Add(a.Verdict == score.Go, b.Verdict == score.Go) })
	return p
}

// Numbers pairs the flights of two pilots as Compare does and returns by how much
// the first's trend number is above the second's in each.
func Numbers(rows []Row, first, second string) (above []float64) {
	paired(rows, first, second, func(a, b *Row) { above = append(above, a.Number-b.Number) })
	return above
}

// paired calls visit with the flights of two pilots under the same scenario and
// seed, where both count.
func paired(rows []Row, first, second string, visit func(a, b *Row)) {
	type flight struct {
		scenario string
		seed     uint64
	}
	of := map[flight]*Row{} // only looked up, never walked
	for i := range rows {
		if r := &rows[i]; r.Pilot == second {
			of[flight{r.Scenario, r.Seed}] = r
		}
	}
	for i := range rows {
		r := &rows[i]
		if r.Pilot != first {
			continue
		}
		if other := of[flight{r.Scenario, r.Seed}]; other != nil && r.counts() && other.counts() {
			visit(r, other)
		}
	}
}

// Where returns the rows for which keep holds.
func Where(rows []Row, keep func(r *Row) bool) []Row {
	var kept []Row
	for i := range rows {
		if keep(&rows[i]) {
			kept = append(kept, rows[i])
		}
	}
	return kept
}
