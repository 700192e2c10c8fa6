package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"lapwing/sim/folder"
)

// version is the program's own; it stands in recordings and reports.
const version = folder.Version

// Exit codes, the same for every verb.
const (
	exitGo       = 0 // GO, or all passed
	exitNoGo     = 1 // NO-GO, or a criterion missed
	exitUsage    = 2 // wrong usage or a bad file
	exitInternal = 3 // internal or plug-in error
	exitVoid     = 4 // void or inconclusive
)

// coded is an error with the exit code that belongs to it. Its text may be
// empty where the output has said everything.
type coded struct {
	code int
	err  error
}

func (c coded) Error() string {
	if c.err == nil {
		return ""
	}
	return c.err.Error()
}

func (c coded) Unwrap() error { return c.err }

func badUse(format string, args ...any) error {
	return coded{exitUsage, fmt.Errorf(format, args...)}
}

func internal(err error) error { return coded{exitInternal, err} }

// run is the whole program: arguments in, exit code out.
func run(args []string, in io.Reader, out, errOut io.Writer) int {
	return guarded(errOut, func() int {
		kept := &keptError{to: out}
		code := execute(args, in, kept, errOut)
		if kept.err != nil {
			fmt.Fprintf(errOut, "lapwing: the output could not be written: %v\n", kept.err)
			return exitUsage
		}
		return code
	})
}

func execute(args []string, in io.Reader, out, errOut io.Writer) int {
	root := newRoot(in, out, errOut)
	root.SetArgs(args)
	err := root.Execute()
	if err == nil {
		return exitGo
	}
	code := exitUsage
	var c coded
	if errors.As(err, &c) {
		code = c.code
	}
	if text := err.Error(); text != "" {
		fmt.Fprintln(errOut, "lapwing: "+text)
	}
	return code
}

func newRoot(in io.Reader, out, errOut io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "lapwing",
		Short: "Rehearse the first flights of a small indoor multirotor, and the bad day",
		Long: `Lapwing rehearses the first flights of a small indoor multirotor, and the bad day:
the estimate slides away, the link goes dead, a motor stops. It flies a real
simulation, times what the person does, and says how long there was to do it.

It rehearses; it qualifies nobody. The craft's own manual, local rules and
licensed practice come first.

Exit codes: 0 GO or all passed, 1 NO-GO or a criterion missed, 2 wrong usage or a
bad file, 3 internal error or an error of a law from outside, 4 void or
inconclusive.`,
		Example:       "  lapwing fly drift-in-hold --pilot trained --seed 7 --out run/\n  lapwing replay run/rehearsal.mcap",
		Version:       version,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errOut)
	root.AddCommand(newFly(), newCourse(), newScenarios(), newCheck(), newReplay(), newExport(), newCraft(), newMargins(), newLaw(), newTrials(), newMerge(), newCompare(), newBaseline())
	root.InitDefaultCompletionCmd()
	for _, cmd := range root.Commands() {
		if cmd.Name() == "completion" {
			cmd.Example = "  lapwing completion bash > ~/.local/share/bash-completion/completions/lapwing"
		}
	}
	explainArgs(root)
	return root
}

// explainArgs makes wrong arguments and flags of cmd, and of all below it, say
// what is allowed, with the verb's first example.
func explainArgs(cmd *cobra.Command) {
	explained := func(c *cobra.Command, err error) error {
		what, _, _ := strings.Cut(err.Error(), ": strconv.")
		example, _, _ := strings.Cut(strings.TrimSpace(c.Example), "\n")
		return badUse("%s; allowed %s; for example: %s", what, c.UseLine(), example)
	}
	if check := cmd.Args; check != nil && cmd.Example != "" {
		cmd.Args = func(c *cobra.Command, args []string) error {
			if err := check(c, args); err != nil {
				return explained(c, err)
			}
			return nil
		}
	}
	if cmd.Example != "" {
		cmd.SetFlagErrorFunc(explained)
	}
	for _, below := range cmd.Commands() {
		explainArgs(below)
	}
}
