// Package flight is one run as the station flies it: by the wall clock, with
// somebody at the sticks who may pause, unplug, or want it again.
//
// It stands apart from the window, because all of it can be tested by handing in
// the time. The way of the data:
//
//  1. Load reads a scenario with the throttle of the hand that flies and the
//     levers of a practice put into its files                     (load.go)
//  2. New puts the craft on its mark, or has a steady hand fly it to a phase of
//     the plan                                                    (flight.go)
//  3. Move turns the ticks that are due, Shown looks whether the pictures came
//     steadily; what takes that away withdraws the run through the hands, so
//     that a replay meets it at the same tick                      (flight.go)
//  4. Finish flies the taped hands once more from tick 0, which writes the
//     recording and proves it, and scores                         (finish.go)
//  5. Track goes to and fro in what was flown, or in what would have been
//     flown had somebody acted earlier or later                   (track.go, fork.go)
package flight

import (
	"fmt"
	"time"

	"lapwing/render/clock"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// Kind is what a flight is for.
type Kind uint8

// The kinds.
const (
	Free     Kind = iota // nothing is asked, recorded or scored
	Practice             // recorded and told, with whatever helps
	Scored               // as the scenario is written, from the pilot's place
)

// String returns the word for k.
func (k Kind) String() string { return [...]string{"free", "practice", "scored"}[min(k, Scored)] }

// Phase is where a flight stands.
type Phase uint8

// The phases.
const (
	Waiting  Phase = iota // for somebody to start it
	Counting              // down to the first tick, or to the next one after a pause
	Going
	Paused
	Over
)

// Setup is how a scenario is to be flown.
type Setup struct {
	Kind   Kind
	Seed   uint64
	From   int64       // leg of the plan from which the person flies; before it a steady hand does
	Speed  clock.Speed // of a practice
	Levers Levers      // of a practice
}

// Flight is one run. Its world is a plain value that whoever draws it may read.
type Flight struct {
	Bundle *scenarios.Bundle
	Setup  Setup
	C      sim.Conditions
	W      sim.World
	Phase  Phase
	Why    sim.End
	Void   Reason // for which the station withdrew it
	Pauses int
	Steady clock.Steady
	Again  int // how often free flight has begun anew after a crash

	clock  clock.Clock
	until  time.Duration // end of the countdown
	beat   time.Duration // length of one of its three beats
	tape   tape
	start  sim.World // as the person takes it over
	before int       // moments on the tape by then
	crash  int64     // tick of a crash in free flight, judge.Never before
}

// Reason is why the station withdrew a run, a key of texts.
type Reason string

// The reasons.
const (
	Stands    Reason = ""
	Unplugged Reason = "unplugged"
	Stopped   Reason = "paused" // a person who pauses has all the time to think
	Gap       Reason = "gap"
	Lag       Reason = "lag"
	Ended     Reason = "ended" // by the person
)

// New prepares a flight. The error says why the bundle cannot be flown here.
func New(b *scenarios.Bundle, s Setup) (*Flight, error) {
	f := &Flight{Bundle: b, Setup: s, C: b.Rehearsal(s.Seed)}
	if f.C.Stage != control.BuiltIn {
		return nil, fmt.Errorf("%s is flown by a law from outside: fly it with lapwing", b.Name)
	}
	f.W = sim.Start(&f.C)
	if s.From > 0 {
		if err := f.flyTo(s.From); err != nil {
			return nil, err
		}
	}
	f.start, f.before = f.W, len(f.tape.moments)
	f.Rewind()
	return f, nil
}

// flyTo lets a hand that answers nothing fly to the beginning of a leg.
func (f *Flight) flyTo(leg int64) error {
	p, err := f.C.Pilot("none", nil)
	if err != nil {
		return err
	}
	for f.W.Progress.Leg < leg {
		if _, over := sim.Over(&f.C, &f.W); over || f.W.Judge.Cue != judge.Never {
			return fmt.Errorf("%s does not come to that phase before its event: begin earlier", f.Bundle.Name)
		}
		sim.Turn(&f.C, &f.W, p, &f.tape)
	}
	return nil
}

// Rewind puts the flight back to where the person takes it over. It waits then.
func (f *Flight) Rewind() {
	f.W = f.start
	f.tape.moments = f.tape.moments[:f.before]
	f.Phase, f.Why, f.Void, f.Pauses, f.crash = Waiting, 0, Stands, 0, judge.Never
	f.clock.Pause()
	f.clock.Clear()
}

// Start is the hands with which the person takes over.
func (f *Flight) Start() hands.Hands { return f.start.Hands }

// Count starts, or goes on after a pause, after three beats of that length.
func (f *Flight) Count(now, beat time.Duration) {
	f.Phase, f.beat, f.until = Counting, beat, now+3*beat
}

// Beat is the number of the countdown, 3, 2, 1, or 0 when there is none.
func (f *Flight) Beat(now time.Duration) int {
	if f.Phase != Counting || f.beat == 0 {
		return 0
	}
	return min(max(int((f.until-now+f.beat-1)/f.beat), 0), 3)
}

// Move turns all ticks that are due at now.
func (f *Flight) Move(now time.Duration, p pilot.Pilot) {
	if f.Phase == Counting && now >= f.until {
		f.Phase = Going
		f.clock.Run(now, f.speed())
		f.Steady.Begin(now, f.W.Tick == f.start.Tick)
	}
	if f.Phase != Going && f.Phase != Paused {
		return
	}
	for range f.clock.Ticks(now) {
		if why, over := sim.Over(&f.C, &f.W); over {
			f.end(why)
			return
		}
		sim.Turn(&f.C, &f.W, withdrawn{p, f.Void != Stands}, &f.tape)
	}
	f.revive(now)
}

func (f *Flight) speed() clock.Speed {
	if f.Setup.Kind == Practice && f.Setup.Speed.Den > 0 {
		return f.Setup.Speed
	}
	return clock.Normal
}

func (f *Flight) end(why sim.End) {
	if f.Setup.Kind == Free {
		f.Rewind()
		f.Phase = Going
		f.Again++
		return
	}
	f.Phase, f.Why = Over, why
	f.clock.Pause()
}

// crashRest is how long a crash is looked at before free flight begins anew.
const crashRest = 900 // ticks

// revive begins free flight anew after a crash.
func (f *Flight) revive(now time.Duration) {
	if f.Setup.Kind != Free || f.Phase != Going {
		return
	}
	if f.crash == judge.Never && (f.W.Judge.Hard != judge.Never || f.W.Void.Reason != sim.VoidNot) {
		f.crash = f.W.Tick
	}
	if f.crash != judge.Never && f.W.Tick-f.crash >= crashRest {
		f.Rewind()
		f.Phase = Going
		f.Again++
		f.clock.Run(now, clock.Normal)
	}
}

// Crashed tells whether free flight has just ended in something hard.
func (f *Flight) Crashed() bool { return f.Setup.Kind == Free && f.crash != judge.Never }

// Shown notes that a picture was shown at now, of the world as it stood at of. A
// scored run whose pictures do not come steadily is withdrawn.
func (f *Flight) Shown(now, of time.Duration) {
	if f.Phase != Going {
		return
	}
	f.Steady.Shown(now, of)
	if f.Setup.Kind != Scored || f.Void != Stands {
		return
	}
	switch f.Steady.Soon() {
	case clock.FindGap:
		f.Void = Gap
	case clock.FindLag:
		f.Void = Lag
	}
}

// Pause stands still. A scored run is withdrawn by it, and ends.
func (f *Flight) Pause(now time.Duration, why Reason) {
	if f.Phase != Going && f.Phase != Counting {
		return
	}
	f.Pauses++
	if f.Setup.Kind == Scored {
		f.Withdraw(now, why)
		return
	}
	f.Phase = Paused
	f.clock.Pause()
}

// Withdraw ends the run as void: the stop word goes into the hands of the next
// look, where the recording keeps it.
func (f *Flight) Withdraw(now time.Duration, why Reason) {
	if f.Phase == Over || f.Setup.Kind == Free {
		return
	}
	if f.Void == Stands {
		f.Void = why
	}
	for range 2 * percept.Every {
		if why, over := sim.Over(&f.C, &f.W); over {
			f.end(why)
			return
		}
		sim.Turn(&f.C, &f.W, withdrawn{still{}, true}, &f.tape)
	}
	f.end(sim.EndVoid)
}

// Step moves a paused practice on by n ticks.
func (f *Flight) Step(n int64) {
	if f.Phase == Paused {
		f.clock.Step(n)
	}
}

// withdrawn says the stop word in place of whatever else is called.
type withdrawn struct {
	pilot.Pilot
	stop bool
}

// Act implements pilot.Pilot.
func (p withdrawn) Act(see *percept.Percept, h *hands.Hands) {
	p.Pilot.Act(see, h)
	if p.stop {
		h.Call = hands.CallStop
	}
}

// still leaves the hands as they are.
type still struct{}

// Act implements pilot.Pilot.
func (still) Act(_ *percept.Percept, h *hands.Hands) { h.Call, h.Step, h.Item = 0, 0, 0 }

// tape keeps the hands whenever they change; it is a sim.Watcher.
type tape struct{ moments []pilot.Moment }

// Looked implements sim.Watcher.
func (t *tape) Looked(w *sim.World) {
	if n := len(t.moments); n == 0 || t.moments[n-1].Hands != w.Hands {
		t.moments = append(t.moments, pilot.Moment{Tick: w.Tick, Hands: w.Hands})
	}
}

// Second implements sim.Watcher.
func (*tape) Second(*sim.World) {}

// Ticked implements sim.Watcher.
func (*tape) Ticked(*sim.World) {}
