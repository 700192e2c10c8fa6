package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"lapwing/sim"
	"lapwing/sim/score"
)

// cautions end every report.
var cautions = []string{
	"This rehearses; it does not qualify, license, certify or authorise anybody. GO means: met this standard, in this simulation, on this date.",
	"The simulation is wrong in ways that matter. The craft's own manual, your laboratory's rules, local law and licensed practice come first.",
	"At the bench: propellers off. Treat a craft with its battery in as able to start; battery last in, first out.",
}

// width is the line length of sentences in the terminal.
const width = 92

// printSections prints headings and wrapped sentences.
func printSections(out io.Writer, sections []score.Section) {
	for _, s := range sections {
		fmt.Fprintf(out, "\n%s\n", s.Title)
		for _, line := range s.Lines {
			printWrapped(out, "  ", line)
		}
	}
}

// printWrapped prints a sentence at an indent, later lines two further in.
func printWrapped(out io.Writer, indent, text string) {
	line := indent
	for _, word := range strings.Fields(text) {
		if len([]rune(line))+len([]rune(word))+1 > width && strings.TrimSpace(line) != "" {
			fmt.Fprintln(out, strings.TrimRight(line, " "))
			line = indent + "  "
		}
		line += word + " "
	}
	fmt.Fprintln(out, strings.TrimRight(line, " "))
}

// printCautions prints the cautions.
func printCautions(out io.Writer) {
	printSections(out, []score.Section{{Title: "Cautions", Lines: cautions}})
}

// progress draws one line of progress once a run has lasted two seconds of wall
// time, and only on a terminal. It watches a run and changes nothing.
type progress struct {
	out     io.Writer
	started time.Time
	last    time.Time
	total   int64
	drawn   bool
}

func newProgress(out io.Writer, total int64) *progress {
	if file, ok := out.(*os.File); !ok || !isTerminal(file) {
		out = nil
	}
	return &progress{out: out, started: time.Now(), total: total}
}

func isTerminal(file *os.File) bool {
	info, err := file.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// Looked implements sim.Watcher.
func (p *progress) Looked(*sim.World) {}

// Ticked implements sim.Watcher.
func (p *progress) Ticked(*sim.World) {}

// Second implements sim.Watcher.
func (p *progress) Second(w *sim.World) {
	now := time.Now()
	if p.out == nil || now.Sub(p.started) < 2*time.Second || now.Sub(p.last) < 200*time.Millisecond {
		return
	}
	p.last, p.drawn = now, true
	fmt.Fprintf(p.out, "\rflown %3.0f of at most %.0f s ", float64(w.Tick)/sim.TicksPerSecond, float64(p.total)/sim.TicksPerSecond)
}

// done clears the line.
func (p *progress) done() {
	if p.drawn {
		fmt.Fprint(p.out, "\r\033[K")
	}
}

// asking says on a terminal that the time there was to act is being computed,
// once that has taken two seconds. The function it returns takes that away.
func asking(out io.Writer) (done func()) {
	if file, ok := out.(*os.File); !ok || !isTerminal(file) {
		return func() {}
	}
	var lock sync.Mutex
	drawn, over := false, false
	timer := time.AfterFunc(2*time.Second, func() {
		lock.Lock()
		defer lock.Unlock()
		if !over {
			fmt.Fprint(out, "\rasking how long there was to act … ")
			drawn = true
		}
	})
	return func() {
		timer.Stop()
		lock.Lock()
		defer lock.Unlock()
		over = true
		if drawn {
			fmt.Fprint(out, "\r\033[K")
		}
	}
}
