package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"time"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/pilot"
	"lapwing/sim/record"
	"lapwing/sim/score"
)

// flyOptions are the flags of fly.
type flyOptions struct {
	pilot      string
	seed       uint64
	out        string
	procedures []string
	law        string
	json       bool
	trace      bool
	noTime     bool
}

// flown is the JSON form of a flight.
type flown struct {
	Scenario  string           `json:"scenario"`
	Craft     string           `json:"craft"`
	Room      string           `json:"room"`
	Pilot     string           `json:"pilot"`
	Seed      uint64           `json:"seed"`
	Recording string           `json:"recording,omitempty"`
	Body      string           `json:"body_sha256,omitempty"`
	Result    score.Assessment `json:"result"`
}

func newFly() *cobra.Command {
	var o flyOptions
	cmd := &cobra.Command{
		Use:   "fly SCENARIO",
		Short: "Fly one rehearsal without a window, score it and record it",
		Long: `Fly a scenario of the catalogue, or a file, with a modelled pilot or a script. What
is printed is the hot wash: what happened when, what was done when, about how long
there was to act, what it cost, and GO or NO-GO and why.

Pilots: none (flies the plan, answers nothing), novice, trained, expert, ideal, or
the path of a script file.`,
		Example: "  lapwing fly drift-in-hold --pilot trained --seed 7 --out run/\n" +
			"  lapwing fly motor-failure-quad --pilot none --json",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeScenario,
		RunE: func(cmd *cobra.Command, args []string) error {
			return fly(cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0], &o)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&o.pilot, "pilot", "trained", "who flies: none, novice, trained, expert, ideal, or a script file")
	flags.Uint64Var(&o.seed, "seed", 1, "seed of all that is random; the same seed gives the same run")
	flags.StringVar(&o.out, "out", "", "folder for the recording and the result")
	flags.StringSliceVar(&o.procedures, "procedures", nil, "procedures file that overrides what counts as right")
	flags.StringVar(&o.law, "law", "", "law file that overrides gains and limits")
	flags.BoolVar(&o.json, "json", false, "print JSON (its schema: lapwing check --schema result)")
	flags.BoolVar(&o.trace, "trace", false, "record a hash of every field at every tick (large)")
	flags.BoolVar(&o.noTime, "no-time-available", false, "do not compute how long there was to act")
	return cmd
}

func fly(out, errOut io.Writer, name string, o *flyOptions) error {
	bundle, err := loadScenario(name, o.procedures...)
	if err != nil {
		return err
	}
	conditions := bundle.Rehearsal(o.seed)
	who, err := pilotNamed(o, &conditions)
	if err != nil {
		return err
	}
	line := newProgress(errOut, conditions.Duration)
	watchers := []sim.Watcher{line}
	recorder, path, err := startRecording(bundle, o)
	if err != nil {
		return err
	}
	if recorder != nil {
		watchers = append(watchers, recorder)
	}
	result := sim.Run(&conditions, who, watchers...)
	line.done()
	f := flown{Scenario: bundle.Name, Craft: bundle.CraftName, Room: bundle.RoomName, Pilot: o.pilot, Seed: o.seed, Recording: path}
	if recorder != nil {
		if f.Body, err = recorder.Close(&result); err != nil {
			return internal(err)
		}
	}
	f.Result = assess(&conditions, &result, o.noTime)
	if err := saveResult(&f, o.out); err != nil {
		return err
	}
	if err := printFlown(out, bundle, &conditions, &result, &f, o); err != nil {
		return err
	}
	return verdict(f.Result.Verdict)
}

// pilotNamed returns the pilot that the flags ask for.
func pilotNamed(o *flyOptions, c *sim.Conditions) (pilot.Pilot, error) {
	who, err := c.Pilot(o.pilot, nil)
	if err != nil {
		return nil, coded{exitUsage, err}
	}
	return who, nil
}

func assess(c *sim.Conditions, r *sim.Result, noTime bool) score.Assessment {
	available := score.Available{}
	if !noTime {
		available = score.TimeAvailable(c, r.AtCue)
	}
	return score.Assess(c, r, available)
}

// verdict turns a verdict into the exit code.
func verdict(v score.Verdict) error {
	switch v {
	case score.NoGo:
		return coded{exitNoGo, nil}
	case score.Void:
		return coded{exitVoid, nil}
	}
	return nil
}

// startRecording opens the recording in the output folder, if one is asked for.
func startRecording(b *scenarios.Bundle, o *flyOptions) (*record.Writer, string, error) {
	if o.out == "" {
		if o.trace {
			return nil, "", badUse("--trace needs --out: a trace is part of a recording")
		}
		return nil, "", nil
	}
	if err := os.MkdirAll(o.out, 0o755); err != nil {
		return nil, "", badUse("the folder for the recording: %v", err)
	}
	path := filepath.Join(o.out, "rehearsal.mcap")
	head := record.Rehearsal{Program: version, Scenario: b.Name, Pilot: o.pilot, Seed: o.seed, Trace: o.trace}
	var docs []record.Document
	for _, d := range b.Documents {
		docs = append(docs, record.Document{Kind: string(d.Kind), Name: d.Name, Text: string(d.Text)})
	}
	w, err := record.Create(path, head, docs)
	if err != nil {
		return nil, "", coded{exitUsage, err}
	}
	return w, path, nil
}

// about is what belongs to the machine and the moment, kept outside the
// recording so that its bytes do not depend on them.
type about struct {
	Program string `json:"program"`
	Go      string `json:"go"`
	System  string `json:"system"`
	Commit  string `json:"commit,omitempty"`
	At      string `json:"at"` // RFC 3339
}

func saveResult(f *flown, folder string) error {
	if folder == "" {
		return nil
	}
	a := about{Program: version, Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH, At: time.Now().UTC().Format(time.RFC3339)}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				a.Commit = s.Value
			}
		}
	}
	return errors.Join(saveJSON(filepath.Join(folder, "result.json"), f), saveJSON(filepath.Join(folder, "about.json"), a))
}

func saveJSON(path string, value any) error {
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return internal(err)
	}
	if err := os.WriteFile(path, append(text, '\n'), 0o644); err != nil {
		return internal(err)
	}
	return nil
}

func printFlown(out io.Writer, b *scenarios.Bundle, c *sim.Conditions, r *sim.Result, f *flown, o *flyOptions) error {
	if o.json {
		return printJSON(out, f)
	}
	printResult(out, b, c, r, &f.Result, o.pilot)
	next := []string{fmt.Sprintf("lapwing fly %s --pilot %s --seed %d     the same with other noise and another moment", b.Name, o.pilot, o.seed+1)}
	if f.Recording != "" {
		next = append([]string{fmt.Sprintf("lapwing replay %s     fly it again, bit for bit", f.Recording)}, next...)
	}
	fmt.Fprintln(out, "\nWhat to type next")
	for _, l := range next {
		fmt.Fprintln(out, "  "+l)
	}
	printCautions(out)
	return nil
}

// printResult prints the hot wash.
func printResult(out io.Writer, b *scenarios.Bundle, c *sim.Conditions, r *sim.Result, a *score.Assessment, pilot string) {
	announced := "unannounced"
	if c.Drill.Announced {
		announced = "announced"
	}
	fmt.Fprintf(out, "%s\n%s in %s, pilot %s, seed %d, %s; the answer asked for: %s\n", b.Title, b.CraftName, b.RoomName,
		pilot, c.Seed, announced, c.Drill.Class.Words())
	printSections(out, score.HotWash(c, r, a))
}
