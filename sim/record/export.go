package record

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"

	"lapwing/sim"
)

// DiffersError is the error of an export whose flight is not the recorded one:
// the table is not to be trusted.
type DiffersError struct{ Verification Verification }

// Error says where the flights part.
func (e *DiffersError) Error() string { return e.Verification.Says() }

// ExportCSV flies a recording again under its conditions and writes every so
// many ticks of it as a table of comma-separated values (RFC 4180: lines end in
// CR LF, the first one names the columns, which Columns describes). Numbers are
// written as the shortest decimal that gives the same float64 back, so the table
// is the same bytes wherever it is written. A flight that is not the recorded
// one gives a *DiffersError after the table was written.
func ExportCSV(w io.Writer, r *Recording, c *sim.Conditions, everyTicks int64) error {
	if everyTicks < 1 {
		return fmt.Errorf("every %d ticks: must be 1 or more", everyTicks)
	}
	t := &tabulator{csv: csv.NewWriter(w), every: everyTicks, columns: Columns(c.Craft.RotorCount)}
	t.csv.UseCRLF = true
	t.header()
	check := &checker{recording: r, v: Verification{Same: true}}
	check.v.Result = sim.Run(c, r.Pilot(), t, check)
	check.end()
	t.csv.Flush()
	if err := errors.Join(t.err, t.csv.Error()); err != nil {
		return err
	}
	if !check.v.Same {
		return &DiffersError{check.v}
	}
	return nil
}

// tabulator writes a row of the world every so often; it is a sim.Watcher.
// The first error is kept, and nothing is written after it.
type tabulator struct {
	csv     *csv.Writer
	columns []Column
	every   int64
	row     []string
	err     error
}

func (t *tabulator) header() {
	for i := range t.columns {
		t.row = append(t.row, t.columns[i].Name)
	}
	t.err = t.csv.Write(t.row)
}

// Looked implements sim.Watcher.
func (t *tabulator) Looked(*sim.World) {}

// Second implements sim.Watcher.
func (t *tabulator) Second(*sim.World) {}

// Ticked writes a row.
func (t *tabulator) Ticked(w *sim.World) {
	if t.err != nil || w.Tick%t.every != 0 {
		return
	}
	for i := range t.columns {
		t.row[i] = t.columns[i].text(w)
	}
	t.err = t.csv.Write(t.row)
}
