package sim

import (
	"lapwing/sim/control"
	"lapwing/sim/judge"
	"lapwing/sim/pilot"
)

// Watcher is told of a run as it goes: a recorder, a progress line, a trace.
// It must not change the world.
type Watcher interface {
	// Looked is called after the person has answered a percept, before the tick.
	Looked(w *World)
	// Second is called at the start of each simulated second, before its tick.
	Second(w *World)
	// Ticked is called after every tick.
	Ticked(w *World)
}

// Result is what is left of a run.
type Result struct {
	End   World  // as it ended
	AtCue *World // as it was when the cue came, nil when none did
	Why   End

	LawAtCue control.Saved // the law from outside as it was then, nil for the built-in law
	NoFork   error         // why it could not be kept
}

// End says why a run ended.
type End uint8

// The reasons for which a run ends.
const (
	EndTime End = iota // the scenario's duration
	EndDone            // the plan or the event is finished and the craft is secured
	EndHard            // nothing more can change after a hard outcome
	EndVoid            // the run is void
)

// Words says what e is.
func (e End) Words() string {
	return [...]string{"the time of the scenario was over", "the craft was down and secured",
		"nothing more could be done", "the run is void"}[min(e, EndVoid)]
}

// Run flies a rehearsal from tick 0 to its end.
func Run(c *Conditions, p pilot.Pilot, watchers ...Watcher) Result {
	w := Start(c)
	return Continue(c, &w, p, watchers...)
}

// Continue flies from where w stands to the end.
func Continue(c *Conditions, w *World, p pilot.Pilot, watchers ...Watcher) Result {
	var r Result
	for {
		if why, over := Over(c, w); over {
			r.Why = why
			break
		}
		Turn(c, w, p, watchers...)
		if r.AtCue == nil && w.Judge.Cue != judge.Never {
			at := *w
			r.AtCue = &at
			r.LawAtCue, r.NoFork = c.SaveLaw()
		}
	}
	r.End = *w
	return r
}

// Turn is one tick with the person in it.
func Turn(c *Conditions, w *World, p pilot.Pilot, watchers ...Watcher) {
	if w.Looks() {
		Look(c, w)
		p.Act(&w.Percept, &w.Hands)
		for _, watcher := range watchers {
			watcher.Looked(w)
		}
	}
	if w.Tick%TicksPerSecond == 0 {
		for _, watcher := range watchers {
			watcher.Second(w)
		}
	}
	Advance(c, w)
	for _, watcher := range watchers {
		watcher.Ticked(w)
	}
}

// How long a run goes on after it could end, so that the last steps are seen.
const (
	afterSecured = 1000  // ticks after the battery is out
	afterSafe    = 15000 // ticks after standing with motors stopped, for steps still to come
	afterHard    = 15000 // ticks after a hard outcome
)

// Over tells whether the run is over, and why.
func Over(c *Conditions, w *World) (End, bool) {
	f := &w.Judge
	past := func(t, wait int64) bool { return t != judge.Never && w.Tick-t > wait }
	switch {
	case w.Void.Reason != VoidNot:
		return EndVoid, true
	case past(f.Secured[3], afterSecured) && f.MotorsOff != judge.Never:
		return EndDone, true
	case past(f.Safe, afterSafe) && f.MotorsOff != judge.Never:
		return EndDone, true
	case past(f.Hard, afterHard) && f.MotorsOff != judge.Never, f.Hard != judge.Never && !w.believable():
		return EndHard, true
	case w.benchDone(c):
		return EndDone, true
	case w.Tick >= c.Duration:
		return EndTime, true
	}
	return 0, false
}

// benchDone tells whether work that is no flight is done: the plan is at its end
// and nothing was to go wrong.
func (w *World) benchDone(c *Conditions) bool {
	return c.Drill.Class == judge.ClassN && w.Judge.Airborne == judge.Never &&
		w.Progress.Done(&c.Plan) && w.Tick-w.Progress.Since > afterSecured
}
