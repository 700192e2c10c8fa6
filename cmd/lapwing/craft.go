package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim/ability"
	"lapwing/sim/identify"
	"lapwing/sim/score"
)

// craftShown is the JSON form of a craft.
type craftShown struct {
	Name       string          `json:"name"`
	Title      string          `json:"title"`
	Can        ability.Ability `json:"can"`
	ByItself   string          `json:"lost_link"`
	Sources    []string        `json:"sources"`
	Models     []ability.Model `json:"modelled"`
	NotModeled []string        `json:"not_modelled"`
}

func newCraft() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "craft NAME|FILE",
		Short: "Say what a craft can do; identify a craft from a flight log",
		Long: `Say what a craft of the catalogue, or of a file, can do: hover, thrust to spare,
speed, how quickly motors and control loops answer, what is left without each of its
rotors; what of it is modelled, from which source and in which range; and what is not.
Without a name, list the craft of the catalogue.`,
		Example: "  lapwing craft\n  lapwing craft quad-250g\n  lapwing craft my-craft.yaml --json\n  lapwing craft fit flight.csv --on other-flight.csv",
		Args:    cobra.MaximumNArgs(1),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return scenarios.Names(scenarios.KindCraft), cobra.ShellCompDirectiveDefault
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listCraft(cmd.OutOrStdout(), asJSON)
			}
			return showCraft(cmd.OutOrStdout(), args[0], asJSON)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	cmd.AddCommand(newCraftFit())
	return cmd
}

func loadCraft(name string) (*scenarios.CraftFile, ability.Ability, error) {
	place := ability.StandardPlace()
	file, err := scenarios.LoadCraft(scenarios.Disk(""), name, &place)
	if err != nil {
		return nil, ability.Ability{}, coded{exitUsage, err}
	}
	return file, ability.Of(&file.Craft, &place, file.RotorNames), nil
}

func listCraft(out io.Writer, asJSON bool) error {
	type line struct {
		Name  string `json:"name"`
		Title string `json:"title"`
	}
	all := []line{}
	for _, name := range scenarios.Names(scenarios.KindCraft) {
		file, _, err := loadCraft(name)
		if err != nil {
			return err
		}
		all = append(all, line{name, file.Title})
	}
	if asJSON {
		return printJSON(out, all)
	}
	for _, l := range all {
		fmt.Fprintf(out, "%-18s %s\n", l.Name, l.Title)
	}
	return nil
}

func showCraft(out io.Writer, name string, asJSON bool) error {
	file, can, err := loadCraft(name)
	if err != nil {
		return err
	}
	shown := craftShown{file.Name, file.Title, can, file.LostLink, file.Sources, ability.Models(&file.Craft), ability.NotModelled()}
	if asJSON {
		return printJSON(out, shown)
	}
	fmt.Fprintf(out, "%s: %s\n", shown.Name, shown.Title)
	var sections []score.Section
	for _, s := range can.Says() {
		sections = append(sections, score.Section{Title: s.Title, Lines: s.Lines})
	}
	models := []string{}
	for _, m := range shown.Models {
		models = append(models, fmt.Sprintf("%s: %s. Holds for: %s.", m.What, m.Source, m.Range))
	}
	printSections(out, append(sections,
		score.Section{Title: "When the link is lost", Lines: []string{shown.ByItself}},
		score.Section{Title: "Where its numbers come from", Lines: append(shown.Sources, "Beside each number in the craft file stands whether it was measured, estimated or assumed.")},
		score.Section{Title: "What is modelled", Lines: models},
		score.Section{Title: "What is not modelled", Lines: shown.NotModeled}))
	printCautions(out)
	return nil
}

// craftFitted is the JSON form of a fit.
type craftFitted struct {
	Fit *identify.Fit       `json:"fit"`
	On  *identify.Residuals `json:"on_other_flight,omitempty"`
}

func newCraftFit() *cobra.Command {
	var other string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "fit LOG.csv",
		Short: "Identify a craft from a flight log",
		Long: `Fit thrust, drag, motor lag and the rotors' turning effects to the airborne part of a
flight log, with standard errors, and say how much is left unexplained. With --on,
apply the fit to another flight of the same craft: the honest test of a fit.

The log is a table of comma-separated values with the columns t_s, px_m, py_m, pz_m, qw,
qx, qy, qz, vx_mps, vy_mps, vz_mps, fx_mps2, fy_mps2, fz_mps2, wx_radps, wy_radps,
wz_radps, u1, u2, … and cell_V: room z up, quaternion body to room, body x forward, y left,
z up, specific force and body rates in body axes, duty from 0 to 1, volts for each cell.`,
		Example: "  lapwing craft fit flight.csv\n  lapwing craft fit flight.csv --on other-flight.csv --json",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return fitCraft(cmd.OutOrStdout(), args[0], other, asJSON)
		},
	}
	cmd.Flags().StringVar(&other, "on", "", "log of another flight to try the fit on")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

func fitCraft(out io.Writer, path, other string, asJSON bool) error {
	log, err := readLog(path)
	if err != nil {
		return err
	}
	fit, err := identify.Craft(log)
	if err != nil {
		return coded{exitUsage, err}
	}
	result := craftFitted{Fit: fit}
	if other != "" {
		log, err := readLog(other)
		if err != nil {
			return err
		}
		on, err := fit.On(log)
		if err != nil {
			return coded{exitUsage, err}
		}
		result.On = &on
	}
	if asJSON {
		return printJSON(out, result)
	}
	sections := []score.Section{{Title: "What the flight tells of the craft", Lines: fit.Says()}}
	if result.On != nil {
		sections = append(sections, score.Section{Title: "The same on another flight", Lines: result.On.Says()})
	}
	printSections(out, sections)
	return nil
}

func readLog(path string) (*identify.Log, error) {
	file, err := os.Open(path)
	if err != nil {
		var at *os.PathError
		if errors.As(err, &at) {
			err = at.Err
		}
		return nil, badUse("%s: cannot be read: %v", path, err)
	}
	defer file.Close()
	log, err := identify.Read(path, file)
	if err != nil {
		return nil, coded{exitUsage, err}
	}
	return log, nil
}
