package main

import (
	"encoding/json"
	"fmt"
	"io"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
)

// listed is one line of the catalogue.
type listed struct {
	Name      string   `json:"name"`
	Title     string   `json:"title"`
	Class     string   `json:"class"`
	Announced bool     `json:"announced"`
	Craft     string   `json:"craft"`
	Room      string   `json:"room"`
	Briefing  []string `json:"briefing"`
	Facts     []string `json:"facts"`
	Standards []string `json:"standards"`
	Expected  []string `json:"expected_actions"`
}

func newScenarios() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "scenarios [NAME]",
		Short: "List the catalogue, or show one scenario's briefing",
		Long: `List the scenarios that come with the program, or show one: its briefing, its
conditions, its standards and what is expected.`,
		Example: "  lapwing scenarios\n  lapwing scenarios drift-in-hold",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 {
				return showScenario(cmd.OutOrStdout(), args[0], asJSON)
			}
			return listScenarios(cmd.OutOrStdout(), asJSON)
		},
		ValidArgsFunction: completeScenario,
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// completeScenario offers the catalogue's names to the shell.
func completeScenario(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return scenarios.Names(scenarios.KindScenario), cobra.ShellCompDirectiveDefault
}

func listScenarios(out io.Writer, asJSON bool) error {
	var all []listed
	for _, name := range scenarios.Names(scenarios.KindScenario) {
		b, err := loadScenario(name, scenarios.Instead{})
		if err != nil {
			return err
		}
		all = append(all, line(b))
	}
	if asJSON {
		return printJSON(out, all)
	}
	table := tabwriter.NewWriter(out, 0, 8, 2, ' ', 0)
	fmt.Fprintln(table, "SCENARIO\tWHAT IT REHEARSES\tCRAFT\tROOM\tANSWER")
	for _, s := range all {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", s.Name, s.Title, s.Craft, s.Room, s.Class)
	}
	return table.Flush()
}

func line(b *scenarios.Bundle) listed {
	return listed{b.Name, b.Title, b.Drill.Class.Words(), b.Drill.Announced, b.CraftName, b.RoomName,
		b.Briefing, b.Facts(), b.Standards, b.ExpectedActions}
}

func showScenario(out io.Writer, name string, asJSON bool) error {
	b, err := loadScenario(name, scenarios.Instead{})
	if err != nil {
		return err
	}
	if asJSON {
		return printJSON(out, line(b))
	}
	fmt.Fprintf(out, "%s: %s\n%s in %s\n", b.Name, b.Title, b.CraftTitle, b.RoomTitle)
	for _, part := range []struct {
		title string
		lines []string
	}{
		{"Briefing", b.Briefing}, {"Know this craft", b.Facts()}, {"Conditions", b.Conditions}, {"Standards", b.Standards},
		{"Expected actions", b.ExpectedActions}, {"What is simulated wrongly", b.Artificialities},
		{"What is not modelled", b.NotModelled},
	} {
		if len(part.lines) > 0 {
			fmt.Fprintf(out, "\n%s\n", part.title)
		}
		for _, l := range part.lines {
			printWrapped(out, "  ", l)
		}
	}
	printCautions(out)
	return nil
}

// loadScenario finds a scenario by name in the catalogue or by path on disk,
// with other files in place of its own where those are named.
func loadScenario(name string, instead scenarios.Instead) (*scenarios.Bundle, error) {
	find := scenarios.Disk("")
	if scenarios.IsPath(name) {
		find = scenarios.Disk(".")
	}
	b, err := scenarios.LoadInstead(find, name, instead)
	if err != nil {
		return nil, coded{exitUsage, err}
	}
	return b, nil
}

func printJSON(out io.Writer, value any) error {
	encoder := json.NewEncoder(out)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(value); err != nil {
		return internal(err)
	}
	return nil
}
