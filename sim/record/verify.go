package record

import (
	"fmt"
	"strings"

	"lapwing/sim"
	"lapwing/sim/pilot"
)

// Verification is what flying a recording again has shown.
type Verification struct {
	Same    bool
	Seconds int      // compared
	Tick    int64    // of the first difference
	Groups  []string // that differed there
	Fields  []string // that differed there, when the recording has a trace
	Changed bool     // the recording was changed after the flight
	Result  sim.Result
}

// Says says a verification in a sentence or two.
func (v *Verification) Says() string {
	changed := ""
	if v.Changed {
		changed = " The recording was changed after the flight: its messages are not those it was closed with."
	}
	switch {
	case v.Same:
		return fmt.Sprintf("Verified: flown again, all %d hashes of the recording agree.", v.Seconds)
	case len(v.Groups) == 0:
		return strings.TrimSpace(changed)
	}
	where := fmt.Sprintf("The recording does not agree with this program: the first difference is at %.3f s, in %s",
		float64(v.Tick)/sim.TicksPerSecond, strings.Join(v.Groups, ", "))
	if len(v.Fields) > 0 {
		where += " (fields: " + strings.Join(v.Fields, ", ") + ")"
	}
	return where + "." + changed
}

// Pilot returns a pilot who repeats the recorded hands.
func (r *Recording) Pilot() *pilot.Recorded {
	p := pilot.NewRecorded(r.Hands)
	return &p
}

// Verify flies a recording again under its conditions and compares. Further
// watchers see the flight as well.
func (r *Recording) Verify(c *sim.Conditions, watchers ...sim.Watcher) Verification {
	check := &checker{recording: r, v: Verification{Same: true}}
	check.v.Result = sim.Run(c, r.Pilot(), append([]sim.Watcher{check}, watchers...)...)
	check.end()
	return check.v
}

// checker compares a run with a recording as it goes.
type checker struct {
	recording *Recording
	next      int
	trace     int
	v         Verification
}

// Looked implements sim.Watcher.
func (k *checker) Looked(*sim.World) {}

// Ticked compares field by field where there is a trace.
func (k *checker) Ticked(w *sim.World) {
	if k.trace >= len(k.recording.Trace) || !k.v.Same {
		return
	}
	line := &k.recording.Trace[k.trace]
	if line.Tick != w.Tick {
		return
	}
	k.trace++
	if fields := differingFields(&line.message, w); len(fields) > 0 {
		k.differ(w.Tick, []string{"the trace"}, fields)
	}
}

// Second compares the hashes of a second.
func (k *checker) Second(w *sim.World) {
	if k.next >= len(k.recording.Hashes) {
		k.differ(w.Tick, []string{"the length: the recording is shorter"}, nil)
		return
	}
	line := &k.recording.Hashes[k.next]
	k.next++
	k.v.Seconds++
	if line.Tick != w.Tick {
		k.differ(w.Tick, []string{"the times of the hashes"}, nil)
		return
	}
	if groups := w.Hash().Differs(line.Hashes); len(groups) > 0 {
		k.differ(w.Tick, groups, nil)
	}
}

func (k *checker) end() {
	last := &k.v.Result.End
	k.v.Seconds++
	if last.Tick != k.recording.EndTick {
		k.differ(min(last.Tick, k.recording.EndTick), []string{"the length of the run"}, nil)
	} else if groups := last.Hash().Differs(k.recording.Last); len(groups) > 0 {
		k.differ(last.Tick, groups, nil)
	}
	if k.recording.Changed {
		k.v.Changed = true
		k.differ(last.Tick, nil, nil)
	}
}

func (k *checker) differ(tick int64, groups, fields []string) {
	if k.v.Same {
		k.v.Same, k.v.Tick, k.v.Groups, k.v.Fields = false, tick, groups, fields
	}
}
