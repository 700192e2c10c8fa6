package pilot

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// Person is a modelled person. It flies the plan, watches the signs of the drill
// through its own thresholds, never knows whether an inject has come, takes its
// time, and then carries out the right actions in order, flying between them.
//
// It is a plain value but for plan, drill and profile, which it only reads.
type Person struct {
	exec    Executor
	drill   *judge.Drill
	profile *Profile
	seed    uint64

	watch [judge.MaxCues + len(alarms)]percept.Watch
	flown bool // it has left the floor

	noticed int64 // tick at which a sign was noticed, judge.Never before
	acts    int64 // tick at which the hands begin to answer
	alarm   int   // 1 + row of the alarming sign that is answered, 0 when it is the drill's event

	wrong      Wrong
	wrongStep  hands.Step  // of WrongStep
	wrongUntil int64       // tick at which the wrong action is given up
	began      hands.Hands // at acts
	start      bool        // acts has passed

	step    int64       // demand that is worked on
	since   int64       // tick at which it became the one
	quiet   int64       // tick since which the craft is at rest, judge.Never while it is not
	held    int64       // tick since which what the present deed asks for holds, judge.Never while it does not
	nearest float64     // m, least distance to a person since acts
	closest float64     // m, least distance to a wall since acts
	room    float64     // m, greatest distance to a wall so far
	roomW   kernel.Vec3 // m, where that was
	said    bool        // the drill's call-out was made
	stance  stance
	coming  bool // the craft is being brought down
	down    bool // it has touched the floor on that way
	bracing bool // the craft is being brought to rest
}

// NewPerson returns the modelled person profile, who flies plan and may meet
// drill. Everything random about it is a function of seed.
func NewPerson(plan *Plan, drill *judge.Drill, profile *Profile, seed uint64) Person {
	x := Person{exec: NewExecutor(plan, profile.Hand, seed), drill: drill, profile: profile, seed: seed,
		noticed: judge.Never, acts: judge.Never, quiet: judge.Never, held: judge.Never}
	x.exec.Care = profile.Care
	return x
}

// Noticed returns the ticks at which the person noticed and began to act,
// judge.Never before.
func (x *Person) Noticed() (noticed, acts int64) { return x.noticed, x.acts }

var chance = kernel.NewStream("pilot-chance")

// Indices of what is drawn by lot once in a run.
const (
	drawWrong uint64 = iota
	drawWhich
	drawWrongFor
	drawMatch
	drawTurned
	drawResponse = 16 // two indices
	drawOmit     = 32 // one for each demand
	drawAlarm    = 64 // one for each alarming sign
)

// lot returns a number in 0 … 1 of this person in this event: the same seed is not
// the same slip in every drill.
func (x *Person) lot(index uint64) float64 {
	return kernel.Uniform(x.seed, chance, int64(x.drill.Event), index)
}

// Act implements Pilot.
func (x *Person) Act(p *percept.Percept, h *hands.Hands) {
	x.exec.look(p, h)
	x.flown = x.flown || !p.OnFloor && !p.Held && p.PosW.Z > 0.25 && p.Armed
	x.measure(p)
	if x.noticed == judge.Never || x.alarm != 0 {
		x.notice(p)
	}
	if x.noticed == judge.Never || p.Tick < x.acts {
		x.exec.fly(p, h)
	} else {
		x.answer(p, h)
	}
	x.exec.note(p, h)
}

// notice looks for a sign and, once there is one, draws what comes of it. Who
// answers an alarm and then sees what the drill is about goes over to that.
func (x *Person) notice(p *percept.Percept) {
	if x.exec.Progress.Done(x.exec.plan) && !p.MotorsTurn {
		return
	}
	cue, alarm := x.seesCue(p), x.seesAlarm(p)
	if x.noticed != judge.Never {
		if cue {
			x.alarm, x.step, x.since, x.said = 0, 0, p.Tick, false
		}
		return
	}
	switch {
	case cue:
	case alarm != 0:
		x.alarm = alarm
	default:
		return
	}
	x.noticed = p.Tick
	x.acts = p.Tick + x.responseTicks()
	x.wrong, x.wrongUntil = x.profile.Habit, judge.NoLimit
	if x.wrong == WrongNot && x.lot(drawWrong) < x.profile.WrongFirst {
		x.wrong, x.wrongStep = x.drawWrong(x.lot(drawWhich))
		x.wrongUntil = x.acts + int64(-1000*x.profile.WrongFor*kernel.Log(x.lot(drawWrongFor)))
	}
}

