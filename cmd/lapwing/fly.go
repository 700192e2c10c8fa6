package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/folder"
	"lapwing/sim/judge"
	"lapwing/sim/score"
)

// flyOptions are the flags of fly.
type flyOptions struct {
	pilot   string
	seed    uint64
	out     string
	instead scenarios.Instead
	json    bool
	trace   bool
	noTime  bool
}

func newFly() *cobra.Command {
	var o flyOptions
	cmd := &cobra.Command{
		Use:   "fly SCENARIO",
		Short: "Fly one rehearsal without a window, score it and record it",
		Long: `Fly a scenario of the catalogue, or a file, with a modelled pilot or a script. What
is printed is the hot wash: what happened when, what was done when, about how long
there was to act, what it cost, and GO or NO-GO and why.

Pilots: none (flies the plan, answers nothing), novice, trained, expert, ideal; the bad
habits always-cut-off, always-attitude, wait and stir; a script of the catalogue, or the
path of a script file (its schema: lapwing check --schema script).

Files given for law, craft, room and procedures stand in for the scenario's own, and the
recording carries them.`,
		Example: "  lapwing fly drift-in-hold --pilot trained --seed 7 --out run/\n" +
			"  lapwing fly motor-failure-quad --pilot none --json\n" +
			"  lapwing fly drift-in-hold --pilot wait-then-attitude --law my-law.yaml",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeScenario,
		RunE: func(cmd *cobra.Command, args []string) error {
			return fly(cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0], &o)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&o.pilot, "pilot", "trained", "who flies: none, novice, trained, expert, ideal, or a script")
	flags.Uint64Var(&o.seed, "seed", 1, "seed of all that is random; the same seed gives the same run")
	flags.StringVar(&o.out, "out", "", "folder for the recording and the result")
	flags.StringSliceVar(&o.instead.Procedures, "procedures", nil, "procedures, a name or a file, that override what counts as right")
	flags.StringVar(&o.instead.Law, "law", "", "law, a name or a file, that overrides gains and limits")
	flags.StringVar(&o.instead.Craft, "craft", "", "craft, a name or a file, in place of the scenario's")
	flags.StringVar(&o.instead.Room, "room", "", "room, a name or a file, in place of the scenario's")
	flags.BoolVar(&o.json, "json", false, "print JSON (its schema: lapwing check --schema result)")
	flags.BoolVar(&o.trace, "trace", false, "record a hash of every field at every tick (large)")
	flags.BoolVar(&o.noTime, "no-time-available", false, "do not compute how long there was to act")
	completeFly(cmd)
	return cmd
}

// completeFly offers to the shell what the flags of fly may be.
func completeFly(cmd *cobra.Command) {
	offers := map[string][]string{
		"pilot": append(pilotNames(), scenarios.Names(scenarios.KindScript)...),
		"law":   scenarios.Names(scenarios.KindLaw), "procedures": scenarios.Names(scenarios.KindProcedures),
		"craft": scenarios.Names(scenarios.KindCraft), "room": scenarios.Names(scenarios.KindRoom),
	}
	for flag, names := range offers {
		if err := cmd.RegisterFlagCompletionFunc(flag, completeNames(names...)); err != nil {
			panic("lapwing: " + err.Error())
		}
	}
}

func fly(out, errOut io.Writer, name string, o *flyOptions) error {
	bundle, err := loadScenario(name, o.instead)
	if err != nil {
		return err
	}
	tellAside(errOut, bundle, o.instead.Procedures)
	who, err := whoFlies(o.pilot)
	if err != nil {
		return err
	}
	conditions, result, f, err := rehearse(errOut, bundle, &who, o)
	if err != nil {
		return err
	}
	if err := printFlown(out, name, bundle, conditions, result, f, o); err != nil {
		return err
	}
	return verdict(f.Result.Verdict)
}

