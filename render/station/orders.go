package station

import (
	"errors"
	"fmt"
	"time"

	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/words"
	"lapwing/scenarios"
	"lapwing/sim/judge"
	"lapwing/sim/trials"
)

// Beats of the countdown: unhurried before a run, quick where the same is flown
// again and everything is in hand already.
const (
	beat      = time.Second
	quickBeat = 250 * time.Millisecond
)

// do moves the flow on and carries out what follows.
func (s *Station) do(e flow.Event) {
	for _, o := range s.model.Do(e) {
		s.carryOut(o)
	}
}

func (s *Station) carryOut(o flow.Order) {
	switch o.Kind {
	case flow.Opened:
		s.opened(o)
	case flow.FlyFree:
		s.keep(s.flyFree())
	case flow.Load:
		s.keep(s.load(o.Name))
	case flow.LoadNext:
		s.keep(s.loadNext())
	case flow.StartRun:
		s.start(beat)
	case flow.FlyAgain:
		s.keep(s.flyAgain(o.On))
	case flow.PauseRun:
		s.flight.Pause(s.now(), flight.Stopped)
	case flow.GoOn:
		if s.flight.Phase == flight.Paused {
			s.mapper.LetGo()
			s.flight.Count(s.now(), s.patience())
		}
	case flow.StepRun:
		s.flight.Step(int64(o.N))
	case flow.EndRun:
		s.flight.Withdraw(s.now(), flight.Ended)
	case flow.SaveTaste:
		s.saveTaste(o.On)
		s.keep(s.retaste())
	case flow.UseDevice:
		s.use(s.model.Device)
		s.keep(s.retaste())
	case flow.OpenReplay:
		s.openReplay()
	case flow.MakeFork:
		s.makeFork()
	case flow.BeginBaseline:
		s.baseline.begin(s.now())
	case flow.Quit:
		s.win.EndSoon()
	default:
		s.calibration(o)
	}
}

// patience is the beat of a countdown: free flight holds by itself, and goes on
// sooner.
func (s *Station) patience() time.Duration {
	if s.model.Kind == flight.Free {
		return quickBeat
	}
	return beat
}

// keep tells a person what could not be done.
func (s *Station) keep(err error) {
	if err != nil {
		s.fault = err.Error()
		s.say(s.fault, 8*time.Second)
	}
}

func (s *Station) opened(o flow.Order) {
	switch o.Page {
	case flow.Check:
		s.steady = watch{}
	case flow.Baseline:
		s.baseline.begin(s.now())
	case flow.How:
		s.fault = ""
		s.keep(s.look(s.model.Name))
	case flow.Flying:
	default:
		s.mapper.LetGo()
	}
}

// look reads what was picked, so that its plan can be chosen from.
func (s *Station) look(name string) error {
	b, err := flight.Load(name, flight.DefaultLevers(), s.o.Instead, nil)
	if err != nil {
		return err
	}
	s.model.Legs = legsOf(b)
	return nil
}

func legsOf(b *scenarios.Bundle) []flow.Leg {
	var legs []flow.Leg
	for _, i := range flight.Legs(&b.Plan) {
		text := words.Say("leg.start")
		if i > 0 {
			text = flow.LegWords(&b.Plan.Legs[i])
		}
		legs = append(legs, flow.Leg{Index: i, Words: text})
	}
	return legs
}

// flyFree begins free flight.
func (s *Station) flyFree() error {
	b, err := flight.Load("", flight.DefaultLevers(), scenarios.Instead{}, s.throttle())
	if err != nil {
		return err
	}
	f, err := flight.New(b, flight.Setup{Kind: flight.Free, Seed: 1, From: flight.FreeFrom})
	if err != nil {
		return err
	}
	s.course, s.sitting = nil, nil
	if err := s.board(f); err != nil {
		return err
	}
	s.start(0)
	return nil
}

// retaste begins free flight anew where the throttle in its law is not that of the
// hand any more. Elsewhere the next run has it.
func (s *Station) retaste() error {
	o := s.throttle()
	t := &s.flight.C.Law.Throttle
	if s.model.Kind != flight.Free || o == nil || t.Kind == o.ThrottleKind && t.Map == o.ThrottleMap {
		return nil
	}
	if err := s.flyFree(); err != nil {
		return err
	}
	if s.model.Page != flow.Flying {
		s.flight.Phase = flight.Paused
	}
	return nil
}

// load makes a scenario or course ready.
func (s *Station) load(name string) error {
	if s.model.Course.On {
		return s.loadCourse(name)
	}
	levers := flight.DefaultLevers()
	if s.model.Setup.Kind == flight.Practice {
		levers = s.model.Setup.Levers
	}
	b, err := flight.Load(name, levers, s.o.Instead, s.throttle())
	if err != nil {
		return err
	}
	s.model.Legs = legsOf(b)
	setup := s.model.Setup
	if setup.Kind == flight.Scored {
		setup.From = 0
	}
	return s.ready(b, setup)
}

// ready puts a flight on the stage and lets the flow go on with it.
func (s *Station) ready(b *scenarios.Bundle, setup flight.Setup) error {
	f, err := flight.New(b, setup)
	if err != nil {
		return err
	}
	if err := s.board(f); err != nil {
		return err
	}
	s.model.Kind = setup.Kind
	if setup.Kind == flight.Scored {
		s.model.View = flow.PilotsPlace
	}
	s.do(flow.Event{Kind: flow.Loaded, Flight: setup.Kind})
	return nil
}

