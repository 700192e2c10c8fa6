// Package identify measures a craft from a log of a real flight.
//
//  1. log.go reads the log, a table of comma-separated values (RFC 4180), and
//     reports everything wrong with it by line and column
//  2. airborne.go finds the longest part in which the craft flew
//  3. series.go turns that part into what the model speaks of: (duty × volts)
//     behind a motor lag, velocity and specific force in body axes, angular
//     acceleration
//  4. sums.go fits straight models by least squares, block of time by block, and
//     draws blocks again for the errors
//  5. fit.go puts them together; residual.go tells how well a fit does on a
//     flight, its own or another; says.go says both in sentences
//
// It stands apart because it looks at logs of real craft and never at the
// simulation: nothing here is part of the tick.
package identify

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Bounds of a log.
const (
	leastRotors = 3
	leastRows   = 200     // below this nothing can be told: two seconds at 100 Hz
	mostRows    = 2000000 // more than five hours at 100 Hz
	mostFaults  = 20      // reported before the reader gives up
	mostVolts   = 60.0    // V, of what stands in cell_V; a pack of 14 cells is 58.8 V
	quatOff     = 0.02    // how far the length of a quaternion may be from 1
)

// Row is one line of a log.
type Row struct {
	Time      float64     // s, rising
	PosW      kernel.Vec3 // m, room axes, z up
	QWB       kernel.Quat // body → room
	VelW      kernel.Vec3 // m/s, room axes
	ForceB    kernel.Vec3 // m/s², specific force, body axes: what an accelerometer feels
	OmegaB    kernel.Vec3 // rad/s, body axes
	Duty      [dynamics.MaxRotors]float64
	CellVolts float64 // V under load
}

// Log is a flight as logged.
type Log struct {
	Name   string
	Rotors int // 3 … dynamics.MaxRotors
	Rows   []Row
}

// fixedColumns are the columns that every log has, in the order in which they
// are kept. Those of the rotors, u1, u2, …, come in addition.
var fixedColumns = []string{
	"t_s", "px_m", "py_m", "pz_m", "qw", "qx", "qy", "qz", "vx_mps", "vy_mps", "vz_mps",
	"fx_mps2", "fy_mps2", "fz_mps2", "wx_radps", "wy_radps", "wz_radps", "cell_V",
}

// Fault is one thing wrong with a log.
type Fault struct {
	File         string
	Line, Column int // from 1; 0 where the fault has no place
	Message      string
}

// Error tells file, line, column and what is wrong.
func (f Fault) Error() string {
	if f.Line == 0 {
		return f.File + ": " + f.Message
	}
	return fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Column, f.Message)
}

// Faults is everything wrong with a log, in its order.
type Faults []Fault

// Error tells all faults, one a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i := range f {
		lines[i] = f[i].Error()
	}
	return strings.Join(lines, "\n")
}

// maxBytes bounds what is read of a log, so that a stream without end is
// refused: hours of flight are far below it.
const maxBytes = 256 << 20

// Read reads a log; name is what its faults call it. The error is Faults: all
// of them at once, up to twenty. Columns may stand in any order and further ones
// are left aside. Text and times must be whole: no gaps, no missing numbers.
func Read(name string, r io.Reader) (*Log, error) {
	l := reader{log: Log{Name: name}, csv: csv.NewReader(skipMark(io.LimitReader(r, maxBytes)))}
	l.csv.ReuseRecord = true
	l.header()
	for len(l.faults) < mostFaults && !l.stopped {
		l.row()
	}
	l.finish()
	if len(l.faults) > 0 {
		return nil, l.faults
	}
	return &l.log, nil
}

// skipMark leaves out the byte order mark that spreadsheets put before a table.
func skipMark(r io.Reader) io.Reader {
	mark := []byte("\ufeff")
	head := make([]byte, len(mark))
	n, _ := io.ReadFull(r, head) // an error comes again with the rest
	if bytes.Equal(head, mark) {
		return r
	}
	return io.MultiReader(bytes.NewReader(head[:n]), r)
}

type reader struct {
	log     Log
	csv     *csv.Reader
	place   []int // of each of fixedColumns, then of u1, u2, …
	fixed   [18]float64
	faults  Faults
	stopped bool
}

func (l *reader) fault(line, column int, format string, args ...any) {
	l.faults = append(l.faults, Fault{l.log.Name, line, column, fmt.Sprintf(format, args...)})
}

// next reads a line, or stops.
func (l *reader) next() []string {
	fields, err := l.csv.Read()
	if err == nil {
		return fields
	}
	var parse *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		l.stopped = true
	case errors.As(err, &parse) && errors.Is(parse.Err, csv.ErrFieldCount):
		l.fault(parse.Line, parse.Column, "this line has %d columns, the first line has %d", len(fields), l.csv.FieldsPerRecord)
	case errors.As(err, &parse):
		l.fault(parse.Line, parse.Column, "%v", parse.Err)
		l.stopped = true
	default:
		l.fault(0, 0, "cannot be read: %v", err)
		l.stopped = true
	}
	return nil
}

