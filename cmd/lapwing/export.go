package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"lapwing/dynamics"
	"lapwing/sim"
	"lapwing/sim/record"
)

// exportOptions are the flags of export.
type exportOptions struct {
	csv     string
	every   int64
	columns bool
	json    bool
}

// exported is the JSON form of what an export has written.
type exported struct {
	Recording string          `json:"recording"`
	CSV       string          `json:"csv"`
	EveryMS   int64           `json:"every_ms"`
	Columns   []record.Column `json:"columns"`
}

func newExport() *cobra.Command {
	var o exportOptions
	cmd := &cobra.Command{
		Use:   "export RECORDING",
		Short: "Write a recording as a table of comma-separated values",
		Long: `Fly a recording again and write what happened as a table of comma-separated values
(RFC 4180): truth, estimate, hands, what was asked and what was in force, battery,
rotors, and when the cue came. Beside the table a file FILE.columns.md tells each
column's unit, axes and meaning; --columns prints the same.

The table's columns have the names of a real flight's log, so that lapwing craft fit
reads it as well.`,
		Example: "  lapwing export run/rehearsal.mcap --csv run/flight.csv\n" +
			"  lapwing export run/rehearsal.mcap --csv run/flight.csv --every 1\n" +
			"  lapwing export --columns",
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return export(cmd.OutOrStdout(), args, &o)
		},
	}
	cmd.Flags().StringVar(&o.csv, "csv", "", "file to write, or - for the standard output")
	cmd.Flags().Int64Var(&o.every, "every", 10, "one row for so many milliseconds")
	cmd.Flags().BoolVar(&o.columns, "columns", false, "list the columns and write nothing")
	cmd.Flags().BoolVar(&o.json, "json", false, "print JSON")
	return cmd
}

func export(out io.Writer, args []string, o *exportOptions) error {
	switch {
	case o.columns && len(args) == 0:
		return printColumns(out, record.Columns(dynamics.MaxRotors), o.json)
	case len(args) == 0:
		return badUse("export needs a recording; for example: lapwing export run/rehearsal.mcap --csv flight.csv")
	case o.csv == "" && !o.columns:
		return badUse("export needs --csv FILE, or --csv - for the standard output")
	case o.csv == "-" && o.json:
		return badUse("--json and --csv - both write to the standard output: name a file for the table")
	case o.every < 1:
		return badUse("--every is %d milliseconds; it must be 1 or more", o.every)
	}
	recording, _, conditions, err := openRecording(args[0])
	if err != nil {
		return err
	}
	columns := record.Columns(conditions.Craft.RotorCount)
	if o.columns {
		return printColumns(out, columns, o.json)
	}
	ticks := o.every * sim.TicksPerSecond / 1000
	if o.csv == "-" {
		return exportError(record.ExportCSV(out, recording, &conditions, ticks))
	}
	if err := exportFile(o.csv, recording, &conditions, ticks); err != nil {
		return err
	}
	beside := o.csv + ".columns.md"
	if err := writeWhole(beside, func(w io.Writer) error { return record.WriteColumns(w, columns) }); err != nil {
		return badUse("the list of columns: %v", err)
	}
	if o.json {
		return printJSON(out, exported{args[0], o.csv, o.every, columns})
	}
	fmt.Fprintf(out, "Wrote %s: %d columns, one row for every %d milliseconds.\nWhat they mean stands in %s.\n",
		o.csv, len(columns), o.every, beside)
	return nil
}

func printColumns(out io.Writer, columns []record.Column, asJSON bool) error {
	if asJSON {
		return printJSON(out, columns)
	}
	if err := record.WriteColumns(out, columns); err != nil {
		return internal(err)
	}
	return nil
}

// exportFile writes the table, and leaves no file behind when that fails.
func exportFile(path string, r *record.Recording, c *sim.Conditions, ticks int64) error {
	return exportError(writeWhole(path, func(w io.Writer) error { return record.ExportCSV(w, r, c, ticks) }))
}

// exportError gives a flight that is not the recorded one the exit code that
// replay gives it.
func exportError(err error) error {
	var differs *record.DiffersError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &differs):
		return coded{exitNoGo, fmt.Errorf("no table was written: %w", err)}
	}
	return badUse("the table: %v", err)
}

// writeWhole writes a file beside its place and moves it there once it is whole.
func writeWhole(path string, write func(w io.Writer) error) (err error) {
	file, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".*.part")
	if err != nil {
		var at *os.PathError
		if errors.As(err, &at) {
			err = at.Err
		}
		return fmt.Errorf("%s cannot be written: %w", path, err)
	}
	defer func() {
		if err != nil {
			os.Remove(file.Name())
		}
	}()
	if err := errors.Join(write(file), file.Chmod(0o644), file.Close()); err != nil {
		return err
	}
	return os.Rename(file.Name(), path)
}
