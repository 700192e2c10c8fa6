package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"lapwing/scenarios"
	"lapwing/sim/rounds"
)

// trialsOptions are the flags of trials.
type trialsOptions struct {
	scenarios, craft, laws, pilots []string // in place of the matrix's
	seeds                          string
	limit                          int64

	out     string
	workers int
	shard   string
	job     string
	shards  int
	one     int
	json    bool
}

// choosing names the flags that say what is flown, so that a command to fly one
// case again repeats them.
var choosing = []string{"scenarios", "craft", "laws", "pilots", "seeds", "limit-ticks"}

func newTrials() *cobra.Command {
	var o trialsOptions
	cmd := &cobra.Command{
		Use:   "trials [MATRIX]",
		Short: "Fly many rehearsals: scenarios × craft × laws × sweep × pilots × seeds",
		Long: `Fly every case of a matrix, a name of the catalogue or a file, and keep what is left of
each in a folder. Flags stand in place of what the matrix says; without a matrix they
say it all. The results are the same bytes on any number of cores.

It may be killed at any moment: the same command goes on where it stopped. The folder
holds, once all is flown, results.jsonl (a line for each case, with a checksum),
results.parquet, junit.xml (a failure is a missed criterion, an error is a fault of
program or law, skipped is what was void) and summary.json.

A pilot may wait on top, as in trained+2s. The word own, for craft and laws, is what a
scenario has of its own. In a Slurm job array or a Kubernetes indexed job (with its
completions in LAPWING_SHARDS) each task takes its shard by itself; a shard is no
verdict and exits 0 when it is done: lapwing merge puts shards together and judges.

Exit codes: 0 all passed, 1 a case failed, 2 wrong usage or a bad file, 3 a case ended
in an error, 4 a case was void, or it was stopped before the end.`,
		Example: "  lapwing trials faults --out run\n" +
			"  lapwing trials --scenarios drift-in-hold --laws own,my-law.yaml --pilots none,trained,trained+2s --seeds 1-50 --out run\n" +
			"  lapwing trials faults --case 17 --out case-17\n" +
			"  lapwing trials faults --out run --job slurm --shards 8 > job.sh",
		Args: cobra.MaximumNArgs(1),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return scenarios.Names(scenarios.KindMatrix), cobra.ShellCompDirectiveDefault
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return flyTrials(cmd, args, &o)
		},
	}
	o.flags(cmd.Flags())
	offers := map[string][]string{"scenarios": scenarios.Names(scenarios.KindScenario), "laws": append(scenarios.Names(scenarios.KindLaw), scenarios.Own),
		"craft": append(scenarios.Names(scenarios.KindCraft), scenarios.Own), "pilots": append(pilotNames(), scenarios.Names(scenarios.KindScript)...),
		"job": {"slurm", "kubernetes"}}
	for flag, names := range offers {
		if err := cmd.RegisterFlagCompletionFunc(flag, completeNames(names...)); err != nil {
			panic("lapwing: " + err.Error())
		}
	}
	return cmd
}

func (o *trialsOptions) flags(f *pflag.FlagSet) {
	f.StringSliceVar(&o.scenarios, "scenarios", nil, "scenarios, in place of the matrix's")
	f.StringSliceVar(&o.craft, "craft", nil, "craft, in place of the matrix's")
	f.StringSliceVar(&o.laws, "laws", nil, "laws, in place of the matrix's")
	f.StringSliceVar(&o.pilots, "pilots", nil, "pilots, in place of the matrix's; trained+2s waits 2 s on top")
	f.StringVar(&o.seeds, "seeds", "", "seeds, in place of the matrix's: 1-50, or 3,5,8")
	f.Int64Var(&o.limit, "limit-ticks", 0, "a case that has not ended after so many ticks (ms) is an error, in place of the matrix's")
	f.StringVar(&o.out, "out", "trials-out", "folder for the results; what is there already is not flown again")
	f.IntVar(&o.workers, "workers", runtime.GOMAXPROCS(0), "how many fly at the same time; changes no result")
	f.StringVar(&o.shard, "shard", "", "fly part K of N only, as K/N, into a folder of its own in --out")
	f.StringVar(&o.job, "job", "", "print a script for slurm or a manifest for kubernetes, and fly nothing")
	f.IntVar(&o.shards, "shards", 8, "into how many shards --job parts the cases")
	f.IntVar(&o.one, "case", -1, "fly this case alone, into --out with its recording, and tell it as fly does")
	f.BoolVar(&o.json, "json", false, "print JSON")
}

