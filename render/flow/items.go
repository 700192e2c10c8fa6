package flow

import (
	"fmt"

	"lapwing/render/clock"
	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/words"
	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// Item is something that a page offers.
type Item struct {
	Label string
	Value string // of something that can be turned
	Turns bool   // Left and Right change it
	Off   bool   // not to be chosen now
	Head  bool   // a heading
	Text  string // said of it while it is chosen
	act   func(by int) []Order
}

// Items lists what the open page offers.
func (m *Model) Items() []Item {
	switch m.Page {
	case Menu:
		return m.menuItems()
	case Pick:
		return m.pickItems()
	case How:
		return m.howItems()
	case Check, Baseline, Brief:
		return m.beforeItems()
	case Wash:
		return m.washItems()
	case Replay:
		return m.replayItems()
	case Hands:
		return m.handsItems()
	case Calibrate:
		return m.calibrateItems()
	case Keys:
		return m.keysItems()
	case Senses:
		return m.sensesItems()
	case Help:
		return []Item{m.does("back", m.leave)}
	}
	return nil
}

// does is an item that does something.
func (m *Model) does(key string, act func() []Order) Item {
	return Item{Label: words.Of("item", key), act: func(int) []Order { return act() }}
}

// opens is an item that opens a page.
func (m *Model) opens(key string, p Page) Item {
	return m.does(key, func() []Order { return m.open(p) })
}

// turns is an item with a value; a click or Enter turns it up.
func (m *Model) turns(key, value string, turn func(by int), then ...Order) Item {
	return Item{Label: words.Of("item", key), Value: value, Turns: true, act: func(by int) []Order {
		if by == 0 {
			by = 1
		}
		turn(by)
		return then
	}}
}

func (m *Model) menuItems() []Item {
	pick := m.opens("pick", Pick)
	others := []Item{m.opens("hands", Hands), m.opens("senses", Senses), m.opens("help", Help)}
	again := m.does("again", func() []Order { return m.again(false) })
	fresh := m.does("again-new", func() []Order { return m.again(true) })
	free := m.does("free", m.toFree)
	quit := m.does("quit", func() []Order { return []Order{{Kind: Quit}} })
	switch m.Kind {
	case flight.Free:
		guide := m.does("guide", func() []Order {
			m.Guide = Guide{On: true}
			return append(m.goOn(), Order{Kind: FlyFree})
		})
		return append([]Item{m.does("go-on-free", m.goOn), pick, guide}, append(others, quit)...)
	case flight.Scored:
		end := m.does("end-void", m.endRun)
		return []Item{m.does("go-on-scored", m.goOn), end, again, fresh, free, quit}
	}
	items := []Item{m.does("go-on", m.goOn), again, fresh}
	if len(m.Legs) > 1 {
		items = append(items, m.fromItem(Order{Kind: FlyAgain, On: true}))
	}
	view := m.turns("view", words.Of("view", m.View.String()), func(by int) { m.View = View(wrap(int(m.View)+by, int(Views))) })
	step := m.does("step", func() []Order { return []Order{{Kind: StepRun, N: 20}} })
	speed := m.speedItem()
	return append(append(items, view, speed, m.hintsItem(), step, m.does("end", m.endRun)), append(others, free, quit)...)
}

func (m *Model) endRun() []Order { return []Order{{Kind: EndRun}} }

func wrap(i, n int) int { return ((i % n) + n) % n }

func (m *Model) pickItems() []Item {
	var items []Item
	for i := range m.Entries {
		e := &m.Entries[i]
		if e.Course && (i == 0 || !m.Entries[i-1].Course) {
			items = append(items, Item{Label: words.Say("pick.courses"), Head: true, Off: true})
		}
		if !e.Course && (i == 0 || m.Entries[i-1].Course) {
			items = append(items, Item{Label: words.Say("pick.scenarios"), Head: true, Off: true})
		}
		items = append(items, Item{Label: e.Title, act: func(int) []Order { return m.picked(e) }})
	}
	return items
}

// Entry is the entry that is chosen on the page Pick; nil on a heading.
func (m *Model) Entry() *Entry {
	items := m.pickItems()
	at := m.Chosen[Pick]
	if at >= len(items) || items[at].Head {
		return nil
	}
	n := 0
	for _, item := range items[:at] {
		if !item.Head {
			n++
		}
	}
	return &m.Entries[n]
}

func (m *Model) picked(e *Entry) []Order {
	m.Name, m.Setup.From = e.Name, 0
	m.Course = CourseState{On: e.Course, Title: e.Title}
	if e.Course {
		m.Setup.Kind = flight.Scored
		return []Order{{Kind: Load, Name: e.Name}}
	}
	m.Chosen[How] = 0
	return append(m.open(How), Order{Kind: Opened, Page: How, Name: e.Name})
}

func (m *Model) howItems() []Item {
	fly := func(k flight.Kind) func() []Order {
		return func() []Order {
			m.Setup.Kind = k
			return []Order{{Kind: Load, Name: m.Name}}
		}
	}
	scored := m.does("scored", fly(flight.Scored))
	scored.Off = m.Refused
	scored.Text = words.Say("how.scored")
	practice := m.does("practice", fly(flight.Practice))
	practice.Text = words.Say("how.practice")
	seed := m.turns("seed", fmt.Sprint(m.Setup.Seed), func(by int) { m.Setup.Seed = uint64(max(1, int64(m.Setup.Seed)+int64(by))) })
	seed.Text = words.Say("how.seed")
	head := Item{Label: words.Say("how.levers"), Head: true, Off: true}
	items := []Item{scored, practice, seed, head, m.hintsItem(), m.speedItem(), m.onsetItem(), m.windItem(), m.latencyItem(), m.roomItem(), m.toldItem()}
	if len(m.Legs) > 1 {
		items = append(items, m.fromItem())
	}
	return items
}

func (m *Model) hintsItem() Item {
	l := &m.Setup.Levers
	item := m.turns("hints", words.Of("hints", fmt.Sprint(l.Hints)), func(by int) { l.Hints = wrap(l.Hints+by, 3) })
	item.Text = words.Say("how.hints")
	return item
}

// Speeds are the speeds of a practice and of a replay.
var Speeds = []clock.Speed{clock.Normal, clock.Half, clock.Quarter, clock.Tenth}

// SpeedWord is a speed in words.
func SpeedWord(s clock.Speed) string {
	for i, known := range Speeds {
		if known == s {
			return words.Of("speed", fmt.Sprint(i))
		}
	}
	return words.Of("speed", "0")
}

func (m *Model) speedItem() Item {
	at := 0
	for i, s := range Speeds {
		if s == m.Setup.Speed {
			at = i
		}
	}
	item := m.turns("speed", words.Of("speed", fmt.Sprint(at)), func(by int) { m.Setup.Speed = Speeds[wrap(at+by, len(Speeds))] })
	item.Text = words.Say("how.speed")
	return item
}

// ladder turns x through steps.
func ladder(x float64, by int, steps ...float64) float64 {
	at := 0
	for i, s := range steps {
		if s <= x+1e-9 {
			at = i
		}
	}
	return steps[min(max(at+by, 0), len(steps)-1)]
}

func (m *Model) onsetItem() Item {
	l := &m.Setup.Levers
	item := m.turns("onset", words.Say("how.times", "factor", l.Onset), func(by int) { l.Onset = ladder(l.Onset, by, 0.5, 0.75, 1, 1.5, 2) })
	item.Text = words.Say("how.onset")
	return item
}

func (m *Model) windItem() Item {
	l := &m.Setup.Levers
	item := m.turns("wind", words.Say("how.wind-value", "wind", l.Wind), func(by int) { l.Wind = ladder(l.Wind, by, 0, 0.5, 1, 1.5, 2, 3) })
	item.Text = words.Say("how.wind")
	return item
}

func (m *Model) latencyItem() Item {
	l := &m.Setup.Levers
	item := m.turns("latency", words.Say("how.latency-value", "ms", int(1000*l.Latency+0.5)),
		func(by int) { l.Latency = ladder(l.Latency, by, 0, 0.05, 0.1, 0.15, 0.2, 0.3) })
	item.Text = words.Say("how.latency")
	return item
}

func (m *Model) roomItem() Item {
	l := &m.Setup.Levers
	at, value := 0, words.Say("how.own-room")
	for i, room := range m.Rooms {
		if room == l.Room {
			at, value = i+1, room
		}
	}
	item := m.turns("room", value, func(by int) {
		l.Room = ""
		if i := wrap(at+by, len(m.Rooms)+1); i > 0 {
			l.Room = m.Rooms[i-1]
		}
	})
	item.Text = words.Say("how.room")
	return item
}

func (m *Model) toldItem() Item {
	l := &m.Setup.Levers
	item := m.turns("told", words.Of("yes-no", yes(l.Salience)), func(int) { l.Salience = !l.Salience })
	item.Text = words.Say("how.told")
	return item
}

func yes(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

func (m *Model) fromItem(then ...Order) Item {
	at := 0
	for i := range m.Legs {
		if m.Legs[i].Index == m.Setup.From {
			at = i
		}
	}
	item := m.turns("from", m.Legs[at].Words, func(by int) { m.Setup.From = m.Legs[wrap(at+by, len(m.Legs))].Index })
	item.Text = words.Say("how.from")
	if len(then) == 0 {
		return item
	}
	turn := item.act
	item.act = func(by int) []Order {
		if by == 0 {
			return append(m.home(Flying), then...)
		}
		return turn(by)
	}
	return item
}

func (m *Model) beforeItems() []Item {
	back := m.does("back", m.leave)
	switch m.Page {
	case Check:
		next := m.does("next", func() []Order {
			m.Checked = true
			return m.onward()
		})
		return []Item{next, m.opens("hands", Hands), back}
	case Baseline:
		skip := m.does("next", func() []Order {
			m.Based = true
			return m.onward()
		})
		return []Item{skip, m.does("baseline-again", func() []Order { return []Order{{Kind: BeginBaseline}} })}
	}
	start := m.does("start", func() []Order { return append(m.home(Flying), Order{Kind: StartRun}) })
	start.Off = m.Kind == flight.Scored && (m.Refused || !m.Steady)
	return []Item{start, m.opens("check", Check), back}
}

func (m *Model) washItems() []Item {
	items := []Item{}
	if m.Course.On && !m.Course.Over {
		next := m.does("next-step", func() []Order { return []Order{{Kind: LoadNext}} })
		next.Off = !m.Course.Ready
		items = append(items, next)
	}
	if !m.Course.On {
		items = append(items, m.does("again", func() []Order { return m.again(false) }), m.does("again-new", func() []Order { return m.again(true) }))
	}
	replay := m.does("replay", func() []Order { return append(m.open(Replay), Order{Kind: OpenReplay}) })
	replay.Off = !m.Ready
	items = append(items, replay)
	if len(m.Legs) > 1 && m.Kind == flight.Practice {
		items = append(items, m.fromItem(Order{Kind: FlyAgain, On: true}))
	}
	return append(items, m.does("pick-other", func() []Order { return m.open(Pick) }), m.does("free", m.toFree))
}

func (m *Model) replayItems() []Item {
	p := &m.Play
	play := m.turns("play", words.Of("play", yes(p.Going)), func(int) {
		if !p.Going && p.Tick >= p.End {
			p.Tick = 0
		}
		p.Going = !p.Going
	})
	play.Turns = false
	scrub := m.turns("scrub", words.Say("replay.at", "time", fmt.Sprintf("%.1f", float64(p.Tick)/1000)), func(by int) {
		p.Tick, p.Going = min(max(p.Tick+int64(by)*500, 0), p.End), false
	})
	speed := m.turns("speed", words.Of("speed", fmt.Sprint(p.Speed)), func(by int) { p.Speed = wrap(p.Speed+by, len(Speeds)) })
	ghost := m.turns("ghost", words.Of("yes-no", yes(p.Ghost)), func(int) { p.Ghost = !p.Ghost })
	view := m.turns("view", words.Of("view", m.View.String()), func(by int) { m.View = View(wrap(int(m.View)+by, int(Views))) })
	items := []Item{play, scrub, speed, ghost, view}
	if p.HasCue {
		fork := m.turns("fork", words.Say("replay.after", "time", fmt.Sprintf("%.1f", float64(p.After)/1000)),
			func(by int) { p.After = min(max(p.After+int64(by)*500, 0), 20000) }, Order{Kind: MakeFork})
		items = append(items, fork)
		if p.Forked {
			items = append(items, m.does("unfork", func() []Order {
				p.Forked = false
				return nil
			}))
		}
	}
	return append(items, m.does("back", m.leave))
}

func (m *Model) handsItems() []Item {
	t := &m.Taste.Taste
	save := Order{Kind: SaveTaste}
	device := words.Say("hands.keyboard")
	if m.Device >= 0 && m.Device < len(m.Devices) {
		device = m.Devices[m.Device]
	}
	use := m.turns("device", device, func(by int) { m.Device = wrap(m.Device+1+by, len(m.Devices)+1) - 1 }, Order{Kind: UseDevice})
	layout := m.turns("layout", fmt.Sprint(t.Layout), func(by int) { t.Layout = devices.Layout(wrap(int(t.Layout)-1+by, devices.Layouts) + 1) }, save)
	band := m.turns("dead-band", percent(t.Shape.DeadBand), func(by int) {
		t.Shape.DeadBand = ladder(t.Shape.DeadBand, by, 0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.15, 0.2)
	}, save)
	expo := m.turns("expo", percent(t.Shape.Expo), func(by int) { t.Shape.Expo = ladder(t.Shape.Expo, by, 0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1) }, save)
	throttle := m.turns("throttle-map", words.Of("throttle", t.ThrottleMap.String()),
		func(by int) {
			t.ThrottleMap = control.ThrottleMap(wrap(int(t.ThrottleMap)+by, int(control.UpperHalf)+1))
		}, save)
	throttle.Text = words.Say("hands.throttle")
	calibrate := m.does("calibrate", func() []Order { return append(m.open(Calibrate), Order{Kind: BeginCalibration}) })
	calibrate.Off = m.Device < 0
	set := m.turns("key-set", words.Of("set", m.setWord()), func(by int) { m.nextSet(by) }, save)
	return []Item{use, layout, band, expo, throttle, calibrate, set, m.opens("keys", Keys), m.does("back", m.leave)}
}

func percent(x float64) string { return fmt.Sprintf("%.0f %%", 100*x) }

// set is the ready set of keys that is in use, −1 where some were changed.
func (m *Model) set() int {
	for s := devices.TwoHands; s <= devices.RightHand; s++ {
		if same(m.Taste.Taste.Keyboard.Keys, devices.SetOf(s)) {
			return int(s)
		}
	}
	return -1
}

func (m *Model) setWord() string {
	if at := m.set(); at >= 0 {
		return devices.KeySet(at).String()
	}
	return "own"
}

// nextSet takes the next ready set of keys.
func (m *Model) nextSet(by int) {
	m.Taste.Taste.Keyboard.Keys = devices.SetOf(devices.KeySet(wrap(m.set()+by, int(devices.RightHand)+1)))
}

func same(a, b map[devices.Key]devices.Action) bool {
	if len(a) != len(b) {
		return false
	}
	for k, v := range a {
		if b[k] != v {
			return false
		}
	}
	return true
}

// Learned lists the switches that the calibration asks for.
func Learned() []devices.Switch {
	return []devices.Switch{
		devices.TwoWay(devices.Do(devices.DoCutOff), devices.StyleLatched),
		devices.TwoWay(devices.Do(devices.DoArm), devices.StyleToggle),
		devices.Selector(hands.Attitude, hands.HeightHold, hands.PositionHold),
		devices.TwoWay(devices.Select(hands.Attitude), 0), devices.TwoWay(devices.Select(hands.HeightHold), 0),
		devices.TwoWay(devices.Select(hands.PositionHold), 0), devices.TwoWay(devices.Select(hands.Path), 0),
		devices.TwoWay(devices.Call(hands.CallAreaClear), 0), devices.TwoWay(devices.Call(hands.CallTakingOver), 0),
		devices.TwoWay(devices.Call(hands.CallStandClear), 0), devices.TwoWay(devices.Call(hands.CallMotorsSafe), 0),
		devices.TwoWay(devices.Do(devices.DoPause), 0), devices.TwoWay(devices.Do(devices.DoAgain), 0),
	}
}

func (m *Model) calibrateItems() []Item {
	order := func(kind OrderKind) func() []Order { return func() []Order { return []Order{{Kind: kind}} } }
	next := m.does("next", order(CalibrationNext))
	next.Off = !m.Asks.Ready
	back := m.does("step-back", order(CalibrationBack))
	stop := m.does("stop", m.leave)
	switch m.Asks.Word {
	case "throttle":
		springs := func(on bool) func() []Order {
			return func() []Order { return []Order{{Kind: CalibrationThrottle, On: on}} }
		}
		return []Item{m.does("springs", springs(true)), m.does("holds", springs(false)), back, stop}
	case "switches":
		items := []Item{m.does("save", order(CalibrationSave))}
		for i, s := range Learned() {
			items = append(items, Item{Label: words.Say("item.assign", "what", ActionWords(s.Does)), Off: m.Asks.Learn,
				act: func(int) []Order { return []Order{{Kind: CalibrationLearn, N: i}} }})
		}
		return append(items, back, stop)
	}
	return []Item{next, back, stop}
}

func (m *Model) keysItems() []Item {
	k := &m.Taste.Taste.Keyboard
	var items []Item
	for i, a := range Bindable() {
		value := words.Say("keys.none")
		if m.Binding == i {
			value = words.Say("keys.press")
		} else if keys := k.KeysFor(a); len(keys) > 0 {
			value = KeyWords(keys[0])
		}
		items = append(items, Item{Label: ActionWords(a), Value: value, act: func(int) []Order {
			m.Binding = i
			return nil
		}})
	}
	return append(items, m.does("back", m.leave))
}

// pressed binds a key to the action that waits for one.
func (m *Model) pressed(e Event) []Order {
	all := Bindable()
	if m.Page != Keys || m.Binding < 0 || m.Binding >= len(all) {
		return nil
	}
	if e.Key.String() != "unknown" && e.Key.String() != "escape" {
		m.Taste.Taste.Keyboard.Bind(e.Key, all[m.Binding])
	}
	m.Binding = -1
	return []Order{{Kind: SaveTaste}}
}

func (m *Model) sensesItems() []Item {
	v, s := &m.Taste.View, &m.Taste.Sound
	save := Order{Kind: SaveTaste}
	who := m.turns("trainee", m.Trainee, func(by int) {
		var n int
		_, _ = fmt.Sscanf(m.Trainee, "T%d", &n)
		m.Trainee = fmt.Sprintf("T%02d", wrap(n-1+by, 20)+1)
	}, Order{Kind: SaveTaste, On: true})
	size := m.turns("text-size", percent(v.TextScale), func(by int) { v.TextScale = ladder(v.TextScale, by, 0.75, 1, 1.25, 1.5, 1.75, 2) }, save)
	field := m.turns("field", fmt.Sprintf("%.0f°", v.FieldOfView), func(by int) { v.FieldOfView = ladder(v.FieldOfView, by, 30, 34, 40, 45, 50, 60, 70, 80) }, save)
	motion := m.turns("motion", words.Of("yes-no", yes(v.ReducedMotion)), func(int) { v.ReducedMotion = !v.ReducedMotion }, save)
	dark := m.turns("dark", words.Of("yes-no", yes(m.Dark)), func(int) { m.Dark = !m.Dark })
	cage := m.turns("cage", words.Of("yes-no", yes(m.Cage)), func(int) { m.Cage = !m.Cage })
	volume := m.turns("volume", percent(s.Volume), func(by int) { s.Volume = ladder(s.Volume, by, 0, 0.1, 0.2, 0.3, 0.5, 0.7, 0.85, 1) }, save)
	captions := m.turns("captions", words.Of("yes-no", yes(s.Captions)), func(int) { s.Captions = !s.Captions }, save)
	return []Item{who, size, field, motion, dark, cage, volume, captions, m.does("back", m.leave)}
}
