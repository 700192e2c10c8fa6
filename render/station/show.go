package station

import (
	"fmt"
	"math"
	"time"

	"lapwing/render/clock"
	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/pages"
	"lapwing/render/paint"
	"lapwing/render/scene"
	"lapwing/render/stage"
	"lapwing/render/strip"
	"lapwing/render/words"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/score"
)

// scale is pixels a point: the screen's, times what the person chose.
func (s *Station) scale() float64 {
	return s.win.Scale() * max(s.o.Scale, 0.1) * s.model.Taste.View.TextScale
}

func (s *Station) size(width, height int) stage.Size {
	return stage.Size{Width: width, Height: height, Scale: s.scale()}
}

// picture is all that a frame needs, put together before it is drawn.
type picture struct {
	over  bool // a page over the room
	stage stage.Picture
	c     *sim.Conditions
	w     *sim.World
}

// Draw draws the page that is open, in a size, into what is drawn into.
func (s *Station) Draw(size stage.Size, now time.Duration) error {
	return s.paint(size, s.picture(now))
}

// paint draws a picture. It changes nothing but where the picture can be clicked.
func (s *Station) paint(size stage.Size, p picture) error {
	if !p.over {
		s.stage.Page(size, pages.Ground(), p.stage.Over)
		return nil
	}
	return s.stage.Draw(size, &p.stage, p.c, p.w)
}

func (s *Station) picture(now time.Duration) picture {
	shown := s.shown(now)
	over := func(c *paint.Canvas, whole paint.Rect) { s.hits = pages.Draw(c, whole, shown) }
	if !s.model.Page.Over() {
		return picture{stage: stage.Picture{Over: over}}
	}
	c, w := s.seen()
	look := strip.Paper()
	if s.model.Dark {
		look = strip.Slate()
	}
	read := strip.Read(c, w)
	if s.model.Taste.Sound.Captions {
		read.Captions = s.caption
	}
	return picture{true, stage.Picture{View: s.view(), Options: s.options(), Look: look, Shown: read, Over: over}, c, w}
}

// options are the person's choices for the picture.
func (s *Station) options() scene.Options {
	o := scene.DefaultOptions()
	o.FovY = s.model.Taste.View.FieldOfView * math.Pi / 180
	o.CageLines = s.model.Cage
	o.Ghost = s.model.Page == flow.Replay && s.model.Play.Ghost
	return o
}

// view is from where the room is seen. A view that follows moves the whole
// picture; who wants less motion stays at the pilot's place.
func (s *Station) view() scene.View {
	v := s.model.View
	if v == flow.Following && s.model.Taste.View.ReducedMotion {
		v = flow.PilotsPlace
	}
	return [...]scene.View{flow.PilotsPlace: scene.PilotsPlace, flow.Following: scene.Following, flow.Top: scene.Top}[v]
}

// shown puts together what the pages show.
func (s *Station) shown(now time.Duration) *pages.Shown {
	v := &pages.Shown{Model: s.model, Now: now, Latency: &s.delay.Latency, Steady: s.steady.steadied(),
		Sound: s.speaker.Delay(), Silent: s.speaker.Silent(), Bundle: s.bundle, Wash: s.wash, Asked: s.asked}
	v.C, v.W = s.seen()
	v.Beat = s.flight.Beat(now)
	v.Notes = s.lines()
	v.Stop = s.pressFor(devices.Call(hands.CallStop))
	v.Device = pages.Device{Name: s.deviceName(), Keyboard: s.inUse.GUID == "", Guessed: s.inUse.GUID != "" && s.profile.Guessed,
		Sticks: s.sticks(), Rate: s.mapper.Meter().Rate(), Pause: s.mapper.Meter().Pause(),
		CutOff: s.pressFor(devices.Do(devices.DoCutOff)), Mismatch: s.mismatches(), Fault: s.fault}
	if s.model.Guide.On && s.model.Kind == flight.Free {
		v.Guide = s.guideText()
	}
	s.baseline.disc = s.model.Page == flow.Baseline && !s.baseline.done() && now >= s.baseline.due && s.baseline.on
	v.Baseline = pages.Baseline{Disc: s.baseline.disc, Early: s.baseline.tooSoon, Done: s.baseline.done(), Presses: len(s.baseline.times),
		All: presses, TooEarly: s.baseline.early, Median: s.baseline.median()}
	switch s.model.Page {
	case flow.Help:
		v.Help = s.helpText()
	case flow.Replay:
		s.replayText(v)
	}
	return v
}

