package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lapwing/sim/rounds"
	"lapwing/sim/trials"
)

// mostTold is how many cases that did not pass are told with their command; the
// others stand in junit.xml.
const mostTold = 10

// told is the JSON form of what trials came to.
type told struct {
	Title    string         `json:"title"`
	Cases    int            `json:"cases"`
	Shard    string         `json:"shard,omitempty"`
	Passed   int            `json:"passed"`
	Failed   int            `json:"failed"`
	Errors   int            `json:"errors"`
	Void     int            `json:"void"`
	Unscored int            `json:"unscored"`
	Groups   []rounds.Group `json:"groups"`
	Amiss    []amiss        `json:"amiss"` // the first that did not pass, errors before failures
}

// amiss is a case that did not pass.
type amiss struct {
	Case    int            `json:"case"`
	Name    string         `json:"name"`
	Outcome trials.Outcome `json:"outcome"`
	Why     string         `json:"why"`
	Again   string         `json:"again"`
}

// tellTrials writes what follows from finished results beside them, prints it, and
// turns it into the exit code. A shard is no verdict.
func tellTrials(out io.Writer, dir string, asJSON bool) error {
	head, err := rounds.ReadHead(dir)
	if err != nil {
		return internal(err)
	}
	t, err := tallied(dir, &head)
	if err != nil {
		return internal(err)
	}
	if err := saveJSON(filepath.Join(dir, "summary.json"), t); err != nil {
		return err
	}
	if err := rounds.WriteJUnit(dir, filepath.Join(dir, "junit.xml")); err != nil {
		return internal(err)
	}
	if err := rounds.WriteParquet(dir, filepath.Join(dir, "results.parquet")); err != nil {
		return internal(err)
	}
	if asJSON {
		if err := printJSON(out, t); err != nil {
			return err
		}
	} else {
		t.print(out, dir)
	}
	if head.Shard.Of > 1 {
		return nil
	}
	return t.code()
}

func tallied(dir string, head *rounds.Head) (*told, error) {
	var table rounds.Table
	var failed []amiss
	t := &told{Title: head.Title, Cases: head.Shard.Count(head.Cases), Amiss: []amiss{}}
	if head.Shard.Of > 1 {
		t.Shard = head.Shard.String()
	}
	err := rounds.Each(dir, func(r *trials.Result, _ []byte) error {
		table.Add(r)
		a := amiss{r.ID, fmt.Sprintf("%s, pilot %s, seed %d", r.Name(), r.Pilot, r.Seed), r.Outcome, rounds.Why(r), head.Again(r.ID)}
		switch {
		case r.Outcome == trials.Errored && len(t.Amiss) < mostTold:
			t.Amiss = append(t.Amiss, a)
		case (r.Outcome == trials.Failed || r.Outcome == trials.Voided) && len(failed) < mostTold:
			failed = append(failed, a)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	table.Close()
	t.Groups, t.Amiss = table.Groups, append(t.Amiss, failed[:min(len(failed), mostTold-len(t.Amiss))]...)
	t.Passed, t.Failed, t.Errors, t.Void, t.Unscored = table.Passed, table.Failed, table.Errored, table.Voided, table.Unscored
	return t, nil
}

// code is the exit code: an error outweighs a failure, and both a void case.
func (t *told) code() error {
	switch {
	case t.Errors > 0:
		return coded{exitInternal, nil}
	case t.Failed > 0:
		return coded{exitNoGo, nil}
	case t.Void > 0:
		return coded{exitVoid, nil}
	}
	return nil
}

func (t *told) print(out io.Writer, dir string) {
	fmt.Fprintf(out, "%s: %s\n\n", t.Title, some(t.Cases, "case"))
	t.printGroups(out)
	fmt.Fprintf(out, "\n%d passed, %d failed, %d in error, %d void, %d shown and not judged\n", t.Passed, t.Failed, t.Errors, t.Void, t.Unscored)
	for _, a := range t.Amiss {
		printWrapped(out, "", fmt.Sprintf("%s: %s: %s", a.Outcome, a.Name, a.Why))
		fmt.Fprintf(out, "  %s\n", a.Again)
	}
	if more := t.Failed + t.Errors + t.Void - len(t.Amiss); more > 0 {
		fmt.Fprintf(out, "… and %d more, in %s\n", more, filepath.Join(dir, "junit.xml"))
	}
	if t.Shard != "" {
		fmt.Fprintf(out, "Shard %s is done. When all are: lapwing merge %s --out %s\n", t.Shard, filepath.Dir(dir), filepath.Join(filepath.Dir(dir), "merged"))
	}
}

// printGroups prints the table: a row for each scenario, craft, law and pilot.
func (t *told) printGroups(out io.Writer) {
	rows := [][]string{{"SCENARIO", "CRAFT", "LAW", "PILOT", "N", "GO", "95 %", "FIRST RIGHT: HALF", "95 %", "HARD", "ERROR", "VOID", ""}}
	for i := range t.Groups {
		g := &t.Groups[i]
		share, interval, note := "-", "-", ""
		if g.Go.All > 0 {
			share = fmt.Sprintf("%.0f %%", 100*g.Go.Of())
			interval = fmt.Sprintf("%.0f to %.0f %%", 100*g.Wilson.Low, 100*g.Wilson.High)
		}
		if g.Supports != nil {
			note = fmt.Sprintf("%d of %d supports at least %.0f %%", g.Go.Some, g.Go.All, 100**g.Supports)
		}
		rows = append(rows, []string{g.Scenario, g.Craft, g.Law, g.Pilot, fmt.Sprint(g.Cases), share, interval,
			seconds(g.MedianS), seconds(g.LateS), fmt.Sprint(g.Hard), fmt.Sprint(g.Errors), fmt.Sprint(g.Void), note})
	}
	printAligned(out, rows)
	fmt.Fprintln(out, "\nGO of those judged, Wilson interval. First right action, from the cue: who never acted counts as")
	fmt.Fprintf(out, "such, and a dash is a share that never did. What n of n supports is at %.0f %% confidence.\n", 100*rounds.Surely)
}

func seconds(s *float64) string {
	if s == nil {
		return "-"
	}
	return fmt.Sprintf("%.1f s", *s)
}

// printAligned prints rows with their columns under each other.
func printAligned(out io.Writer, rows [][]string) {
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], len([]rune(cell)))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			line.WriteString(cell + strings.Repeat(" ", widths[i]-len([]rune(cell))+2))
		}
		fmt.Fprintln(out, strings.TrimRight(line.String(), " "))
	}
}