// rehearse flies a bundle, scores it and, with an output folder, leaves recording
// and result there.
func rehearse(errOut io.Writer, b *scenarios.Bundle, who *person, o *flyOptions) (*sim.Conditions, *sim.Result, *folder.Flown, error) {
	conditions := b.Rehearsal(o.seed)
	hands, err := conditions.Pilot(who.byName, who.lines())
	if err != nil {
		return nil, nil, nil, coded{exitUsage, err}
	}
	line := newProgress(errOut, conditions.Duration)
	watchers := []sim.Watcher{line}
	recorder, path, err := startRecording(b, who, o)
	if err != nil {
		return nil, nil, nil, err
	}
	if recorder != nil {
		watchers = append(watchers, recorder)
	}
	done, err := bring(b, &conditions, recorder)
	if err != nil {
		return nil, nil, nil, err
	}
	defer done()
	result := sim.Run(&conditions, hands, watchers...)
	line.done()
	f := folder.Flown{Scenario: b.Name, Craft: b.CraftName, Room: b.RoomName, Pilot: who.name, Seed: o.seed, Recording: path}
	if recorder != nil {
		if f.Body, err = recorder.Close(&result); err != nil {
			return nil, nil, nil, coded{exitUsage, err}
		}
	}
	if err := outsideError(b, &conditions, &result.End); err != nil {
		return nil, nil, nil, err
	}
	f.Result = assess(errOut, &conditions, &result, o.noTime)
	if err := saveResult(&f, o.out); err != nil {
		return nil, nil, nil, err
	}
	return &conditions, &result, &f, nil
}

// tellAside tells of procedures that were asked for and say nothing here.
func tellAside(errOut io.Writer, b *scenarios.Bundle, asked []string) {
	for _, name := range asked {
		used := slices.ContainsFunc(b.Procedures, func(p scenarios.Procedure) bool { return p.Name == scenarios.BaseName(name) })
		if !used {
			fmt.Fprintf(errOut, "lapwing: note: procedures %s say nothing of %s with %s in %s: they are left aside\n",
				name, b.Event.Word, b.CraftName, b.RoomName)
		}
	}
}

func assess(errOut io.Writer, c *sim.Conditions, r *sim.Result, noTime bool) score.Assessment {
	available := score.Available{}
	if !noTime {
		asked := asking(errOut)
		available = score.TimeAvailable(c, r)
		asked()
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

func printFlown(out io.Writer, name string, b *scenarios.Bundle, c *sim.Conditions, r *sim.Result, f *folder.Flown, o *flyOptions) error {
	if o.json {
		return printJSON(out, f)
	}
	printResult(out, b, c, r, &f.Result, f.Pilot)
	fmt.Fprintln(out, "\nWhat to type next")
	if f.Recording != "" {
		fmt.Fprintf(out, "  lapwing replay %s     fly it again, bit for bit\n", f.Recording)
	}
	fmt.Fprintf(out, "  %s     the same with other noise and another moment\n", again(name, o))
	printCautions(out)
	return nil
}

// again is the command for the same flight with the next seed.
func again(name string, o *flyOptions) string {
	words := []string{"lapwing fly", name, "--pilot", o.pilot}
	for _, flag := range []struct{ name, value string }{{"--craft", o.instead.Craft}, {"--room", o.instead.Room},
		{"--law", o.instead.Law}, {"--procedures", strings.Join(o.instead.Procedures, ",")}} {
		if flag.value != "" {
			words = append(words, flag.name, flag.value)
		}
	}
	return fmt.Sprintf("%s --seed %d", strings.Join(words, " "), o.seed+1)
}

// askedFor says what an event asks for and how much of it was told beforehand;
// nothing where nothing goes wrong.
func askedFor(d *judge.Drill) string {
	if d.Class == judge.ClassN {
		return ""
	}
	return fmt.Sprintf(", %s; the answer asked for: %s", d.Announced.Words(), d.Class.Words())
}

// printResult prints the hot wash.
func printResult(out io.Writer, b *scenarios.Bundle, c *sim.Conditions, r *sim.Result, a *score.Assessment, pilot string) {
	fmt.Fprintf(out, "%s\n%s in %s, pilot %s, seed %d%s\n", b.Title, b.CraftName, b.RoomName, pilot, c.Seed, askedFor(&c.Drill))
	if b.LawName != "" {
		printWrapped(out, "", fmt.Sprintf("Law %s: %s.", b.LawName, strings.TrimSuffix(b.LawTitle, ".")))
	}
	for _, p := range b.Procedures {
		printWrapped(out, "", fmt.Sprintf("What counts as right: procedures %s, checked by %s on %s. %s", p.Name, p.CheckedBy, p.Date, p.Why))
	}
	printSections(out, score.HotWash(c, r, a))
}
