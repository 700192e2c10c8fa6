package scenarios

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Fault is one thing wrong with a file, at its place.
type Fault struct {
	File    string `json:"file"`              // as given by the caller
	Line    int    `json:"line,omitempty"`    // from 1; 0 when the fault has no place
	Column  int    `json:"column,omitempty"`  // from 1; 0 when only the line is known
	Path    string `json:"path,omitempty"`    // of the field, as in rotors[2].spin; empty for the whole file
	Found   string `json:"found,omitempty"`   // what stands there, shortened; empty when nothing does
	Allowed string `json:"allowed,omitempty"` // what may stand there; empty when Message says it all
	Message string `json:"message,omitempty"` // what is wrong, in a sentence; empty when Found and Allowed say it all
}

// String returns f in one line: file:line:column: path: what is wrong.
func (f Fault) String() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d", f.Line)
		if f.Column > 0 {
			fmt.Fprintf(&b, ":%d", f.Column)
		}
	}
	b.WriteString(": ")
	if f.Path != "" {
		b.WriteString(f.Path + ": ")
	}
	b.WriteString(f.words())
	return b.String()
}

func (f Fault) words() string {
	var parts []string
	if f.Message != "" {
		parts = append(parts, f.Message)
	}
	if f.Found != "" {
		parts = append(parts, "found "+f.Found)
	}
	if f.Allowed != "" {
		parts = append(parts, "allowed "+f.Allowed)
	}
	return strings.Join(parts, "; ")
}

// Faults is everything wrong with a set of files, sorted by file, line, column.
// It is never empty when returned as an error.
type Faults []Fault

// Error returns one line for each fault.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fault.String()
	}
	return strings.Join(lines, "\n")
}

// maxFaults bounds what is listed of one set of files: past it a reader learns
// nothing more.
const maxFaults = 200

// report gathers faults.
type report struct{ faults Faults }

func (r *report) add(f Fault) {
	if !r.full() {
		r.faults = append(r.faults, f)
	}
}

// full tells whether no more faults are listed.
func (r *report) full() bool { return len(r.faults) >= maxFaults }

// error returns the sorted faults, or nil when there are none.
func (r *report) error() error {
	if len(r.faults) == 0 {
		return nil
	}
	slices.SortStableFunc(r.faults, func(a, b Fault) int {
		return compareFirst(strings.Compare(a.File, b.File), a.Line-b.Line, a.Column-b.Column,
			strings.Compare(a.Path, b.Path), strings.Compare(a.words(), b.words()))
	})
	return slices.Compact(r.faults)
}

func compareFirst(orders ...int) int {
	for _, o := range orders {
		if o != 0 {
			return o
		}
	}
	return 0
}

// shorten returns s quoted and cut to what fits a line.
func shorten(s string) string {
	const most = 40
	runes := []rune(s)
	if len(runes) > most {
		return fmt.Sprintf("%q…", string(runes[:most]))
	}
	return fmt.Sprintf("%q", s)
}

// figureWords writes x as short as it can be told apart.
func figureWords(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
