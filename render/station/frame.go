package station

import (
	"time"

	"lapwing/render/clock"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/sound"
	"lapwing/render/words"
	"lapwing/sim"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// Frame is one frame. Its error is a fault of the program.
func (s *Station) Frame() error {
	now := s.now()
	s.input(now)
	s.fly(now)
	s.collect()
	s.regard(now)
	s.hear(now)
	moved := s.delay.begin(s.sticks(), s.showsSticks())
	out := s.show(now)
	s.baseline.out(out.at)
	s.flight.Shown(out.at, now)
	s.steady.note(out.at, now)
	s.model.Steady = s.steady.ready && s.steady.finding == clock.FindSteady
	s.delay.end(moved, out.at)
	s.model.Refused = s.delay.Rule() == clock.RuleRefuse
	return out.err
}

// Closed tells whether the person is done.
func (s *Station) Closed() bool { return s.win.ShouldClose() }

// Model is where the person stands.
func (s *Station) Model() *flow.Model { return s.model }

// Flight is the flight that is on.
func (s *Station) Flight() *flight.Flight { return s.flight }

// Finished is the last flight with its score, nil while there is none.
func (s *Station) Finished() *flight.Finished { return s.finished }

// Delay is the delay from stick to picture so far.
func (s *Station) Delay() *clock.Latency { return &s.delay.Latency }

// Event hands the flow an event, as a key or click would.
func (s *Station) Event(e flow.Event) { s.do(e) }

// fly lets the flight go on.
func (s *Station) fly(now time.Duration) {
	if s.flight.Phase == flight.Counting && s.flight.W.Tick > 0 == (s.flight.Setup.From > 0) {
		if len(s.mismatches()) > 0 {
			s.flight.Count(now, s.patience()) // waits until switches stand right
		}
	}
	var p pilot.Pilot = s.mapper
	if s.person != nil {
		p = s.person
	}
	s.flight.Move(now, p)
	if s.flight.Again != s.again {
		s.again = s.flight.Again
		s.mapper.Reset(s.flight.Start())
	}
	if s.flight.Phase == flight.Over && s.model.Phase != flight.Over {
		s.over()
	}
	s.model.Phase = s.flight.Phase
	s.replaying(now)
	s.tryKeys(now)
}

// tryKeys lets keys move sticks on the pages that show them.
func (s *Station) tryKeys(now time.Duration) {
	if s.inUse.GUID != "" || s.model.Page != flow.Check && s.model.Page != flow.Hands {
		s.scratch.next = now
		return
	}
	for ; s.scratch.next <= now; s.scratch.next += percept.Every * clock.Tick {
		s.mapper.Act(nil, &s.scratch.hands)
	}
}

// replaying moves a replay on.
func (s *Station) replaying(now time.Duration) {
	p := &s.model.Play
	if s.model.Page != flow.Replay || !p.Going {
		s.play.Pause()
		return
	}
	if speed := flow.Speeds[p.Speed]; !s.play.Running() || s.play.Speed() != speed {
		s.play.Run(now, speed)
	}
	end := p.End
	if p.Forked {
		end = p.ForkEnd
	}
	p.Tick = min(p.Tick+s.play.Ticks(now), end)
	if p.Tick >= end {
		p.Going = false
	}
}

// seen is the world that is shown, and its conditions.
func (s *Station) seen() (*sim.Conditions, *sim.World) {
	p := &s.model.Play
	switch {
	case s.model.Page != flow.Replay || s.finished == nil:
		return &s.flight.C, s.atFirst()
	case p.Forked && s.fork != nil:
		return s.fork.Track.C, s.fork.Track.At(p.Tick)
	}
	return s.finished.Track.C, s.finished.Track.At(p.Tick)
}

// atFirst is the flight's world; before its first tick, with what a first look
// shows, so that the strip is not empty.
func (s *Station) atFirst() *sim.World {
	if s.flight.W.Tick > 0 {
		return &s.flight.W
	}
	s.first = s.flight.W
	sim.Look(&s.flight.C, &s.first)
	return &s.first
}

// showsSticks tells whether the picture to come shows how the sticks have moved: a
// page that draws them does, and in flight the strip does once the hands have been
// taken.
func (s *Station) showsSticks() bool {
	switch s.model.Page {
	case flow.Check, flow.Hands:
		return true
	case flow.Flying:
		h := &s.flight.W.Hands
		at := [4]int16{h.Throttle, h.Roll, h.Pitch, h.Yaw}
		changed := s.flight.Phase == flight.Going && at != s.strip
		s.strip = at
		return changed
	}
	return false
}

// regard looks after the guide and the calibration.
func (s *Station) regard(now time.Duration) {
	if s.model.Kind == flight.Free && s.model.Page == flow.Flying && s.model.Guide.Look(&s.flight.W) && s.model.Guide.Step == flow.GuideSteps-1 {
		s.say(words.Of("guide", "done"), 8*time.Second)
		s.model.Guide.On = false
		s.saveTaste(false)
	}
	s.calibrated()
	kept := s.notes[:0]
	for _, n := range s.notes {
		if n.until > now {
			kept = append(kept, n)
		}
	}
	s.notes = kept
}

// hear lets the speaker and the captions hear the world.
func (s *Station) hear(now time.Duration) {
	c, w := s.seen()
	running := s.flight.Phase == flight.Going
	if s.model.Page == flow.Replay {
		running = s.model.Play.Going
	}
	h := sound.Listen(c, w, running)
	s.speaker.Hear(h)
	s.caption = s.captions.See(h, now)
}
