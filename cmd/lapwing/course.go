package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim/judge"
	"lapwing/sim/trials"
)

// courseOptions are the flags of course.
type courseOptions struct {
	pilot  string
	seed   uint64
	out    string
	json   bool
	noTime bool
}

// coursed is the JSON form of a course that was flown.
type coursed struct {
	Course  string          `json:"course"`
	Title   string          `json:"title"`
	Pilot   string          `json:"pilot"`
	Seed    uint64          `json:"seed"`
	Passed  bool            `json:"passed"`
	Steps   []coursedStep   `json:"steps"`
	Flights []coursedFlight `json:"flights"`
	Counts  counts          `json:"counts"`
}

// coursedStep is how a step went; one that was not reached has no flights.
type coursedStep struct {
	Step      int      `json:"step"`
	Scenarios []string `json:"scenarios"`
	Announced string   `json:"announced"` // no, kind, fully
	Tries     int      `json:"tries"`
	Go        int      `json:"go"`
	CatchRuns int      `json:"catch_runs"`
	Void      int      `json:"void"`
	MovedOn   bool     `json:"moved_on"`
	Says      string   `json:"says"`
}

// coursedFlight is one flight of a course.
type coursedFlight struct {
	Step      int    `json:"step"`
	Flight    int    `json:"flight"` // of the step, from 1
	Catch     bool   `json:"catch_run"`
	Recording string `json:"recording,omitempty"`
	trials.Row
}

func newCourse() *cobra.Command {
	var o courseOptions
	cmd := &cobra.Command{
		Use:   "course COURSE",
		Short: "Fly a course: drills in order, each until its standard is met",
		Long: `Fly a course of the catalogue, or a file, with a modelled pilot or a script. Each step
is flown until its standard is met, or until it has been tried as often as the course
allows: then it stops there. Each flight has a seed of its own. Where a step mixes
several events or runs in which nothing happens, their order is drawn by seed and told
only as they have been flown.

Exit code 0 when every step was passed, 1 when not.`,
		Example: "  lapwing course taking-over --pilot trained --seed 3\n" +
			"  lapwing course my-course.yaml --pilot novice --json --out sitting",
		Args: cobra.ExactArgs(1),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return scenarios.Names(scenarios.KindCourse), cobra.ShellCompDirectiveDefault
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return flyCourse(cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0], &o)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&o.pilot, "pilot", "trained", "who flies: none, novice, trained, expert, ideal, or a script")
	flags.Uint64Var(&o.seed, "seed", 1, "seed of all that is random; the same seed gives the same course")
	flags.StringVar(&o.out, "out", "", "folder for the recordings and results, a folder in it for each flight")
	flags.BoolVar(&o.json, "json", false, "print JSON")
	flags.BoolVar(&o.noTime, "no-time-available", false, "do not compute how long there was to act")
	if err := cmd.RegisterFlagCompletionFunc("pilot", completeNames(append(pilotNames(), scenarios.Names(scenarios.KindScript)...)...)); err != nil {
		panic("lapwing: " + err.Error())
	}
	return cmd
}

func flyCourse(out, errOut io.Writer, name string, o *courseOptions) error {
	course, err := loadCourse(name)
	if err != nil {
		return err
	}
	who, err := whoFlies(o.pilot)
	if err != nil {
		return err
	}
	told := io.Discard
	if !o.json {
		told = out
	}
	table := newCourseTable(told, course)
	table.head(who.name, o.seed)
	sitting := course.Sitting(o.seed)
	result := coursed{Course: course.Name, Title: course.Title, Pilot: who.name, Seed: o.seed}
	for try, more := sitting.Next(); more; try, more = sitting.Next() {
		flight, err := flyTry(errOut, course, sitting, try, &who, o)
		if err != nil {
			return err
		}
		sitting.Note(try, &flight.Row)
		result.Flights = append(result.Flights, flight)
		table.flight(&flight)
		if next, more := sitting.Next(); !more || next.Step != try.Step {
			table.stepDone(stepOf(course, sitting, try.Step))
		}
	}
	result.conclude(course, sitting)
	return report(out, &result, o)
}

// flyTry flies one flight of a course.
func flyTry(errOut io.Writer, course *scenarios.Course, sitting *trials.Sitting, try trials.Try, who *person, o *courseOptions) (coursedFlight, error) {
	number := sitting.Standing(try.Step).Flights + 1
	fly := flyOptions{pilot: o.pilot, seed: try.Seed, noTime: o.noTime}
	if o.out != "" {
		fly.out = filepath.Join(o.out, fmt.Sprintf("step-%02d-flight-%02d", try.Step+1, number))
	}
	bundle := course.Bundle(try)
	conditions, result, f, err := rehearse(errOut, bundle, who, &fly)
	if err != nil {
		return coursedFlight{}, err
	}
	return coursedFlight{Step: try.Step + 1, Flight: number, Catch: try.Catch, Recording: f.Recording,
		Row: trials.RowOf(bundle.Name, who.name, conditions, result, &f.Result)}, nil
}

