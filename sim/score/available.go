package score

import (
	"math"
	"runtime"
	"sync"

	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// Available is how long there was to act: from the cue to the last instant at
// which the right action still avoids the hard outcome.
type Available struct {
	Known    bool     `json:"known"`
	Saveable bool     `json:"saveable"`       // even someone on target could have saved it
	Ideal    Window   `json:"ideal"`          // with an ideal hand: an upper bound
	Hand     Window   `json:"hand"`           // with a trained hand: decides saveable
	HardS    *float64 `json:"hard_outcome_s"` // from the cue, when nobody acts; null when nothing hard comes
	LeftS    *float64 `json:"left_s"`         // what was left at the first right action
	Forks    int      `json:"forks"`

	Undecided string `json:"undecided,omitempty"` // why it is not known although it was asked for
}

// Window is a time available with its uncertainty.
type Window struct {
	Seconds float64      `json:"seconds"`
	AtLeast bool         `json:"at_least"` // the search ended before the action came too late
	Low     float64      `json:"low"`      // least over mass, motor lag, drag and noise
	High    float64      `json:"high"`
	Later   [][2]float64 `json:"later,omitempty"` // further windows in which the action works again, not used
}

// The search. The grid and the horizon bound the cost; the resolution is that
// of a percept, since hands change no more often.
const (
	gridTicks   = 100           // between two tries
	fineTicks   = percept.Every // resolution after bisection
	graceTicks  = 5000          // nothing hard for this long after the action counts as saved
	horizonOver = 1.5           // × the class limit
	bandBefore  = 10            // points of the grid before the nominal time at which the search of the band begins
)

// TimeAvailable forks the world at the cue. Until the action an unaware pilot
// goes on with the task; the action is the best of the event's right answers.
// The recorded hands after the cue are not used: they hold the answer. In a run
// without an event, and where the craft acts by itself and only people can be
// warned, there is nothing to compute.
func TimeAvailable(c *sim.Conditions, r *sim.Result) Available {
	a := NominalTimeAvailable(c, r)
	if a.Known && !a.Hand.AtLeast {
		a.band(c, r)
	}
	return a
}

// NominalTimeAvailable is TimeAvailable for the craft and the noise as they are,
// without a band: for tables of many runs, where the runs themselves scatter.
func NominalTimeAvailable(c *sim.Conditions, r *sim.Result) Available {
	if r.AtCue == nil || c.Drill.Class == judge.ClassN || c.Drill.Class == judge.ClassE {
		return Available{}
	}
	if r.NoFork != nil {
		return undecided(r.NoFork)
	}
	line := goOn(c, r)
	a := Available{Known: true}
	if line.failed != nil {
		return undecided(line.failed)
	}
	if line.hard != judge.Never {
		a.HardS = number(float64(line.hard-r.AtCue.Tick) / 1000)
	}
	hands := [2]pilot.Hand{pilot.IdealHand().With(c.Brief()), pilot.TrainedHand().With(c.Brief())}
	var found [2]Window
	var forks [2]forked
	inParallel(len(hands), func(i int) { found[i] = line.window(c, hands[i], &forks[i], 0, math.MaxInt64) })
	a.Ideal, a.Hand = found[0], found[1]
	for i := range forks {
		a.Forks += forks[i].count
		if forks[i].failed != nil {
			return undecided(forks[i].failed)
		}
	}
	a.Saveable = a.Hand.AtLeast || a.Hand.Seconds >= c.Drill.Target
	return a
}

// undecided is an answer that could not be worked out. A law from outside that
// fails in a fork says nothing about the person or the craft.
func undecided(why error) Available { return Available{Undecided: why.Error()} }

// forked is what the forks of a search came to.
type forked struct {
	count  int
	failed error // of a law from outside, the first
}

func (f *forked) fail(err error) {
	if f.failed == nil {
		f.failed = err
	}
}

// future is what happens when nobody acts: the world and the unaware pilot at
// each point of the grid.
type future struct {
	at     []moment
	hard   int64 // tick of the hard outcome, judge.Never when none comes
	failed error // of a law from outside
}

type moment struct {
	world   sim.World
	unaware pilot.Unaware
	law     control.Saved // the memory of a law from outside
}

// goOn flies on with an unaware pilot to the hard outcome or the horizon.
func goOn(c *sim.Conditions, r *sim.Result) *future {
	line, atCue := &future{hard: judge.Never}, r.AtCue
	c, done, err := c.Resume(r.LawAtCue)
	if err != nil {
		line.failed = err
		return line
	}
	defer done()
	now := moment{world: *atCue, unaware: pilot.NewUnaware(&c.Plan, atCue.Progress).With(c.Brief())}
	horizon := atCue.Tick + int64(horizonOver*c.Drill.Limit*1000)
	for now.world.Tick < horizon && now.world.Void.Reason == sim.VoidNot {
		if (now.world.Tick-atCue.Tick)%gridTicks == 0 {
			if now.law, line.failed = c.SaveLaw(); line.failed != nil {
				return line
			}
			line.at = append(line.at, now)
		}
		sim.Turn(c, &now.world, &now.unaware)
		if now.world.Judge.Hard != judge.Never {
			line.hard = now.world.Judge.Hard
			break
		}
	}
	line.failed = c.OutsideError()
	return line
}

// window finds the last instant before the first point of the grid at which
// acting no longer helps, trying from point from on. later windows are listed
// up to point most.
func (line *future) window(c *sim.Conditions, hand pilot.Hand, forks *forked, from, most int) Window {
	try := tries{c: c, hand: hand, forks: forks}
	failed := -1
	var w Window
	for i := from; i < len(line.at); i += line.stride() {
		if !try.saves(&line.at[i]) {
			failed = i
			break
		}
	}
	switch {
	case failed == 0:
		return w
	case failed == from:
		return line.window(c, hand, forks, 0, most)
	case failed < 0 && line.hard == judge.Never:
		w.Seconds, w.AtLeast = line.seconds(len(line.at)-1), true
	case failed < 0:
		w.Seconds = line.refine(c, &try, len(line.at)-1, gridTicks)
	default:
		w.Seconds = line.refine(c, &try, failed-1, gridTicks)
		w.Later = line.later(&try, failed, most)
	}
	w.Low, w.High = w.Seconds, w.Seconds
	return w
}

// stride is the step along the grid: where nothing hard comes by itself, acting
// could only do harm, and a coarser look is enough.
func (line *future) stride() int {
	if line.hard == judge.Never {
		return 10
	}
	return 1
}

func (line *future) seconds(i int) float64 { return float64(i) * gridTicks / 1000 }

// refine bisects between grid point i, where acting works, and the next.
func (line *future) refine(c *sim.Conditions, try *tries, i int, width int64) float64 {
	lo, hi := int64(0), width
	for hi-lo > fineTicks {
		mid := (lo + hi) / 2 / fineTicks * fineTicks
		if mid == lo {
			break
		}
		m, err := line.at[i].later(c, mid)
		if err != nil {
			try.forks.fail(err)
			break
		}
		if m.world.Judge.Hard == judge.Never && try.saves(m) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return float64(int64(i)*gridTicks+lo) / 1000
}

// later returns the moment some ticks later.
func (m *moment) later(c *sim.Conditions, ticks int64) (*moment, error) {
	own, done, err := c.Resume(m.law)
	if err != nil {
		return nil, err
	}
	defer done()
	next := *m
	for range ticks {
		sim.Turn(own, &next.world, &next.unaware)
	}
	if err := own.OutsideError(); err != nil {
		return nil, err
	}
	next.law, err = own.SaveLaw()
	return &next, err
}

// later lists windows after the first failure in which the action works again.
// They come and go with the phase of a swing, so they are told but not used.
func (line *future) later(try *tries, failed, most int) (windows [][2]float64) {
	open := false
	for i := failed + 1; i < len(line.at) && i < most; i++ {
		saved := try.saves(&line.at[i])
		if saved && !open {
			windows = append(windows, [2]float64{line.seconds(i), line.seconds(i)})
		}
		if saved {
			windows[len(windows)-1][1] = line.seconds(i)
		}
		open = saved
	}
	return windows
}

// tries asks whether some right answer, begun now, still saves it. The answer
// that worked last is tried first.
type tries struct {
	c     *sim.Conditions
	hand  pilot.Hand
	forks *forked
	best  int
}

func (t *tries) saves(m *moment) bool {
	answers, n := pilot.Answers(&t.c.Drill)
	for k := range n {
		i := (t.best + k) % n
		t.forks.count++
		if t.works(m, answers[i]) {
			t.best = i
			return true
		}
	}
	return false
}

func (t *tries) works(m *moment, answer pilot.Answer) bool {
	c, done, err := t.c.Resume(m.law)
	if err != nil {
		t.forks.fail(err)
		return false
	}
	defer done()
	w := m.world
	p := pilot.NewAnswering(answer, t.hand, &w.Percept)
	until := w.Tick + graceTicks
	for w.Tick < until {
		sim.Turn(c, &w, &p)
		if w.Void.Reason == sim.VoidOutside {
			t.forks.fail(c.OutsideError())
		}
		if w.Judge.Hard != judge.Never || w.Void.Reason != sim.VoidNot {
			return false
		}
		if w.Judge.Safe != judge.Never {
			return true
		}
	}
	return true
}

// band repeats the trained hand's search over what the craft file does not know
// exactly, and over other noise.
func (a *Available) band(c *sim.Conditions, r *sim.Result) {
	variants := variantsOf(c)
	found := make([]Window, len(variants))
	forks := make([]forked, len(variants))
	from := max(0, int(a.Hand.Seconds*1000)/gridTicks-bandBefore)
	inParallel(len(variants), func(i int) {
		line := goOn(&variants[i], r)
		if forks[i].failed = line.failed; line.failed != nil {
			return
		}
		from := min(from, len(line.at)-1)
		found[i] = line.window(&variants[i], pilot.TrainedHand().With(c.Brief()), &forks[i], from, 0)
	})
	for i := range found {
		a.Hand.Low = math.Min(a.Hand.Low, found[i].Seconds)
		a.Hand.High = math.Max(a.Hand.High, found[i].Seconds)
		a.Forks += forks[i].count
		if forks[i].failed != nil {
			*a = undecided(forks[i].failed)
			return
		}
	}
}

// inParallel calls work(0) … work(n−1) on all processors. Each call writes only
// what is its own, so the result does not depend on their number. A panic is
// passed on to whoever asked, who may be able to tell of it.
func inParallel(n int, work func(i int)) {
	panics := make([]any, n)
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range n {
		wait.Add(1)
		slots <- struct{}{}
		go func() {
			defer func() { panics[i] = recover(); <-slots; wait.Done() }()
			work(i)
		}()
	}
	wait.Wait()
	for _, p := range panics {
		if p != nil {
			panic(p)
		}
	}
}

// variantsOf returns the conditions with mass, motor lag and drag moved one at
// a time by what the craft file allows, and with two other noise seeds.
func variantsOf(c *sim.Conditions) []sim.Conditions {
	var all []sim.Conditions
	vary := func(change func(v *sim.Conditions, sign float64)) {
		for _, sign := range []float64{-1, 1} {
			v := *c
			change(&v, sign)
			v.Craft.Prepare()
			all = append(all, v)
		}
	}
	u := c.Uncertainty
	vary(func(v *sim.Conditions, sign float64) { scaleMass(v, 1+sign*u.Mass) })
	vary(func(v *sim.Conditions, sign float64) {
		for i := range v.Craft.RotorCount {
			v.Craft.Rotors[i].Lag *= 1 + sign*u.Lag
		}
	})
	vary(func(v *sim.Conditions, sign float64) {
		v.Craft.DragArea = v.Craft.DragArea.Scale(1 + sign*u.Drag)
		for i := range v.Craft.RotorCount {
			v.Craft.Rotors[i].Drag *= 1 + sign*u.Drag
		}
	})
	vary(func(v *sim.Conditions, sign float64) { v.Seed += uint64(1000003 * (sign + 2)) })
	return all
}

// scaleMass scales mass and inertia alike: the same shape, heavier.
func scaleMass(v *sim.Conditions, k float64) {
	v.Craft.Mass *= k
	for i := range v.Craft.Inertia {
		v.Craft.Inertia[i] *= k
		v.Craft.InertiaInv[i] /= k
	}
}
