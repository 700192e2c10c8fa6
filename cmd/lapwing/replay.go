package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/folder"
	"lapwing/sim/record"
	"lapwing/sim/score"
)

// replayed is the JSON form of a verification.
type replayed struct {
	Recording string           `json:"recording"`
	Same      bool             `json:"same"`
	Compared  int              `json:"hashes_compared"`
	Body      string           `json:"body_sha256"`
	FirstS    *float64         `json:"first_difference_s"`
	Groups    []string         `json:"groups"`
	Fields    []string         `json:"fields"`
	Changed   bool             `json:"changed_after_flight"`
	Result    score.Assessment `json:"result"`
}

func newReplay() *cobra.Command {
	var asJSON, brief bool
	cmd := &cobra.Command{
		Use:   "replay RECORDING",
		Short: "Fly a recording again, verify it bit for bit, and show its result",
		Long: `Fly a recording again from its own files and recorded hands, compare the hashes of
each second, and show the hot wash. A recording that does not agree says at which
second and in which groups of fields.`,
		Example: "  lapwing replay run/rehearsal.mcap",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return replay(cmd.OutOrStdout(), cmd.ErrOrStderr(), args[0], asJSON, brief)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	cmd.Flags().BoolVar(&brief, "brief", false, "verify only, without the hot wash")
	return cmd
}

func replay(out, errOut io.Writer, path string, asJSON, brief bool) error {
	recording, bundle, conditions, err := openRecording(path)
	if err != nil {
		return err
	}
	line := newProgress(errOut, conditions.Duration)
	verified := recording.Verify(&conditions, line)
	line.done()
	assessment := assess(errOut, &conditions, &verified.Result, brief)
	if asJSON {
		r := replayed{path, verified.Same, verified.Seconds, recording.Body, nil, verified.Groups, verified.Fields, verified.Changed, assessment}
		if !verified.Same {
			at := float64(verified.Tick) / sim.TicksPerSecond
			r.FirstS = &at
		}
		if err := printJSON(out, r); err != nil {
			return err
		}
	} else {
		fmt.Fprintln(out, verified.Says())
		if by := recording.Rehearsal.Program; !verified.Same && by != version {
			fmt.Fprintf(out, "It was flown by version %s, and this is version %s.\n", by, version)
		}
		fmt.Fprintf(out, "Body: sha256 %s\n", recording.Body)
		if !brief {
			printResult(out, bundle, &conditions, &verified.Result, &assessment, recording.Rehearsal.Pilot)
			printCautions(out)
		}
	}
	if !verified.Same {
		return coded{exitNoGo, nil}
	}
	return nil
}

// openRecording reads a recording and rebuilds the conditions it was flown
// under, from the files inside it.
func openRecording(path string) (*record.Recording, *scenarios.Bundle, sim.Conditions, error) {
	recording, bundle, conditions, err := folder.Open(path)
	if err != nil {
		return nil, nil, sim.Conditions{}, coded{exitUsage, err}
	}
	return recording, bundle, conditions, bringBack(bundle, &conditions, recording)
}