// board makes f the flight that is on.
func (s *Station) board(f *flight.Flight) error {
	at := built{f.Bundle.CraftName, f.Bundle.RoomName, f.Setup.Seed}
	if at != s.entered {
		if err := s.withGL(func() error { return s.stage.Enter(&f.C) }); err != nil {
			return err
		}
		s.entered = at
	}
	s.flight, s.bundle, s.again = f, f.Bundle, 0
	s.finished, s.taken, s.wash, s.fork = nil, nil, nil, nil
	s.number++
	s.person = nil
	if s.o.Pilot != "" && f.Setup.Kind != flight.Free {
		p, err := f.C.Pilot(s.o.Pilot, nil)
		if err != nil {
			return err
		}
		s.person = p
	}
	s.mapper.Reset(f.Start())
	s.model.Phase = f.Phase
	return nil
}

// start counts down and flies. Hardware switches that stand otherwise than they
// must are put right first.
func (s *Station) start(beat time.Duration) {
	s.mapper.LetGo()
	s.mapper.Reset(s.flight.Start())
	s.flight.Count(s.now(), beat)
}

// mismatches lists, in words, the hardware switches that must be put right before
// a start. A throttle only counts where it is thrust.
func (s *Station) mismatches() (list []string) {
	if s.o.Pilot != "" {
		return nil
	}
	h := s.flight.Start()
	for _, a := range s.mapper.Mismatch(h) {
		switch {
		case a.Kind != devices.DoStick:
			list = append(list, flow.ActionWords(a))
		case !h.Response.HoldsHeight():
			list = append(list, words.Of("hands", "axis-throttle"))
		}
	}
	return list
}

// rewind puts the same run back to its start.
func (s *Station) rewind() {
	s.flight.Rewind()
	s.start(0)
}

// flyAgain flies the same once more, or with a new seed or from another leg.
func (s *Station) flyAgain(fresh bool) error {
	if s.model.Course.On {
		return errors.New(words.Say("fly.course"))
	}
	f := s.flight
	if fresh && f.Setup.Kind != flight.Free {
		setup := s.model.Setup
		setup.Kind = f.Setup.Kind
		if setup.Kind == flight.Scored {
			setup.From = 0
		}
		next, err := flight.New(f.Bundle, setup)
		if err != nil {
			return err
		}
		f = next
	} else {
		f.Rewind()
	}
	if err := s.board(f); err != nil {
		return err
	}
	s.start(quickBeat)
	return nil
}

// loadCourse begins a course.
func (s *Station) loadCourse(name string) error {
	c, err := scenarios.LoadCourse(scenarios.Disk(""), name)
	if err != nil {
		return err
	}
	s.course, s.sitting = c, c.Sitting(s.model.Setup.Seed)
	return s.loadNext()
}

// loadNext makes the next flight of the course ready.
func (s *Station) loadNext() error {
	try, more := s.sitting.Next()
	if !more {
		s.do(flow.Event{Kind: flow.CourseEnded})
		return nil
	}
	s.try = try
	c := &s.model.Course
	c.Title, c.Step, c.Steps = s.course.Title, try.Step+1, len(s.course.Steps)
	b, err := s.course.Bundle(try).Changed(scenarios.Changes{Throttle: s.throttle()})
	if err != nil {
		return err
	}
	s.model.Legs = nil
	return s.ready(b, flight.Setup{Kind: flight.Scored, Seed: try.Seed})
}

// noteCourse takes a finished flight into the course.
func (s *Station) noteCourse(d *flight.Finished) {
	if s.sitting == nil {
		return
	}
	row := trials.RowOf(d.Bundle.Name, s.model.Trainee, &d.C, &d.Result, &d.Assessment)
	s.sitting.Note(s.try, &row)
	stand := s.sitting.Standing(s.try.Step)
	step := &s.course.Steps[s.try.Step].Standard
	c := &s.model.Course
	c.Ready = true
	c.Says = words.Say("wash.course", "go", stand.LastGo(step.OfLast), "of", step.OfLast, "need", step.Go)
	if _, more := s.sitting.Next(); !more {
		c.Over = true
		c.Says = words.Say("wash.course-stopped")
		if s.sitting.Passed() {
			c.Says = words.Say("wash.course-passed")
		}
	}
}

// openReplay shows what was flown from its beginning, or from shortly before the
// cue.
func (s *Station) openReplay() {
	p := &s.model.Play
	*p = flow.Play{Going: true}
	s.fork = nil
	if s.finished == nil {
		return
	}
	p.End = s.finished.Track.End.Tick
	cue := s.finished.End.Judge.Cue
	p.HasCue = s.finished.Result.AtCue != nil && s.finished.C.Drill.Class != judge.ClassN
	if cue != judge.Never {
		p.Tick = max(cue-3000, 0)
	}
	p.After = 1000
	if first := s.finished.End.Judge.FirstRight; cue != judge.Never && first > cue {
		p.After = (first - cue) / 500 * 500
	}
	s.play.Run(s.now(), flow.Speeds[p.Speed])
}

// makeFork flies what would have come of the right action at another time.
func (s *Station) makeFork() {
	d, p := s.finished, &s.model.Play
	if d == nil || d.Result.AtCue == nil {
		return
	}
	s.fork = flight.NewFork(&d.C, d.Result.AtCue, p.After)
	p.Forked, p.Going, p.Tick, p.ForkEnd = true, true, d.Result.AtCue.Tick, s.fork.Track.End.Tick
}

// who is who flew, as it stands in recordings.
func (s *Station) who() string {
	if s.o.Pilot != "" {
		return s.o.Pilot
	}
	return fmt.Sprintf("station %s", s.model.Trainee)
}
