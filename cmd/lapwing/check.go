package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim/rounds"
	"lapwing/sim/score"
)

func newCheck() *cobra.Command {
	var schema string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "check FILE…",
		Short: "Check scenario, craft, room, law, procedures, script, course and matrix files; print their schemas",
		Long: `Check files and report everything wrong with them at once: file, line, column, what
was found and what is allowed. A scenario, a course or a matrix is checked together with
the files it refers to. With --schema, print the JSON Schema of a kind of file instead.`,
		Example: "  lapwing check my-scenario.yaml my-craft.yaml\n  lapwing check --schema craft",
		RunE: func(cmd *cobra.Command, args []string) error {
			if schema != "" {
				return printSchema(cmd.OutOrStdout(), schema)
			}
			if len(args) == 0 {
				return badUse("check needs at least one file; for example: lapwing check my-scenario.yaml")
			}
			return checkFiles(cmd.OutOrStdout(), args, asJSON)
		},
	}
	cmd.Flags().StringVar(&schema, "schema", "", "print the JSON Schema of a kind: scenario, craft, room, law, procedures, script, course, matrix, or result for --json of fly")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	if err := cmd.RegisterFlagCompletionFunc("schema", completeNames(append(kindWords(), "result")...)); err != nil {
		panic("lapwing: " + err.Error())
	}
	return cmd
}

func printSchema(out io.Writer, kind string) error {
	if kind == "result" {
		_, err := out.Write(score.Schema())
		return err
	}
	for _, k := range scenarios.Kinds() {
		if string(k) == kind {
			_, err := out.Write(scenarios.Schema(k))
			return err
		}
	}
	return badUse("no schema is called %q; allowed %s or result", kind, strings.Join(kindWords(), ", "))
}

func kindWords() (words []string) {
	for _, k := range scenarios.Kinds() {
		words = append(words, string(k))
	}
	return words
}

// checked is the result for one file.
type checked struct {
	File   string           `json:"file"`
	Kind   scenarios.Kind   `json:"kind,omitempty"`
	Faults scenarios.Faults `json:"faults"`
}

func checkFiles(out io.Writer, files []string, asJSON bool) error {
	bad := false
	var all []checked
	for _, file := range files {
		c := checkFile(file)
		bad = bad || len(c.Faults) > 0
		all = append(all, c)
	}
	if asJSON {
		if err := printJSON(out, all); err != nil {
			return err
		}
	} else {
		printChecked(out, all)
	}
	if bad {
		return coded{exitUsage, nil}
	}
	return nil
}

func printChecked(out io.Writer, all []checked) {
	for _, c := range all {
		if len(c.Faults) == 0 {
			fmt.Fprintf(out, "%s: a sound %s file\n", c.File, c.Kind)
		}
		for _, f := range c.Faults {
			fmt.Fprintln(out, f.String())
		}
	}
}

// checkFile checks one file by itself, a scenario, a course and a matrix with what they refer to.
func checkFile(name string) checked {
	c := checked{File: name, Faults: scenarios.Faults{}}
	file, err := os.Open(name)
	if err != nil {
		c.Faults = append(c.Faults, scenarios.Fault{File: name, Message: cause(err)})
		return c
	}
	defer file.Close()
	c.Kind, err = scenarios.CheckFrom(name, file)
	if c.Kind == scenarios.KindScenario { // with the faults of what it refers to, in one list
		_, err = scenarios.Load(scenarios.Disk("."), name)
	}
	if c.Kind == scenarios.KindLaw { // with its module
		_, err = scenarios.LoadLaw(scenarios.Disk("."), name)
	}
	if c.Kind == scenarios.KindCourse {
		_, err = scenarios.LoadCourse(scenarios.Disk("."), name)
	}
	if c.Kind == scenarios.KindMatrix && err == nil {
		c.Faults = matrixFaults(name)
	}
	var faults scenarios.Faults
	if errors.As(err, &faults) {
		c.Faults = faults
	} else if err != nil {
		c.Faults = append(c.Faults, scenarios.Fault{File: name, Message: cause(err)})
	}
	return c
}

// matrixFaults says what is wrong with what a sound matrix names.
func matrixFaults(name string) scenarios.Faults {
	all := scenarios.Faults{}
	m, err := scenarios.LoadMatrix(scenarios.Disk("."), name)
	if err == nil {
		var cases *rounds.Cases
		if cases, err = rounds.Resolve(m); err == nil {
			cases.Close()
			return all
		}
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		all = append(all, scenarios.Fault{File: name, Message: line})
	}
	return all
}

// cause returns the last of an error's reasons without the path, which stands
// in front already.
func cause(err error) string {
	var path *os.PathError
	if errors.As(err, &path) {
		return "cannot be read: " + path.Err.Error()
	}
	return err.Error()
}