func flyTrials(cmd *cobra.Command, args []string, o *trialsOptions) error {
	m, err := o.matrix(args, cmd.Flags())
	if err != nil {
		return err
	}
	words := typedAgain(args, cmd.Flags())
	if o.workers < 1 || o.shards < 1 {
		return badUse("--workers %d, --shards %d: allowed 1 and more", o.workers, o.shards)
	}
	cases, err := rounds.Resolve(m)
	if err != nil {
		return coded{exitUsage, err}
	}
	defer cases.Close()
	out, errOut := cmd.OutOrStdout(), cmd.ErrOrStderr()
	switch {
	case o.job != "":
		return printJob(out, words, o)
	case cmd.Flags().Changed("case"):
		return flyCase(out, errOut, cases, o)
	}
	return flyAll(out, errOut, cases, rounds.Command(words...), o)
}

// flyAll flies the shard that is asked for and tells what it came to.
func flyAll(out, errOut io.Writer, cases *rounds.Cases, again string, o *trialsOptions) error {
	shard, err := o.part(errOut)
	if err != nil {
		return err
	}
	dir := o.out
	if shard.Of > 1 {
		dir = filepath.Join(dir, shard.Dir())
	}
	folder, err := rounds.Open(dir, rounds.Head{Format: 1, Program: version, Title: cases.Matrix.Title, Digest: cases.Digest,
		Cases: cases.Len(), Replay: again, Shard: shard})
	if err != nil {
		return badUse("--out: %v", err)
	}
	defer folder.Close()
	tellFound(errOut, folder)
	stopped, done := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer done()
	line := newCountdown(errOut, folder.Left())
	err = rounds.Run(stopped, cases, folder, o.workers, line.noted)
	line.done()
	switch {
	case errors.Is(err, context.Canceled):
		return coded{exitVoid, fmt.Errorf("stopped with %d cases to go; the same command goes on from here", folder.Left())}
	case err != nil:
		return internal(err)
	}
	return tellTrials(out, dir, o.json)
}

func tellFound(errOut io.Writer, f *rounds.Folder) {
	if f.Dropped > 0 {
		fmt.Fprintf(errOut, "lapwing: note: %s in %s, left aside: its cases are flown again\n", some(f.Dropped, "damaged line"), f.Dir)
	}
	if there := f.Head.Shard.Count(f.Head.Cases) - f.Left(); there > 0 {
		fmt.Fprintf(errOut, "lapwing: %d of %d cases are there already in %s\n", there, f.Head.Shard.Count(f.Head.Cases), f.Dir)
	}
}

// part returns the shard that was typed, or that of the job this runs in.
func (o *trialsOptions) part(errOut io.Writer) (rounds.Shard, error) {
	if o.shard != "" {
		s, err := rounds.ParseShard(o.shard)
		if err != nil {
			return s, badUse("--shard: %v", err)
		}
		return s, nil
	}
	s, from, err := rounds.FromJob(os.Getenv)
	if err != nil {
		return s, badUse("%v; --shard K/N says it outright", err)
	}
	if from != "" {
		fmt.Fprintf(errOut, "lapwing: shard %s, from %s\n", s, from)
	}
	return s, nil
}

func printJob(out io.Writer, words []string, o *trialsOptions) error {
	job := rounds.Job{Command: words, Out: o.out, Shards: o.shards}
	text := ""
	switch o.job {
	case "slurm":
		text = job.Slurm()
	case "kubernetes":
		text = job.Kubernetes()
	default:
		return badUse("--job %s: allowed slurm, kubernetes", o.job)
	}
	_, err := io.WriteString(out, text)
	return err
}

// flyCase flies one case again, with its recording.
func flyCase(out, errOut io.Writer, cases *rounds.Cases, o *trialsOptions) error {
	if o.one < 0 || o.one >= cases.Len() {
		return badUse("--case %d: allowed 0 to %d", o.one, cases.Len()-1)
	}
	r := cases.Fly(o.one)
	fmt.Fprintf(errOut, "lapwing: case %d: %s, pilot %s, seed %d\n", r.ID, r.Name(), r.Pilot, r.Seed)
	if r.Error != "" {
		return internal(errors.New(r.Error))
	}
	bundle, err := cases.Bundle(o.one)
	if err != nil {
		return internal(err)
	}
	who := person{name: r.Pilot, byName: r.Pilot}
	if script := cases.Script(o.one); script != nil {
		who = person{name: r.Pilot, byName: "script", script: script}
	}
	fly := flyOptions{seed: r.Seed, out: o.out, json: o.json, noTime: true}
	conditions, result, f, err := rehearse(errOut, bundle, &who, &fly)
	if err != nil {
		return err
	}
	if o.json {
		if err := printJSON(out, f); err != nil {
			return err
		}
	} else {
		printResult(out, bundle, conditions, result, &f.Result, f.Pilot)
		printCautions(out)
	}
	return verdict(f.Result.Verdict)
}

// typedAgain is the command that was typed, but for folder and workers.
func typedAgain(args []string, f *pflag.FlagSet) []string {
	words := append([]string{"lapwing", "trials"}, args...)
	for _, name := range choosing {
		if flag := f.Lookup(name); flag.Changed {
			words = append(words, "--"+name, strings.Trim(flag.Value.String(), "[]"))
		}
	}
	return words
}
