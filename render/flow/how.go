package flow

import (
	"fmt"

	"lapwing/render/clock"
	"lapwing/render/flight"
	"lapwing/render/words"
)

// howItems are what the page How offers: scored or practice, and the levers.
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