// countdown tells how far trials are: on a terminal on one line, elsewhere with a
// line now and then.
type countdown struct {
	out     io.Writer
	started time.Time
	last    time.Time
	every   time.Duration
	end     string // of a line
	flown   int
	all     int
	drawn   bool
}

func newCountdown(out io.Writer, all int) *countdown {
	c := &countdown{out: out, started: time.Now(), last: time.Now(), every: 30 * time.Second, end: "\n", all: all}
	if file, ok := out.(*os.File); ok && isTerminal(file) {
		c.every, c.end = 200*time.Millisecond, "\r"
	}
	return c
}

func (c *countdown) noted() {
	c.flown++
	now := time.Now()
	if now.Sub(c.last) < c.every || now.Sub(c.started) < 2*time.Second {
		return
	}
	c.last, c.drawn = now, true
	left := time.Duration(float64(now.Sub(c.started)) / float64(c.flown) * float64(c.all-c.flown))
	fmt.Fprintf(c.out, "%d of %d cases flown, about %s left   %s", c.flown, c.all, left.Round(time.Second), c.end)
}

// done clears the line.
func (c *countdown) done() {
	if c.drawn && c.end == "\r" {
		fmt.Fprint(c.out, "\r\033[K")
	}
}

func newMerge() *cobra.Command {
	var to string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "merge DIR…",
		Short: "Put the shards of trials together, and judge the whole",
		Long: `Put the results of shards together, given by their folders or by the folder that holds
them all. The merged results are the bytes of a run that was never parted. Shards that
are missing, unfinished, there twice or of other trials are named.

Exit codes as for trials; 2 where shards do not fit together.`,
		Example: "  lapwing merge run --out run/merged",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if to == "" {
				return badUse("merge needs --out; for example: lapwing merge run --out run/merged")
			}
			if _, err := rounds.Merge(args, to); err != nil {
				return coded{exitUsage, err}
			}
			return tellTrials(cmd.OutOrStdout(), to, asJSON)
		},
	}
	cmd.Flags().StringVar(&to, "out", "", "folder for the merged results")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}
