package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"lapwing/render/compared"
	"lapwing/sim/rivals"
	"lapwing/sim/rounds"
	"lapwing/sim/trials"
)

// compareOptions are the flags of compare.
type compareOptions struct {
	laws         []string
	metrics      []string
	tolerances   []string
	html         string
	gate         bool
	inconclusive string
	json         bool
}

func newCompare() *cobra.Command {
	var o compareOptions
	cmd := &cobra.Command{
		Use:   "compare A [B]",
		Short: "Compare two sets of trials, flight by flight under the same seeds",
		Long: `Compare the results of trials: is B better or worse than A, and by how much? A and B are
folders of results, or files of them; with --laws, two laws of one folder. Flights are
paired by scenario, craft, pilot, point of the sweep and seed: both met the same noise.

Each metric has its paired difference with an interval and an effect size, and a
verdict: better, worse, no difference shown (any there is lies within the tolerance), or
inconclusive, with the number of pairs that would settle it. The chances are corrected
for the number of metrics by Holm's method.

As a gate (--gate) it exits 1 when B is worse, 3 when a case of B ended in an error and
4 when it is inconclusive, unless --inconclusive says pass (0) or fail (1). Otherwise it
exits 0. A is then usually a baseline in the repository; lapwing baseline updates it.`,
		Example: "  lapwing compare run --laws own,my-law --html comparison.html\n" +
			"  lapwing compare baseline.jsonl run --gate --inconclusive=pass",
		Args: cobra.RangeArgs(1, 2),
		RunE: func(cmd *cobra.Command, args []string) error {
			return compareThem(cmd.OutOrStdout(), args, &o)
		},
	}
	f := cmd.Flags()
	f.StringSliceVar(&o.laws, "laws", nil, "law of A and law of B, where they are in one folder")
	f.StringSliceVar(&o.metrics, "metrics", nil, "what to compare, of "+metricNames()+"; left out: all")
	f.StringSliceVar(&o.tolerances, "tolerance", nil, "a difference that does not matter, as in go=0.02,away=0.05; shares from 0 to 1")
	f.StringVar(&o.html, "html", "", "file for the comparison with its figures")
	f.BoolVar(&o.gate, "gate", false, "turn the verdict into the exit code")
	f.StringVar(&o.inconclusive, "inconclusive", "", "what a gate makes of it: pass or fail; left out: exit 4")
	f.BoolVar(&o.json, "json", false, "print JSON")
	return cmd
}

func metricNames() string {
	var names []string
	for _, m := range rivals.Metrics() {
		names = append(names, m.Name)
	}
	return strings.Join(names, ", ")
}

// drawSeed is the seed of bootstrap and permutations: the same results compare
// the same.
const drawSeed = 1

func compareThem(out io.Writer, args []string, o *compareOptions) error {
	metrics, err := o.measured()
	if err != nil {
		return err
	}
	if !slices.Contains([]string{"", "pass", "fail"}, o.inconclusive) {
		return badUse("--inconclusive %s: allowed pass, fail", o.inconclusive)
	}
	a, b, of, with, err := o.sides(args)
	if err != nil {
		return err
	}
	r := compared.New(a, b, of, with, metrics, drawSeed)
	if r.Paired.Count+r.Paired.ErrorsA+r.Paired.ErrorsB == 0 {
		return badUse("A and B have no judged case in common: %d only in A, %d only in B, %d void or only shown; they are paired by scenario, craft, pilot, point and seed",
			r.Paired.OnlyA, r.Paired.OnlyB, r.Paired.Unjudged)
	}
	if o.html != "" {
		var text bytes.Buffer
		if err := r.WriteHTML(&text); err != nil {
			return internal(err)
		}
		if err := os.WriteFile(o.html, text.Bytes(), 0o644); err != nil {
			return badUse("--html: %v", err)
		}
	}
	if o.json {
		if err := printJSON(out, r); err != nil {
			return err
		}
	} else {
		printCompared(out, r)
	}
	return o.code(r)
}

// measured returns the metrics asked for, with the tolerances asked for.
func (o *compareOptions) measured() (some []rivals.Metric, err error) {
	all := rivals.Metrics()
	at := func(name string) int {
		return slices.IndexFunc(all, func(m rivals.Metric) bool { return m.Name == name })
	}
	for _, t := range o.tolerances {
		name, value, _ := strings.Cut(t, "=")
		x, err := strconv.ParseFloat(value, 64)
		if at(name) < 0 || err != nil || !(x >= 0 && x < 1e6) {
			return nil, badUse("--tolerance %s: allowed NAME=VALUE, 0 and more, with NAME of %s", t, metricNames())
		}
		all[at(name)].Tolerance = x
	}
	if len(o.metrics) == 0 {
		return all, nil
	}
	for _, name := range o.metrics {
		if at(name) < 0 {
			return nil, badUse("--metrics %s: allowed %s", name, metricNames())
		}
		some = append(some, all[at(name)])
	}
	return some, nil
}

