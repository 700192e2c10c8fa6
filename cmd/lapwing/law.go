package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim/ability"
	"lapwing/sim/control"
	"lapwing/sim/guest"
	"lapwing/sim/guest/conform"
	"lapwing/sim/guest/host"
)

func newLaw() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "law",
		Short:   "Check a control law, and show what a law from outside receives and returns",
		Example: "  lapwing law check my-law.yaml\n  lapwing law layout --header > lapwing_law.h",
	}
	cmd.AddCommand(newLawCheck(), newLawLayout())
	return cmd
}

// conformity is the JSON form of a check.
type conformity struct {
	Law    string         `json:"law"`
	Craft  string         `json:"craft"`
	Stage  string         `json:"stage"`
	Sound  bool           `json:"sound"`
	Checks int            `json:"checks"`
	Found  []conformFound `json:"found"`
}

type conformFound struct {
	Grave bool   `json:"error"`
	Says  string `json:"says"`
}

func newLawCheck() *cobra.Command {
	var craft string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "check [LAW|FILE]",
		Short: "Check a law's signs, frames, limits and determinism before it flies",
		Long: `Check a control law before it flies, and say in words what is wrong with it: signs,
axes and frames, what each stick and each error does, limits, whether the same
questions get the same answers, and whether the craft comes to rest under it. Without a
law the built-in one is checked. Where a law takes one stage, the built-in law does the
rest.

Exit 1 when something is wrong, 3 when the law itself failed: it trapped, ran away,
crashed, fell silent, or answered with something that is not a number.`,
		Example: "  lapwing law check my-law.yaml\n  lapwing law check my-law.yaml --craft hexa-paired --json",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			law := ""
			if len(args) == 1 {
				law = args[0]
			}
			return checkLaw(cmd.OutOrStdout(), law, craft, asJSON)
		},
	}
	cmd.Flags().StringVar(&craft, "craft", "quad-500g", "craft of the catalogue, or file")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// designed is a law on a craft, ready to be looked at without a rehearsal.
type designed struct {
	name   string
	craft  *scenarios.CraftFile
	from   guest.Source
	params control.Params
	host   *host.Host // nil for the built-in law
}

// designLaw loads a law, the built-in one for no name, and designs it for a craft
// in a standard place.
func designLaw(law, craft string) (*designed, error) {
	file, _, err := loadCraft(craft)
	if err != nil {
		return nil, err
	}
	d := &designed{name: law, craft: file}
	var changes *control.Overrides
	if law == "" {
		d.name = "built-in, as designed"
	} else {
		f, err := scenarios.LoadLaw(scenarios.Disk(""), law)
		if err != nil {
			return nil, coded{exitUsage, err}
		}
		changes, d.from = &f.Changes, f.From
	}
	place := ability.StandardPlace()
	d.params = control.Design(&file.Craft, &place, changes)
	if err := d.params.Validate(); err != nil {
		return nil, coded{exitUsage, err}
	}
	if d.host, err = host.Open(&d.from); err != nil {
		return nil, internal(fmt.Errorf("law %s: %w", law, err))
	}
	return d, nil
}

func checkLaw(out io.Writer, law, craft string, asJSON bool) error {
	d, err := designLaw(law, craft)
	if err != nil {
		return err
	}
	defer d.host.Close()
	place := ability.StandardPlace()
	bench := conform.Bench{Craft: &d.craft.Craft, Place: &place, Law: &d.params, Stage: d.from.Stage}
	if d.host != nil {
		bench.Start = func() (control.Guest, error) { return d.host.Start(&d.params) }
	}
	report, err := conform.Check(&bench)
	if err != nil {
		return internal(fmt.Errorf("law %s failed: %w", d.name, err))
	}
	c := conformity{Law: d.name, Craft: craft, Stage: d.from.Stage.String(), Sound: report.Sound(), Checks: report.Checks, Found: []conformFound{}}
	for _, f := range report.Found {
		c.Found = append(c.Found, conformFound{f.Grave, f.Says})
	}
	if asJSON {
		if err := printJSON(out, c); err != nil {
			return err
		}
	} else {
		c.print(out)
	}
	if !c.Sound {
		return coded{exitNoGo, nil}
	}
	return nil
}

func (c *conformity) print(out io.Writer) {
	fmt.Fprintf(out, "Law %s, stage %s, on %s: %d checks\n", c.Law, c.Stage, c.Craft, c.Checks)
	for _, f := range c.Found {
		kind := "note"
		if f.Grave {
			kind = "error"
		}
		printWrapped(out, "", kind+": "+f.Says)
	}
	if c.Sound {
		fmt.Fprintln(out, "Nothing wrong was found. That is no proof that it flies well: lapwing margins, then rehearsals.")
	}
}

func newLawLayout() *cobra.Command {
	var header bool
	cmd := &cobra.Command{
		Use:   "layout",
		Short: "Print what a law from outside receives and returns, byte for byte",
		Long: `Print the three blocks that a law from outside reads and writes: offset, kind, name,
unit and frame of each field. With --header, the same as a C header, with the functions
that a WebAssembly module exports.`,
		Example: "  lapwing law layout\n  lapwing law layout --header > lapwing_law.h",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			text := guest.Layout()
			if header {
				text = guest.Header()
			}
			_, err := io.WriteString(cmd.OutOrStdout(), text)
			return err
		},
	}
	cmd.Flags().BoolVar(&header, "header", false, "as a C header")
	return cmd
}