// lines are the short lines over the room.
func (s *Station) lines() (all []string) {
	f, m := s.flight, s.model
	say := func(is bool, text string) {
		if is {
			all = append(all, text)
		}
	}
	if m.Page == flow.Flying {
		say(f.Crashed(), words.Say("fly.again"))
		if f.Phase == flight.Counting {
			for _, what := range s.mismatches() {
				say(true, words.Say("fly.mismatch", "what", what))
			}
		}
		say(f.Setup.Kind == flight.Practice, practiceWords(f.Setup.Speed))
		say(f.Setup.Kind == flight.Practice && f.Setup.Levers.Salience && f.W.Judge.Cue != judge.Never, words.Say("fly.told"))
		say(f.Setup.Kind == flight.Practice && s.hintText() != "", s.hintText())
	}
	for _, n := range s.notes {
		all = append(all, n.text)
	}
	return all
}

func practiceWords(s clock.Speed) string {
	if s.Den == 0 || s == clock.Normal {
		return words.Say("fly.practice")
	}
	return words.Say("fly.moving", "speed", flow.SpeedWord(s))
}

// hint is what a practice tells: what comes next, and after the cue what is right.
type hint struct {
	at   int64 // tick at which text was made
	text string
}

func (s *Station) hintText() string {
	f := s.flight
	level := s.model.Setup.Levers.Hints
	if level == 0 || f.Phase != flight.Going && f.Phase != flight.Paused && f.Phase != flight.Counting {
		return ""
	}
	if f.W.Judge.Cue != judge.Never && f.C.Drill.Class != judge.ClassN {
		if f.W.Tick-s.hint.at > 200 || f.W.Tick < s.hint.at {
			s.hint = hint{f.W.Tick, s.rightNow()}
		}
		return s.hint.text
	}
	plan := &f.C.Plan
	if f.W.Progress.Leg >= int64(plan.Count) {
		return words.Say("fly.hint-next", "what", words.Say("leg.done"))
	}
	leg := &plan.Legs[f.W.Progress.Leg]
	if a, ok := flow.LegAction(leg); ok && level == 2 {
		return words.Say("fly.hint-key", "what", flow.LegWords(leg), "keys", s.moveFor(a))
	}
	return words.Say("fly.hint-next", "what", flow.LegWords(leg))
}

// moveFor is pressFor, with sticks in words where a device moves them.
func (s *Station) moveFor(a devices.Action) string {
	if a.Kind == devices.DoStick && s.inUse.GUID != "" {
		return flow.ActionWords(a)
	}
	return s.pressFor(a)
}

// rightNow is the first demand that is still open.
func (s *Station) rightNow() string {
	f := s.flight
	a := score.Assess(&f.C, &sim.Result{End: f.W}, score.Available{})
	for _, d := range a.Demands {
		if d.DoneS == nil {
			return words.Say("fly.hint-cue", "what", d.Action)
		}
	}
	return words.Say("fly.hint-next", "what", words.Say("leg.land"))
}

// replayText fills in what a replay says.
func (s *Station) replayText(v *pages.Shown) {
	if s.wash != nil {
		v.Marks = s.wash.Marks
	}
	if !s.model.Play.Forked || s.fork == nil {
		return
	}
	after := fmt.Sprintf("%.1f", float64(s.fork.After)/1000)
	v.Fork = words.Say("replay.forked-saved", "time", after)
	cue := s.finished.Result.AtCue.Tick
	v.Marks = []pages.Mark{{Tick: cue, Words: words.Say("wash.cue"), Grade: strip.Caution, Above: true},
		{Tick: cue + s.fork.After, Words: words.Say("replay.acts"), Grade: strip.Well}}
	if s.fork.Hard != judge.Never {
		later := fmt.Sprintf("%.1f", float64(s.fork.Hard-cue)/1000)
		v.Fork = words.Say("replay.forked-hard", "time", after, "what", s.fork.Kind.Words(), "later", later)
		v.Marks = append(v.Marks, pages.Mark{Tick: s.fork.Hard, Words: s.fork.Kind.Words(), Grade: strip.Warning, Above: true})
	}
}
