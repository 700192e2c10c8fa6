package main

import (
	"fmt"
	"io"

	"lapwing/sim/score"
	"lapwing/sim/tally"
	"lapwing/sim/trials"
)

// sureness is the confidence of the intervals in tables, and surely that of the
// one-sided statement about a clean sheet: both common practice.
const (
	sureness = 0.95
	surely   = 0.90
)

// counts is what a number of flights came to, with how sure that is.
type counts struct {
	trials.Summary
	GoInterval  *tally.Interval `json:"go_wilson_95"`
	Sensitivity *float64        `json:"d_prime"`
	MedianS     *float64        `json:"median_first_right_s"`
}

func countsOf(rows []trials.Row) counts {
	c := counts{Summary: trials.Summarise(rows)}
	if c.Go.All > 0 {
		i := c.Go.Wilson(sureness)
		c.GoInterval = &i
	}
	if d, ok := c.Detection.Sensitivity(); ok {
		c.Sensitivity = &d
	}
	if m, ok := c.Waits.Percentile(0.5); ok {
		c.MedianS = &m
	}
	return c
}

// printCounts prints the end of a course: the counts first, what follows from them
// as notes.
func printCounts(out io.Writer, r *coursed) {
	c := &r.Counts
	hits, alarms := c.Detection.Hits, c.Detection.FalseAlarms
	lines := []string{
		fmt.Sprintf("%s: %s answered in time, %s not.", some(hits.All, "event"), number(hits.Some), number(hits.All-hits.Some)),
		fmt.Sprintf("%s without an event: %s flown as planned, %s broken off.", some(alarms.All, "flight"), number(alarms.All-alarms.Some), number(alarms.Some)),
		"GO: " + shareWords(c.Go) + ".",
	}
	if c.Sensitivity != nil {
		lines = append(lines, fmt.Sprintf("A note: d′ %.1f, with the log-linear correction, of %s and %s without one.", *c.Sensitivity, some(hits.All, "event"), some(alarms.All, "flight")))
	}
	lines = append(lines, expectedWords(c)...)
	if c.MedianS != nil {
		lines = append(lines, fmt.Sprintf("First right action: half of them within %.1f s of the cue (%s, %s of them without any).",
			*c.MedianS, some(len(c.Waits), "event"), number(len(c.Waits)-c.Waits.Came())))
	}
	if c.Void > 0 {
		lines = append(lines, fmt.Sprintf("%s void, not counted.", some(c.Void, "flight")))
	}
	if c.Unscored > 0 {
		lines = append(lines, fmt.Sprintf("%s shown and not judged.", some(c.Unscored, "demonstration")))
	}
	result := "Result: course passed"
	if !r.Passed {
		last := r.Flights[len(r.Flights)-1].Step
		result = fmt.Sprintf("Result: not moved on from step %d of %d", last, len(r.Steps))
	}
	printSections(out, []score.Section{{Title: "What it came to", Lines: lines}})
	fmt.Fprintf(out, "\n%s\n", result)
}

// expectedWords tells events that were announced from those that were not: the
// first show doing, the others noticing, and the two are never averaged.
func expectedWords(c *counts) (lines []string) {
	if c.Announced.All > 0 {
		lines = append(lines, "Announced events, GO: "+shareWords(c.Announced)+".")
	}
	if c.Half.All > 0 {
		lines = append(lines, "Half announced events (the kind known, the time not), GO: "+shareWords(c.Half)+".")
	}
	if u := c.Unannounced; u.All > 0 {
		lines = append(lines, "Unannounced events, GO: "+shareWords(u)+".")
		if u.Some == u.All {
			lines = append(lines, fmt.Sprintf("%d of %d supports a rate of at least %.0f %% (%.0f %% confidence).",
				u.Some, u.All, 100*tally.AtLeast(u.All, surely), 100*surely))
		}
	}
	return lines
}

// shareWords says a share with its interval.
func shareWords(s tally.Share) string {
	if s.All == 0 {
		return "of none"
	}
	i := s.Wilson(sureness)
	return fmt.Sprintf("%d of %d, %.0f %% (Wilson interval at %.0f %%: %.0f to %.0f %%)", s.Some, s.All, 100*s.Of(), 100*sureness, 100*i.Low, 100*i.High)
}

func some(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return number(n) + " " + what + "s"
}

func number(n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprint(n)
}
