package station

import (
	"time"

	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/paint"
	"lapwing/render/window"
	"lapwing/render/words"
)

// poll reads every controller and hands it on.
func (s *Station) poll() {
	now := s.now()
	s.reads = s.pads.Poll(now)
	for i := range s.reads {
		if s.reads[i].GUID == s.inUse.GUID {
			s.menu.hide(&s.reads[i], s.model.Page == flow.Flying)
		}
	}
	s.mapper.Poll(now, s.reads)
	s.delay.see(s.sticks(), now)
}

// sticks is where they stand, whatever moves them.
func (s *Station) sticks() [devices.Places]float64 {
	if s.inUse.GUID != "" {
		return s.mapper.Places()
	}
	h := &s.scratch.hands
	if s.model.Page == flow.Flying && s.flight != nil {
		h = &s.flight.W.Hands
	}
	return placesOf(h, s.model.Taste.Taste.Layout)
}

// input takes what happened since the last frame.
func (s *Station) input(now time.Duration) {
	for _, e := range s.win.Events() {
		s.take(e)
	}
	for _, c := range s.plugs.See(s.reads) {
		s.plugged(c, now)
	}
	for _, press := range s.menu.presses(s.reading(), s.model.Page != flow.Flying) {
		s.pressedPad(press, now)
	}
	for a, ok := s.mapper.Wish(); ok; a, ok = s.mapper.Wish() {
		s.wish(a)
	}
	if s.asked != nil && s.reading() != nil {
		s.asked.Feed(s.reading())
	}
}

// reading is the device in use as it stands; nil for the keyboard.
func (s *Station) reading() *devices.Reading {
	for i := range s.reads {
		if s.inUse.GUID != "" && s.reads[i].GUID == s.inUse.GUID {
			return &s.reads[i]
		}
	}
	return nil
}

func (s *Station) take(e window.Event) {
	switch e.Kind {
	case window.KeyUp:
		s.mapper.Key(devices.Key(e.Key), false, e.At)
	case window.KeyDown, window.KeyRepeat:
		s.key(e)
	case window.PointerDown:
		s.pointer(e)
	case window.PointerMove:
		if i := s.hits.Item(s.point(e)); i >= 0 && s.model.Page != flow.Flying {
			s.model.Chosen[s.model.Page] = i
		}
	case window.Wheel:
		s.do(flow.Event{Kind: flow.Scroll, N: -int(e.Y)})
	case window.Focus:
		if !e.On {
			s.mapper.LetGo()
		}
	}
}

// point is where the pointer is on the canvas.
func (s *Station) point(e window.Event) paint.Point {
	k := s.win.Scale() / s.scale()
	return paint.Point{X: e.X * k, Y: e.Y * k}
}

func (s *Station) pointer(e window.Event) {
	at := s.point(e)
	if tick, ok := s.hits.Seek(at); ok {
		s.model.Play.Tick, s.model.Play.Going = tick, false
		return
	}
	if i := s.hits.Item(at); i >= 0 {
		s.do(flow.Event{Kind: flow.Choose, N: i})
	}
}

// navigation is what keys do on a page.
var navigation = map[window.Key]flow.EventKind{
	window.KeyUpK: flow.Up, window.KeyDownK: flow.Down, window.KeyLeft: flow.Left, window.KeyRight: flow.Right,
	window.KeyEnter: flow.Enter, window.KeySpace: flow.Enter, window.KeyEscape: flow.Back,
}