// header finds the columns.
func (l *reader) header() {
	fields := l.next()
	if fields == nil {
		if len(l.faults) == 0 {
			l.fault(0, 0, "the file is empty; its first line must name the columns")
		}
		l.stopped = true
		return
	}
	at := map[string]int{}
	for i, name := range fields {
		name = strings.TrimSpace(name)
		if first, twice := at[name]; twice {
			line, column := l.csv.FieldPos(i)
			l.fault(line, column, "column %s stands twice, first as number %d", name, first+1)
			continue
		}
		at[name] = i
	}
	var missing []string
	for _, name := range fixedColumns {
		i, ok := at[name]
		if !ok {
			missing = append(missing, name)
		}
		l.place = append(l.place, i)
	}
	for n := 1; n <= dynamics.MaxRotors; n++ {
		i, ok := at["u"+strconv.Itoa(n)]
		if !ok {
			break
		}
		l.place = append(l.place, i)
		l.log.Rotors = n
	}
	for n := l.log.Rotors + 1; n <= leastRotors; n++ {
		missing = append(missing, "u"+strconv.Itoa(n))
	}
	if len(missing) > 0 {
		l.fault(1, 1, "missing columns: %s", strings.Join(missing, ", "))
	}
	l.stopped = len(l.faults) > 0
}

// row takes one line in.
func (l *reader) row() {
	fields := l.next()
	if fields == nil {
		return
	}
	if len(l.log.Rows) >= mostRows {
		l.fault(0, 0, "more than %d lines", mostRows)
		l.stopped = true
		return
	}
	var r Row
	before := len(l.faults)
	for i, place := range l.place {
		x, ok := l.number(fields, place, i)
		if !ok {
			continue
		}
		if i < len(fixedColumns) {
			l.fixed[i] = x
		} else {
			r.Duty[i-len(fixedColumns)] = x
		}
	}
	if len(l.faults) > before {
		return
	}
	f := &l.fixed
	r.Time = f[0]
	r.PosW = kernel.Vec3{X: f[1], Y: f[2], Z: f[3]}
	r.QWB = kernel.Quat{W: f[4], X: f[5], Y: f[6], Z: f[7]}
	r.VelW = kernel.Vec3{X: f[8], Y: f[9], Z: f[10]}
	r.ForceB = kernel.Vec3{X: f[11], Y: f[12], Z: f[13]}
	r.OmegaB = kernel.Vec3{X: f[14], Y: f[15], Z: f[16]}
	r.CellVolts = f[17]
	l.keep(&r)
}

// number reads field place, which is column i of ours.
func (l *reader) number(fields []string, place, i int) (float64, bool) {
	text := strings.TrimSpace(fields[place])
	x, err := strconv.ParseFloat(text, 64)
	fail := func(allowed string) (float64, bool) {
		line, column := l.csv.FieldPos(place)
		l.fault(line, column, "column %s: found %q, allowed is %s", l.columnName(i), shorten(text), allowed)
		return 0, false
	}
	switch {
	case err != nil || !kernel.IsFinite(x):
		return fail("a finite number")
	case i >= len(fixedColumns) && (x < 0 || x > 1):
		return fail("a duty from 0 to 1")
	case i == len(fixedColumns)-1 && (x < 0 || x > mostVolts):
		return fail("a voltage from 0 to 60")
	}
	return x, true
}

func (l *reader) columnName(i int) string {
	if i < len(fixedColumns) {
		return fixedColumns[i]
	}
	return "u" + strconv.Itoa(i-len(fixedColumns)+1)
}

func shorten(text string) string {
	if runes := []rune(text); len(runes) > 20 {
		return string(runes[:20]) + "…"
	}
	return text
}

// keep checks what ties a row's numbers together and appends it.
func (l *reader) keep(r *Row) {
	q := &r.QWB
	length := math.Sqrt(float64(q.W*q.W) + q.Vec().NormSq())
	if math.Abs(length-1) > quatOff {
		line, column := l.csv.FieldPos(l.place[4])
		l.fault(line, column, "columns qw to qz: found a quaternion of length %.3g, allowed is 1", length)
		return
	}
	r.QWB = q.Normalized()
	if n := len(l.log.Rows); n > 0 && !(r.Time > l.log.Rows[n-1].Time) {
		line, column := l.csv.FieldPos(l.place[0])
		l.fault(line, column, "column t_s: found %g after %g, allowed is a time that rises", r.Time, l.log.Rows[n-1].Time)
		return
	}
	l.log.Rows = append(l.log.Rows, *r)
}

func (l *reader) finish() {
	if len(l.faults) >= mostFaults {
		l.fault(0, 0, "and perhaps more: the reader gave up here")
	}
	if n := len(l.log.Rows); len(l.faults) == 0 && n < leastRows {
		l.fault(0, 0, "the log has %d lines of numbers; at least %d are needed", n, leastRows)
	}
}
