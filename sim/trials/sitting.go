package trials

import (
	"cmp"
	"fmt"
	"slices"

	"lapwing/dynamics/kernel"
	"lapwing/sim/score"
)

// Step is one step of a course: what there is to draw from, and the standard for
// moving on.
type Step struct {
	Drills     int     // number of scenarios; each comes once before any comes again
	CatchRuns  int     // number of scenarios in which nothing happens
	CatchShare float64 // of the flights, 0 … 0.5

	Least       int // tries at least
	Most        int // tries at most; then the course stops here
	OfLast, Go  int // so many of the last tries must be GO
	FalseAlarms int // in the catch runs flown since those began, at most
}

// Validate says what is wrong with s.
func (s *Step) Validate() error {
	if s.Drills < 1 || s.Go < 1 || s.Go > s.OfLast || s.OfLast > s.Least || s.Least > s.Most || s.FalseAlarms < 0 ||
		!(s.CatchShare >= 0 && s.CatchShare <= 0.5) || s.CatchShare > 0 && s.CatchRuns < 1 {
		return fmt.Errorf("trials: this step cannot be flown: %+v", *s)
	}
	return nil
}

// Sitting is one person's way through a course. What comes when is a function of
// its seed and of nothing that a person could see before.
type Sitting struct {
	Steps []Step
	Seed  uint64

	at     int // step that is being flown
	ended  bool
	stands []Standing
}

// Standing is how a step has gone so far.
type Standing struct {
	Tries   []bool // with the event, void ones left out: GO or not
	Alarms  []int  // false alarms noted since the try before, for each try and those still to come
	Catch   int    // catch runs, void ones left out
	Void    int
	Flights int
	Moved   bool // the standard was met

	caught int // catch runs in a row, up to now
}

// Try is a flight to come.
type Try struct {
	Step  int // from 0
	Catch bool
	Which int // of the step's drills or catch runs, from 0
	Seed  uint64
}

// NewSitting returns the way of one person through steps, which must be valid.
func NewSitting(steps []Step, seed uint64) *Sitting {
	for i := range steps {
		if err := steps[i].Validate(); err != nil {
			panic(err.Error())
		}
	}
	s := &Sitting{Steps: steps, Seed: seed, ended: len(steps) == 0, stands: make([]Standing, len(steps))}
	for i := range s.stands {
		s.stands[i].Alarms = []int{0}
	}
	return s
}

var (
	streamTry   = kernel.NewStream("course-try")
	streamCatch = kernel.NewStream("course-catch")
	streamOrder = kernel.NewStream("course-order")
)

// catchInARow bounds the luck of the draw: a fourth catch run in a row would only
// cost time.
const catchInARow = 3

// Next returns the flight to come, and false when the course is over.
func (s *Sitting) Next() (Try, bool) {
	if s.ended {
		return Try{}, false
	}
	step, stand := &s.Steps[s.at], &s.stands[s.at]
	flight := uint64(stand.Flights)
	t := Try{Step: s.at, Seed: kernel.Bits(s.Seed, streamTry, int64(s.at), flight) >> 32}
	if kernel.Uniform(s.Seed, streamCatch, int64(s.at), 2*flight) < step.CatchShare && stand.caught < catchInARow {
		t.Catch = true
		t.Which = int(kernel.Uniform(s.Seed, streamCatch, int64(s.at), 2*flight+1) * float64(step.CatchRuns))
		return t, true
	}
	t.Which = s.drawn(len(stand.Tries) + stand.Void)
	return t, true
}

// drawn returns which drill comes as try k of the present step: all of them in a
// drawn order, then all in another.
func (s *Sitting) drawn(k int) int {
	n := s.Steps[s.at].Drills
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	lot := func(i int) uint64 {
		return kernel.Bits(s.Seed, streamOrder, int64(s.at), uint64(k/n*n+i))
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(lot(a), lot(b)) })
	return order[k%n]
}

// Note takes the row of the flight that Next returned.
func (s *Sitting) Note(t Try, r *Row) {
	step, stand := &s.Steps[s.at], &s.stands[s.at]
	stand.Flights++
	stand.caught++
	if !t.Catch {
		stand.caught = 0
	}
	switch {
	case r.Verdict == score.Void:
		stand.Void++
	case t.Catch:
		stand.Catch++
		if r.FalseAlarm {
			stand.Alarms[len(stand.Alarms)-1]++
		}
	default:
		stand.Tries = append(stand.Tries, r.Verdict == score.Go || r.Verdict == score.Unscored) // a demonstration is done once it is seen
		stand.Alarms = append(stand.Alarms, 0)
	}
	switch {
	case stand.met(step):
		stand.Moved = true
		s.at++
		s.ended = s.at == len(s.Steps)
	case len(stand.Tries) >= step.Most || stand.Void >= step.Most:
		s.ended = true
	}
}

// met tells whether the standard for moving on is met.
func (d *Standing) met(step *Step) bool {
	return len(d.Tries) >= step.Least && d.LastGo(step.OfLast) >= step.Go && d.LastAlarms(step.OfLast) <= step.FalseAlarms
}

// LastGo counts GO among the last n tries.
func (d *Standing) LastGo(n int) int {
	some := 0
	for _, ok := range d.Tries[max(0, len(d.Tries)-n):] {
		if ok {
			some++
		}
	}
	return some
}

// LastAlarms counts the false alarms since the try before the last n.
func (d *Standing) LastAlarms(n int) int {
	some := 0
	for _, alarms := range d.Alarms[max(0, len(d.Alarms)-1-n):] {
		some += alarms
	}
	return some
}

// Standing returns how a step has gone so far.
func (s *Sitting) Standing(step int) Standing { return s.stands[step] }

// Passed tells whether the standard of every step was met.
func (s *Sitting) Passed() bool { return s.at == len(s.Steps) }