func (s *Station) key(e window.Event) {
	k := devices.Key(e.Key)
	if e.Kind == window.KeyDown && s.model.Page == flow.Baseline && e.Key != window.KeyEscape && !s.baseline.done() {
		s.baseline.press(e.At)
		return
	}
	if s.model.Page == flow.Keys && s.model.Binding >= 0 {
		s.do(flow.Event{Kind: flow.Pressed, Key: k})
		return
	}
	if e.Kind == window.KeyDown {
		switch {
		case e.Key == window.KeyF2:
			s.do(flow.Event{Kind: flow.WantView})
			return
		case s.model.Page == flow.Check || s.model.Page == flow.Hands:
			s.mapper.Key(k, true, e.At) // so that keys are seen to move the sticks
		}
	}
	if s.model.Page != flow.Flying {
		if kind, ok := navigation[e.Key]; ok {
			s.do(flow.Event{Kind: kind})
		} else if e.Kind == window.KeyDown {
			s.wish(s.model.Taste.Taste.Keyboard.Keys[k])
		}
		return
	}
	if e.Kind != window.KeyDown {
		return
	}
	if e.Key == window.KeyEscape {
		s.do(flow.Event{Kind: flow.Back})
		return
	}
	s.mapper.Key(k, true, e.At)
}

// wish does what the station itself is asked for.
func (s *Station) wish(a devices.Action) {
	switch a.Kind {
	case devices.DoPause:
		s.do(flow.Event{Kind: flow.WantPause})
	case devices.DoAgain:
		if s.model.Kind != flight.Free && s.model.Page != flow.Brief {
			s.do(flow.Event{Kind: flow.WantAgain})
		} else if s.model.Page == flow.Flying {
			s.rewind()
		}
	case devices.DoHelp:
		s.do(flow.Event{Kind: flow.WantHelp})
	}
}

// Buttons of a gamepad in the standard order, as pages take them.
var padKinds = map[int]flow.EventKind{
	0: flow.Enter, 1: flow.Back, 7: flow.WantPause, 8: flow.WantHelp,
	11: flow.Up, 12: flow.Right, 13: flow.Down, 14: flow.Left,
}

func (s *Station) pressedPad(i int, now time.Duration) {
	if s.model.Page == flow.Baseline && !s.baseline.done() {
		s.baseline.press(now)
		return
	}
	if kind, ok := padKinds[i]; ok && s.inUse.Gamepad && s.model.Page != flow.Calibrate {
		s.do(flow.Event{Kind: kind})
	}
}

// menuPad keeps what is pressed on a page from flying the craft: a button that was
// pressed there counts for flying only once it has been let go.
type menuPad struct {
	was    []bool // at the last look on a page
	now    []bool
	hidden []bool
	pages  bool
}

// hide takes buttons out of a reading while a page is open, and after it until
// they are let go.
func (p *menuPad) hide(r *devices.Reading, flying bool) {
	p.now = append(p.now[:0], r.Buttons...)
	for len(p.hidden) < len(r.Buttons) {
		p.hidden = append(p.hidden, false)
	}
	if !r.Gamepad {
		return // switches of a transmitter have a position, and keep it
	}
	for i, down := range r.Buttons {
		p.hidden[i] = down && (p.hidden[i] || !flying)
		if p.hidden[i] {
			r.Buttons[i] = false
		}
	}
}

// presses lists the buttons that went down since the last look.
func (p *menuPad) presses(r *devices.Reading, open bool) (list []int) {
	if r == nil {
		return nil
	}
	for i, down := range p.now {
		if open && p.pages && down && i < len(p.was) && !p.was[i] {
			list = append(list, i)
		}
	}
	p.was, p.pages = append(p.was[:0], p.now...), open
	return list
}

// plugged takes that a controller came or went.
func (s *Station) plugged(c devices.Change, now time.Duration) {
	s.listDevices()
	switch {
	case c.Here && s.inUse.GUID == "" && s.model.Kind == flight.Free:
		s.pickDevice()
		s.say(words.Say("fly.here", "name", c.Name), 4*time.Second)
		s.keep(s.flyFree())
	case c.Here:
		s.say(words.Say("fly.here", "name", c.Name), 4*time.Second)
	case c.InUse:
		s.say(words.Say("fly.unplugged", "name", c.Name), 6*time.Second)
		s.flight.Pause(now, flight.Unplugged)
		s.use(-1)
		if s.flight.Phase == flight.Paused && s.model.Page == flow.Flying {
			s.do(flow.Event{Kind: flow.WantPause})
		}
	}
}