// sides reads what is compared.
func (o *compareOptions) sides(args []string) (a, b compared.Side, of, with []trials.Result, err error) {
	if a, of, err = sideOf(args[0]); err != nil {
		return
	}
	b, with = a, of
	if len(args) == 2 {
		if b, with, err = sideOf(args[1]); err != nil {
			return
		}
	}
	switch {
	case len(o.laws) == 2:
		of, with = rivals.OfLaw(of, o.laws[0]), rivals.OfLaw(with, o.laws[1])
		a.Name, b.Name = a.Name+", law "+o.laws[0], b.Name+", law "+o.laws[1]
		if len(of) == 0 || len(with) == 0 {
			err = badUse("--laws %s: %d cases of the first, %d of the second", strings.Join(o.laws, ","), len(of), len(with))
			return
		}
	case len(o.laws) != 0:
		err = badUse("--laws %s: allowed two laws, that of A and that of B", strings.Join(o.laws, ","))
		return
	case len(args) == 1:
		err = badUse("compare needs A and B, or --laws; for example: lapwing compare run --laws own,my-law")
		return
	}
	for _, side := range []struct {
		is  *compared.Side
		all []trials.Result
	}{{&a, of}, {&b, with}} {
		side.is.Cases = len(side.all)
		if laws := rivals.Laws(side.all); len(laws) == 1 {
			side.is.Law = laws[0]
		}
	}
	return
}

func sideOf(path string) (compared.Side, []trials.Result, error) {
	all, err := rounds.Load(path)
	if err != nil {
		return compared.Side{}, nil, coded{exitUsage, err}
	}
	s := compared.Side{Name: path}
	head, err := rounds.ReadHead(path)
	switch {
	case err == nil:
		s.Head = &head
	case errors.Is(err, fs.ErrNotExist) || filepath.Ext(path) == ".jsonl":
	default:
		return s, nil, coded{exitUsage, err}
	}
	return s, all, nil
}

// code turns the verdict into the exit code of a gate.
func (o *compareOptions) code(r *compared.Report) error {
	switch {
	case !o.gate:
		return nil
	case r.Paired.ErrorsB > 0:
		return coded{exitInternal, nil}
	case r.Verdict == rivals.Worse:
		return coded{exitNoGo, nil}
	case r.Verdict == rivals.Inconclusive && o.inconclusive == "":
		return coded{exitVoid, nil}
	case r.Verdict == rivals.Inconclusive && o.inconclusive == "fail":
		return coded{exitNoGo, nil}
	}
	return nil
}

func printCompared(out io.Writer, r *compared.Report) {
	printWrapped(out, "", r.Says)
	p := r.Paired
	fmt.Fprintf(out, "%d only in A, %d only in B; errors: %d in A, %d in B; %d void or only shown\n\n", p.OnlyA, p.OnlyB, p.ErrorsA, p.ErrorsB, p.Unjudged)
	rows := [][]string{{"MEASURED", "PAIRS", "A", "B", "B - A", "95 % INTERVAL", "EFFECT", "P", "P, HOLM", "VERDICT"}}
	for i := range r.Findings {
		f := &r.Findings[i]
		effect, verdict := "-", string(f.Verdict)
		if f.Effect != nil {
			effect = fmt.Sprintf("%.2f", *f.Effect)
		}
		if f.Seeds != nil {
			verdict += fmt.Sprintf(": about %d pairs would settle it", *f.Seeds)
		}
		rows = append(rows, []string{f.Metric, fmt.Sprint(f.Pairs), compared.Figure(f, f.MeanA), compared.Figure(f, f.MeanB), compared.Figure(f, f.Difference),
			compared.Figure(f, f.Interval.Low) + " to " + compared.Figure(f, f.Interval.High), effect, fmt.Sprintf("%.4f", f.P), fmt.Sprintf("%.4f", f.Corrected), verdict})
	}
	printAligned(out, rows)
	fmt.Fprintln(out)
	printWrapped(out, "", fmt.Sprintf("Shares by McNemar's test (mid-p) and Newcombe's interval, the others by flipping signs and a bootstrap interval. P, HOLM is corrected for the %d rows: even one false finding among them comes in at most %.0f %% of comparisons. Effect: mean over standard deviation of the differences.",
		len(r.Findings), 100*r.Level))
	if len(r.Worst) > 0 {
		fmt.Fprintln(out, "\nWhere B failed and A did not")
	}
	for _, w := range r.Worst {
		printWrapped(out, "  ", w.Name+": "+w.Why)
		if w.Again != "" {
			fmt.Fprintf(out, "    %s\n", w.Again)
		}
	}
	fmt.Fprintf(out, "\nVerdict on B: %s\n", r.Verdict)
}

func newBaseline() *cobra.Command {
	return &cobra.Command{
		Use:   "baseline RUN FILE",
		Short: "Make finished trials the baseline that later ones are compared with",
		Long: `Write the results of finished trials into a file that belongs in the repository, for
lapwing compare FILE RUN --gate. Nothing else ever changes a baseline: a better law needs
this command and a commit that people can look at.`,
		Example: "  lapwing baseline run baseline.jsonl",
		Args:    cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			n, err := rounds.Copy(args[0], args[1])
			if err != nil {
				return coded{exitUsage, err}
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s holds %s of %s\n", args[1], some(n, "case"), args[0])
			return nil
		},
	}
}
