package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim/pilot"
	"lapwing/sim/record"
)

// person is who flies: one of the named pilots, or a script.
type person struct {
	name   string // as it stands in recordings and results
	byName string // as package pilot knows it
	script *scenarios.ScriptFile
}

// whoFlies finds the pilot called name, or the script file at that path.
func whoFlies(name string) (person, error) {
	scripts := scenarios.Names(scenarios.KindScript)
	if strings.Contains(name, "+") && !scenarios.IsPath(name) {
		if _, _, err := pilot.Delayed(name); err != nil {
			return person{}, badUse("--pilot: %v", err)
		}
		return person{name, name, nil}, nil
	}
	switch {
	case scenarios.IsPath(name), slices.Contains(scripts, name):
		file, err := scenarios.LoadScript(scenarios.Disk(""), name)
		if err != nil {
			return person{}, coded{exitUsage, err}
		}
		return person{"script " + file.Name, "script", file}, nil
	case slices.Contains(pilotNames(), name):
		return person{name, name, nil}, nil
	}
	advice := ""
	if near := scenarios.Nearest(name, append(pilotNames(), scripts...)); near != "" {
		advice = "; did you mean " + near + "?"
	}
	return person{}, badUse("--pilot: there is no pilot %q%s; allowed %s, a script of the catalogue (%s), or the path of a script file",
		name, advice, strings.Join(pilotNames(), ", "), strings.Join(scripts, ", "))
}

// lines returns the script's lines, nil where there is none.
func (p *person) lines() *pilot.Script {
	if p.script == nil {
		return nil
	}
	return &p.script.Script
}

// documents returns what a recording keeps of the pilot.
func (p *person) documents() []record.Document {
	if p.script == nil {
		return nil
	}
	d := p.script.Document
	return []record.Document{{Kind: string(d.Kind), Name: d.Name, Text: string(d.Text)}}
}

// pilotNames lists the pilots that need no script.
func pilotNames() []string {
	return slices.DeleteFunc(pilot.Names(), func(name string) bool { return name == "script" })
}

// completeNames offers names of the catalogue, and files, to the shell.
func completeNames(names ...string) cobra.CompletionFunc {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return names, cobra.ShellCompDirectiveDefault
	}
}
