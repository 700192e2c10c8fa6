package devices

import (
	"math"
	"time"

	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Mapper turns readings and keys into hands. Poll and Key take what happens, as
// often as it does; Act gives the hands, every 20 ms, and loses no press between
// two of them. All are called from one goroutine.
//
// With a device, sticks are the device's; keys still work everything else.
type Mapper struct {
	taste  Taste
	device *Profile // nil: the keyboard flies
	guid   string

	last     Reading
	fresh    bool // a reading has come since Use
	switches []worked
	keys     map[Key]*press
	touched  map[Half]bool // halves whose key went down since the last take

	arm, cut, response latch
	calls, wishes      queue

	ramps [Axes]float64 // keys: −1 … 1; of the throttle too
	item  uint8
	meter Meter
	used  bool // a key has done something to the hands
}

// worked is the state of a switch of the device.
type worked struct {
	press
	at    uint8 // position, of an axis or two buttons
	known bool
}

// NewMapper returns a mapper for the keyboard alone, hands off.
func NewMapper(t Taste) *Mapper {
	m := &Mapper{taste: t, keys: map[Key]*press{}, touched: map[Half]bool{}}
	m.Reset(hands.Rest())
	return m
}

// Use flies with a device from now on; nil goes back to the keyboard.
func (m *Mapper) Use(guid string, p *Profile) {
	m.device, m.guid, m.fresh, m.meter = p, guid, false, Meter{}
	m.switches = nil
	if p != nil {
		m.switches = make([]worked, len(p.Switches))
	}
}

// SetTaste changes how the person likes to fly.
func (m *Mapper) SetTaste(t Taste) { m.taste = t }

// Reset makes everything that has no position of its own stand as in h: at the
// start of a run, and when it is flown again. Hardware switches stay where they
// are and win; Mismatch lists those that differ.
func (m *Mapper) Reset(h hands.Hands) {
	m.arm.set(truth(h.Armed))
	m.cut.set(truth(h.CutOff))
	m.response.set(uint8(h.Response))
	m.calls, m.wishes, m.item = queue{}, queue{}, 0
	m.ramps = [Axes]float64{}
	m.ramps[Throttle] = 2*hands.Share(h.Throttle) - 1
	m.meter, m.used = Meter{}, false
	clear(m.touched)
	for i := range m.switches {
		m.switches[i].known = false
	}
	for _, p := range m.keys {
		p.engaging = true // a key that is held from before releases nothing
	}
	if m.device != nil && m.fresh {
		m.work(&m.last)
	}
}

// Poll takes what every device says at a time, at 250 Hz or more. Of two devices
// of one make the first is flown with.
func (m *Mapper) Poll(at time.Duration, readings []Reading) {
	for k, p := range m.keys {
		if p.down && m.taste.Keyboard.Keys[k].Kind == DoCutOff {
			p.move(true, at, StyleLatched, &m.cut) // a key held long enough releases
		}
	}
	for i := range readings {
		if m.device != nil && readings[i].GUID == m.guid {
			m.take(&readings[i])
			return
		}
	}
}

func (m *Mapper) take(r *Reading) {
	m.meter.Note(r.At)
	m.last.GUID, m.last.Name, m.last.Gamepad, m.last.At = r.GUID, r.Name, r.Gamepad, r.At
	m.last.Axes = append(m.last.Axes[:0], r.Axes...)
	m.last.Buttons = append(m.last.Buttons[:0], r.Buttons...)
	m.work(&m.last)
	m.fresh = true
}

// work moves every switch of the device.
func (m *Mapper) work(r *Reading) {
	for i := range m.device.Switches {
		s, w := &m.device.Switches[i], &m.switches[i]
		was, known := w.at, w.known
		w.at, w.known = s.From.position(r, s.Positions, w.at), true
		switch {
		case s.Does.Kind == DoSelector:
			if !known || w.at != was {
				m.response.see(uint8(s.response(w.at)))
			}
		case !known:
			w.press = press{down: w.at == 1, engaging: true} // a button that is held from before does nothing
			if l := m.latchOf(s.Does.Kind); l != nil && s.Style == StylePosition {
				l.see(w.at)
			}
		default:
			m.move(&w.press, s.Does, w.at == 1, r.At, s.Style)
		}
	}
}

// Key notes that a key went down or up.
func (m *Mapper) Key(k Key, down bool, at time.Duration) {
	a, bound := m.taste.Keyboard.Keys[k]
	if !bound {
		return
	}
	p := m.keys[k]
	if p == nil {
		p = &press{}
		m.keys[k] = p
	}
	if a.Kind == DoStick {
		p.down = down
		if down {
			m.touched[Half(a.Value)] = true
		}
		return
	}
	style := StyleToggle
	if a.Kind == DoCutOff {
		style = StyleLatched
	}
	if m.move(p, a, down, at, style) && a.Kind < DoPause {
		m.used = true
	}
}

// LetGo lets all keys go: when the window loses them.
func (m *Mapper) LetGo() {
	for _, p := range m.keys {
		p.down = false
	}
}

// move moves a button or key and does what it does. It tells of a new press.
func (m *Mapper) move(p *press, a Action, down bool, at time.Duration, style Style) bool {
	if l := m.latchOf(a.Kind); l != nil {
		return p.move(down, at, style, l)
	}
	edge := down && !p.down
	p.down = down
	if edge {
		m.Do(a)
	}
	return edge
}

func (m *Mapper) latchOf(k Kind) *latch {
	switch k {
	case DoArm:
		return &m.arm
	case DoCutOff:
		return &m.cut
	}
	return nil
}

// Do does a momentary action, as a button of a page may.
func (m *Mapper) Do(a Action) {
	switch a.Kind {
	case DoSelect:
		m.response.see(a.Value)
	case DoCall, DoStep:
		m.calls.put(a)
	case DoPause, DoAgain, DoHelp:
		m.wishes.put(a)
	}
}

// About says which place of the inspection list, or move of the carry, the next
// steps are about.
func (m *Mapper) About(item uint8) { m.item = item }

// Wish returns the next thing that the station itself is asked for: pause, again
// or help.
func (m *Mapper) Wish() (Action, bool) { return m.wishes.get() }

// Act gives the hands for a look. It is the Act of a pilot.Pilot.
func (m *Mapper) Act(_ *percept.Percept, h *hands.Hands) {
	*h = hands.Hands{
		Response: hands.Response(m.response.take()),
		Armed:    m.arm.take() == 1,
		CutOff:   m.cut.take() == 1,
	}
	m.sticks(h)
	if a, ok := m.calls.get(); ok {
		if a.Kind == DoCall {
			h.Call = hands.Call(a.Value)
		} else {
			h.Step, h.Item = hands.Step(a.Value), m.item
		}
	}
}

func (m *Mapper) sticks(h *hands.Hands) {
	x := m.commanded()
	h.Throttle = hands.Stick((x[Throttle] + 1) / 2)
	h.Roll, h.Pitch, h.Yaw = hands.Stick(x[Roll]), hands.Stick(x[Pitch]), hands.Stick(x[Yaw])
}

// commanded returns what the four axes command, −1 … 1, the throttle too.
func (m *Mapper) commanded() (x [Axes]float64) {
	if m.device == nil {
		m.ramp()
		return m.ramps
	}
	if !m.fresh {
		x[Throttle] = m.ramps[Throttle]
		return x
	}
	at := m.Places()
	for a := range Axes {
		x[a] = at[m.taste.Layout.Of(a)]
		switch {
		case a != Throttle:
			x[a] = m.taste.Shape.Curve(x[a])
		case m.device.Throttle == control.SpringsToCentre:
			x[a] = Shape{DeadBand: m.taste.Shape.DeadBand}.Curve(x[a])
		}
	}
	return x
}

// Places is where the sticks of the device stand, before dead-band and expo: for
// pages that show them.
func (m *Mapper) Places() [Places]float64 {
	if m.device == nil || !m.fresh {
		return [Places]float64{}
	}
	return m.device.sticks(&m.last, m.taste.Layout.Of(Throttle))
}

// ramp moves the axes of the keyboard on by one look.
func (m *Mapper) ramp() {
	k := &m.taste.Keyboard
	const dt = percept.Every * 0.001
	var want [Axes]float64
	for key, a := range k.Keys {
		p := m.keys[key]
		if a.Kind != DoStick || !m.touched[Half(a.Value)] && (p == nil || !p.down) {
			continue
		}
		if a.Value%2 == 0 {
			want[a.Value/2]++
		} else {
			want[a.Value/2]--
		}
		m.used = true
	}
	clear(m.touched)
	for a := range Axes {
		x, w := m.ramps[a], want[a]
		springs := a != Throttle || k.Throttle == control.SpringsToCentre
		switch {
		case w != 0 && x*w < 0 && springs:
			m.ramps[a] = toward(x, 0, k.Return*dt) // back through the centre first
		case w != 0:
			m.ramps[a] = toward(x, math.Copysign(1, w), k.Rise*dt)
		case springs:
			m.ramps[a] = toward(x, 0, k.Return*dt)
		}
	}
}

// toward moves x to want by step at most.
func toward(x, want, step float64) float64 { return x + min(max(want-x, -step), step) }

// queue holds what is called or done, one for each look. More than it holds at
// once is more than a person says in a second, and is dropped.
type queue struct {
	held [16]Action
	n    int
}

func (q *queue) put(a Action) {
	if q.n < len(q.held) {
		q.held[q.n] = a
		q.n++
	}
}

func (q *queue) get() (Action, bool) {
	if q.n == 0 {
		return Action{}, false
	}
	a := q.held[0]
	q.n--
	copy(q.held[:], q.held[1:])
	return a, true
}