// responseTicks draws the time from noticing to acting: recognition and choice,
// then the hand's way.
func (x *Person) responseTicks() int64 {
	d := x.profile.responseTo(x.drill.Announced)
	t := 0.0
	if d.Mean() > 0 {
		t = max(d.Sample(x.seed, chance, drawResponse/2), leastResponse)
	}
	return int64(1000 * (t + x.profile.Travel + x.profile.Wait))
}

// leastResponse is the time below which an answer is an anticipation (rule of
// athletics, 0.1 s).
const leastResponse = 0.1 // s

// answer carries out the event's actions for one look.
func (x *Person) answer(p *percept.Percept, h *hands.Hands) {
	if !x.start {
		x.start, x.began, x.since = true, *h, p.Tick
		x.nearest, x.closest = p.Person, p.Wall
		x.exec.secure = securing{}
		x.stance.safeW, x.stance.hasSafe = p.HoldW, true
	}
	if x.wrong != WrongNot && p.Tick < x.wrongUntil {
		x.err(p, h)
		x.since = p.Tick
		return
	}
	x.wrong = WrongNot
	x.rest(p)
	switch {
	case x.alarm != 0:
		x.react(p, h)
		return
	case x.step >= int64(x.drill.DemandCount):
		x.comeDown(p, h)
	default:
		x.work(p, h)
	}
	x.callOut(p, h)
}

// rest keeps since when the craft is at rest.
func (x *Person) rest(p *percept.Percept) {
	level := restSpeed
	if x.step < int64(x.drill.DemandCount) {
		if deed := &x.drill.Demands[x.step].AnyOf[0]; deed.Kind == judge.DeedArrest {
			level = max(deed.Level, 0.05)
		}
	}
	if p.VelW.NormXY() > level {
		x.quiet = judge.Never
	} else if x.quiet == judge.Never {
		x.quiet = p.Tick
	}
}

// work does the present demand, and the flying meanwhile.
func (x *Person) work(p *percept.Percept, h *hands.Hands) {
	demand := &x.drill.Demands[x.step]
	ready := x.step == 0 || p.Tick-x.since >= x.gap()
	omitted := x.step > 0 && x.lot(drawOmit+uint64(x.step)) < x.profile.Omit
	if omitted {
		x.fly(p, h)
		x.next(p)
		return
	}
	if !ready {
		x.fly(p, h)
		return
	}
	deed := &demand.AnyOf[0]
	if x.do(deed, p, h) || bounded(deed.Kind) && p.Tick-x.since >= patience {
		x.next(p)
	}
}

// gap returns the pause (ticks) between two actions; it is halved where an event
// asks to stop at once.
func (x *Person) gap() int64 {
	ticks := int64(1000 * x.profile.Gap)
	if x.drill.Class == judge.ClassA {
		ticks /= 2
	}
	return ticks
}

func (x *Person) next(p *percept.Percept) { x.step, x.since, x.held = x.step+1, p.Tick, judge.Never }

// callOut says the drill's call once the first action is done.
func (x *Person) callOut(p *percept.Percept, h *hands.Hands) {
	if x.said || x.drill.Call == hands.CallNone || h.Call != hands.CallNone {
		x.said = x.said || x.drill.Call != hands.CallNone && h.Call == x.drill.Call
		return
	}
	late := p.Tick-x.acts >= x.gap()
	if x.step > 0 && late && x.lot(drawOmit+judge.MaxDemands) >= x.profile.Omit {
		h.Call, x.said = x.drill.Call, true
	}
}

// comeDown lands and secures the craft. While the link is lost the hands stay as
// they are until it stands with motors stopped.
func (x *Person) comeDown(p *percept.Percept, h *hands.Hands) {
	down := x.down || p.OnFloor || h.CutOff || !p.Armed
	if p.LinkLost && !h.CutOff && (!p.OnFloor || p.MotorsTurn) {
		return
	}
	if !down && x.exec.secure.Since == 0 {
		x.coming = true
		x.fly(p, h)
		return
	}
	x.exec.secure.all(&x.exec.Hand, &x.exec.grip, p, h, nil)
}
