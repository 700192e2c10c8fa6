package flight

import (
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// Fork is what would have come of it, had the right action come at another time.
type Fork struct {
	After int64 // ticks from the cue to the action
	Track *Track
	Hard  int64 // tick of the hard outcome, judge.Never when none came
	Kind  judge.HardKind
}

// How a fork is flown: as that of the time available, and looked at a little
// longer.
const (
	grace     = 5000 // ticks from the action, within which something hard counts against it
	lookAfter = 3000 // ticks
)

// NewFork flies on from the cue with somebody who notices nothing, and after a
// time with a trained hand that gives the best of the event's right answers.
func NewFork(c *sim.Conditions, atCue *sim.World, after int64) *Fork {
	answers, n := pilot.Answers(&c.Drill)
	until := atCue.Tick + after + grace
	for _, answer := range answers[:n] {
		if hardAt(c, atCue, newActing(c, atCue, after, answer), until) == judge.Never {
			return forkWith(c, atCue, after, answer, until)
		}
	}
	return forkWith(c, atCue, after, answers[0], until)
}

func forkWith(c *sim.Conditions, atCue *sim.World, after int64, answer pilot.Answer, until int64) *Fork {
	t := NewTrack(c, atCue, newActing(c, atCue, after, answer), until+lookAfter)
	f := &Fork{After: after, Track: t, Hard: judge.Never}
	if hard := t.End.Judge.Hard; hard != judge.Never && hard < until {
		f.Hard, f.Kind = hard, t.End.Judge.HardKind
	}
	return f
}

func hardAt(c *sim.Conditions, from *sim.World, p pilot.Pilot, until int64) int64 {
	w := *from
	for w.Tick < until && w.Void.Reason == sim.VoidNot && w.Judge.Hard == judge.Never {
		sim.Turn(c, &w, p)
	}
	return w.Judge.Hard
}

// acting goes on with the task, and from a tick on gives an answer.
type acting struct {
	unaware pilot.Unaware
	hand    pilot.Hand
	answer  pilot.Answer
	from    int64
	acts    pilot.Pilot
}

func newActing(c *sim.Conditions, atCue *sim.World, after int64, answer pilot.Answer) *acting {
	return &acting{unaware: pilot.NewUnaware(&c.Plan, atCue.Progress).With(c.Brief()),
		hand: pilot.TrainedHand().With(c.Brief()), answer: answer, from: atCue.Tick + after}
}

// Act implements pilot.Pilot.
func (a *acting) Act(p *percept.Percept, h *hands.Hands) {
	if p.Tick < a.from {
		a.unaware.Act(p, h)
		return
	}
	if a.acts == nil {
		answering := pilot.NewAnswering(a.answer, a.hand, p)
		a.acts = &answering
	}
	a.acts.Act(p, h)
}
