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

	watch [judge.MaxCues + len(harmless)]percept.Watch
	flown bool // it has left the floor

	noticed int64 // tick at which a sign was noticed, judge.Never before
	acts    int64 // tick at which the hands begin to answer
	alarm   bool  // a harmless sign was taken for an event

	wrong      Wrong
	wrongUntil int64       // tick at which the wrong action is given up
	began      hands.Hands // at acts
	start      bool        // acts has passed

	step    int64 // demand that is worked on
	since   int64 // tick at which it became the one
	quiet   int64 // tick since which the craft is at rest, judge.Never while it is not
	said    bool  // the drill's call-out was made
	stance  stance
	coming  bool // the craft is being brought down
	down    bool // it has touched the floor on that way
	bracing bool // the craft is being brought to rest
}

// NewPerson returns the modelled person profile, who flies plan and may meet
// drill. Everything random about it is a function of seed.
func NewPerson(plan *Plan, drill *judge.Drill, profile *Profile, seed uint64) Person {
	return Person{exec: NewExecutor(plan, profile.Hand, seed), drill: drill, profile: profile, seed: seed,
		noticed: judge.Never, acts: judge.Never, quiet: judge.Never}
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
	drawAlarm
	drawMatch
	drawResponse = 16 // two indices
	drawOmit     = 32 // one for each demand
)

func (x *Person) lot(index uint64) float64 { return kernel.Uniform(x.seed, chance, 0, index) }

// Act implements Pilot.
func (x *Person) Act(p *percept.Percept, h *hands.Hands) {
	x.exec.look(p, h)
	x.flown = x.flown || !p.OnFloor && p.PosW.Z > 0.25 && p.Armed
	if x.noticed == judge.Never {
		x.notice(p)
	}
	if x.noticed == judge.Never || p.Tick < x.acts {
		x.exec.fly(p, h)
	} else {
		x.answer(p, h)
	}
	x.exec.note(p, h)
}

// notice looks for a sign and, once there is one, draws what comes of it.
func (x *Person) notice(p *percept.Percept) {
	if x.exec.Progress.Done(x.exec.plan) && !p.MotorsTurn || !x.seesCue(p) && !x.seesHarmless(p) {
		return
	}
	x.noticed = p.Tick
	x.acts = p.Tick + x.responseTicks()
	x.wrong, x.wrongUntil = x.profile.Habit, judge.NoLimit
	if x.wrong == WrongNot && x.lot(drawWrong) < x.profile.WrongFirst {
		x.wrong = x.profile.draw(x.lot(drawWhich))
		x.wrongUntil = x.acts + int64(-1000*x.profile.WrongFor*kernel.Log(x.lot(drawWrongFor)))
	}
}

// responseTicks draws the time from noticing to acting: recognition and choice,
// then the hand's way.
func (x *Person) responseTicks() int64 {
	d := x.profile.Unannounced
	if x.drill.Announced {
		d = x.profile.Announced
	}
	t := 0.0
	if d.Mean() > 0 {
		t = max(d.Sample(x.seed, chance, drawResponse/2), leastResponse)
	}
	return int64(1000 * (t + x.profile.Travel + x.profile.Wait))
}

// leastResponse is the time below which an answer is an anticipation (rule of
// athletics, 0.1 s).
const leastResponse = 0.1 // s

// draw returns the wrong action of the weights for a number u in 0 … 1.
func (f *Profile) draw(u float64) Wrong {
	sum := 0.0
	for _, w := range f.Weights {
		sum += w
	}
	u *= sum
	for i, w := range f.Weights {
		if u < w {
			return Wrong(i)
		}
		u -= w
	}
	return WrongNot
}

// answer carries out the event's actions for one look.
func (x *Person) answer(p *percept.Percept, h *hands.Hands) {
	if !x.start {
		x.start, x.began, x.since = true, *h, p.Tick
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
	if x.alarm || x.step >= int64(x.drill.DemandCount) {
		x.conclude(p, h)
	} else {
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
	if x.do(&demand.AnyOf[0], p, h) {
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

func (x *Person) next(p *percept.Percept) { x.step, x.since = x.step+1, p.Tick }

// callOut says the drill's call once the first action is done.
func (x *Person) callOut(p *percept.Percept, h *hands.Hands) {
	if x.said || x.drill.Call == hands.CallNone || x.alarm || h.Call != hands.CallNone {
		x.said = x.said || x.drill.Call != hands.CallNone && h.Call == x.drill.Call
		return
	}
	late := p.Tick-x.acts >= x.gap()
	if x.step > 0 && late && x.lot(drawOmit+judge.MaxDemands) >= x.profile.Omit {
		h.Call, x.said = x.drill.Call, true
	}
}

// conclude ends every event in the same way: down, then secured.
func (x *Person) conclude(p *percept.Percept, h *hands.Hands) {
	if x.alarm {
		x.alwaysAttitude(p, h)
		return
	}
	x.comeDown(p, h)
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