// report prints and saves what a course came to, and turns it into the exit code.
func report(out io.Writer, result *coursed, o *courseOptions) error {
	if o.out != "" {
		if err := saveJSON(filepath.Join(o.out, "course.json"), result); err != nil {
			return err
		}
	}
	if o.json {
		if err := printJSON(out, result); err != nil {
			return err
		}
	} else {
		printCounts(out, result)
		printCautions(out)
	}
	if !result.Passed {
		return coded{exitNoGo, nil}
	}
	return nil
}

// conclude fills in what stands when the last flight is over.
func (r *coursed) conclude(course *scenarios.Course, sitting *trials.Sitting) {
	r.Passed = sitting.Passed()
	for i := range course.Steps {
		r.Steps = append(r.Steps, stepOf(course, sitting, i))
	}
	rows := make([]trials.Row, len(r.Flights))
	for i := range r.Flights {
		rows[i] = r.Flights[i].Row
	}
	r.Counts = countsOf(rows)
}

func stepOf(course *scenarios.Course, sitting *trials.Sitting, i int) coursedStep {
	step, stand := &course.Steps[i], sitting.Standing(i)
	s := coursedStep{Step: i + 1, Announced: step.Drills[0].Drill.Announced.String(), Tries: len(stand.Tries), Go: stand.LastGo(len(stand.Tries)),
		CatchRuns: stand.Catch, Void: stand.Void, MovedOn: stand.Moved, Says: standingWords(&step.Standard, &stand)}
	for _, b := range step.Drills {
		s.Scenarios = append(s.Scenarios, b.Name)
	}
	return s
}

// standingWords says how a step stands against its standard.
func standingWords(step *trials.Step, stand *trials.Standing) string {
	looked := min(step.OfLast, len(stand.Tries))
	words := fmt.Sprintf(", %d of the last %d GO (the standard: %d of %d)", stand.LastGo(step.OfLast), looked, step.Go, step.OfLast)
	if step.OfLast == 1 {
		words = " after " + triesWords(len(stand.Tries))
	}
	if alarms := stand.LastAlarms(step.OfLast); alarms > 0 {
		words += fmt.Sprintf("; false alarms between them %d, at most %d", alarms, step.FalseAlarms)
	}
	if stand.Void > 0 {
		words += fmt.Sprintf("; void %d, not counted", stand.Void)
	}
	switch {
	case stand.Flights == 0:
		return "not reached"
	case stand.Moved:
		return "moved on" + words
	}
	return "not moved on" + words
}

func triesWords(n int) string {
	if n == 1 {
		return "1 try"
	}
	return fmt.Sprintf("%d tries", n)
}

// loadCourse finds a course by name in the catalogue or by path on disk.
func loadCourse(name string) (*scenarios.Course, error) {
	course, err := scenarios.LoadCourse(scenarios.Disk(""), name)
	if err != nil {
		return nil, coded{exitUsage, err}
	}
	return course, nil
}

// courseTable prints the flights of a course as they come.
type courseTable struct {
	out    io.Writer
	course *scenarios.Course
	width  int // of the scenarios' names
}

func newCourseTable(out io.Writer, course *scenarios.Course) *courseTable {
	t := &courseTable{out: out, course: course, width: len("SCENARIO")}
	for i := range course.Steps {
		for _, b := range append(course.Steps[i].Drills, course.Steps[i].Catch...) {
			t.width = max(t.width, len(b.Name))
		}
	}
	return t
}

func (t *courseTable) head(pilot string, seed uint64) {
	fmt.Fprintf(t.out, "%s\npilot %s, seed %d\n\n", t.course.Title, pilot, seed)
	t.line("STEP", "SCENARIO", "FLIGHT", "RESULT", "FIRST RIGHT", "TIME USED", "WHY NOT")
}

func (t *courseTable) line(step, scenario, flight, result, right, used, why string) {
	text := fmt.Sprintf("%4s  %-*s  %6s  %-8s  %11s  %13s  %s", step, t.width, scenario, flight, result, right, used, why)
	fmt.Fprintln(t.out, strings.TrimRight(text, " "))
}

func (t *courseTable) flight(f *coursedFlight) {
	right, used, why := "-", "-", ""
	if f.FirstRightS != nil {
		right = fmt.Sprintf("%.1f s", *f.FirstRightS)
	}
	if f.UsedShare != nil && f.AvailableS != nil {
		used = fmt.Sprintf("%.0f %% of %.1f s", 100**f.UsedShare, *f.AvailableS)
	}
	if len(f.WhyNot) > 0 {
		why = f.WhyNot[0]
	}
	if f.Catch {
		why = strings.TrimSuffix("a catch run; "+why, "; ")
	}
	t.line(fmt.Sprint(f.Step), f.Scenario, fmt.Sprint(f.Flight), string(f.Verdict), right, used, why)
}

func (t *courseTable) stepDone(s coursedStep) {
	words := "" // where nothing goes wrong, there is nothing to announce
	if d := &t.course.Steps[s.Step-1].Drills[0].Drill; d.Class != judge.ClassN {
		words = d.Announced.Words() + ": "
	}
	fmt.Fprintf(t.out, "      %s%s\n", words, s.Says)
}
