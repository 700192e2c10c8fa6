package main

import (
	"encoding/json"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
)

// listed is one line of the catalogue.
type listed struct {
	Name      string   `json:"name"`
	Title     string   `json:"title"`
	Group     string   `json:"group"` // a step of the job, or how fast the answer must be
	Class     string   `json:"class"`
	Announced string   `json:"announced"` // no, kind, fully
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
		Long: `List the scenarios that come with the program, by step of the job and then by how fast
the answer to an event must be, or show one: its briefing, its conditions, its standards
and what is expected.`,
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
	printCatalogue(out, all)
	return nil
}

// printCatalogue prints all scenarios in columns, group after group.
func printCatalogue(out io.Writer, all []listed) {
	head := listed{Name: "SCENARIO", Title: "WHAT IT REHEARSES", Craft: "CRAFT", Room: "ROOM"}
	wide := [3]int{len(head.Name), len(head.Title), len(head.Craft)}
	for _, s := range all {
		wide = [3]int{max(wide[0], len(s.Name)), max(wide[1], len(s.Title)), max(wide[2], len(s.Craft))}
	}
	row := func(s *listed) {
		fmt.Fprintf(out, "  %-*s  %-*s  %-*s  %s\n", wide[0], s.Name, wide[1], s.Title, wide[2], s.Craft, s.Room)
	}
	row(&head)
	for _, g := range scenarios.Groups() {
		heading := "\n" + headingOf(g) + "\n"
		for i := range all {
			if all[i].Group == g.Words() {
				fmt.Fprint(out, heading)
				heading = ""
				row(&all[i])
			}
		}
	}
}

// headingOf says a group, and of events how fast the answer must be.
func headingOf(g scenarios.Group) string {
	class, event := g.Class()
	if !event {
		return g.Words()
	}
	t := scenarios.TimesOf(class)
	return fmt.Sprintf("%s: first right action within %g s, unannounced; %g s at the latest", g.Words(), t.Unannounced, t.Limit)
}

func line(b *scenarios.Bundle) listed {
	return listed{b.Name, b.Title, b.Group().Words(), b.Drill.Class.Words(), b.Drill.Announced.String(), b.CraftName, b.RoomName,
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
