package flow

import (
	"fmt"

	"lapwing/render/flight"
	"lapwing/render/words"
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
