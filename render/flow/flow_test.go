package flow

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/settings"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

func model() *Model {
	m := New("T01", settings.DefaultTrainee())
	m.Entries = []Entry{{Name: "a", Title: "A"}, {Name: "b", Title: "B"}, {Name: "c", Title: "C", Course: true}}
	m.Legs = []Leg{{0, "the beginning"}, {4, "hold"}}
	m.Rooms = []string{"bay-3", "potting-shed"}
	return m
}

// orders lists the kinds of orders but for the opening of pages.
func orders(list []Order) (kinds []OrderKind) {
	for _, o := range list {
		if o.Kind != Opened {
			kinds = append(kinds, o.Kind)
		}
	}
	return kinds
}

// choose chooses the item of that label.
func choose(t *testing.T, m *Model, label string) []Order {
	t.Helper()
	for i, item := range m.Items() {
		if item.Label == label {
			require.False(t, item.Off, "%q cannot be chosen on %s", label, m.Page)
			return m.Do(Event{Kind: Choose, N: i})
		}
	}
	t.Fatalf("no %q on %s", label, m.Page)
	return nil
}

// TestNoWayIsClosed: goal: from every page Escape leads back to flying, and every
// item of every page can be used without a fault. Method: each page, each kind of
// flight, each item, both ways and Enter.
func TestNoWayIsClosed(t *testing.T) {
	for page := range Pages {
		for _, kind := range []flight.Kind{flight.Free, flight.Practice, flight.Scored} {
			for i := range 64 {
				for _, way := range []EventKind{Enter, Left, Right} {
					m := model()
					m.Kind = kind
					m.open(page)
					if i >= len(m.Items()) {
						continue
					}
					m.Chosen[m.Page] = i
					m.Do(Event{Kind: way})
					for range 8 {
						if m.Page == Flying {
							break
						}
						m.Do(Event{Kind: Back})
					}
					assert.Equal(t, Flying, m.Page, "from %s, item %d", page, i)
				}
			}
		}
	}
}

// TestTheWayToAFlight: goal: a scenario leads over the device and the baseline to
// its briefing, each once only, and to the countdown. Method: the events one after
// the other.
func TestTheWayToAFlight(t *testing.T) {
	m := model()
	m.Do(Event{Kind: Back})
	require.Equal(t, Menu, m.Page)
	choose(t, m, "Fly a scenario or a course")
	choose(t, m, "B")
	require.Equal(t, How, m.Page)
	assert.Equal(t, []OrderKind{Load}, orders(choose(t, m, "Rehearse, scored")))
	m.Do(Event{Kind: Loaded, Flight: flight.Scored})
	require.Equal(t, Check, m.Page)
	choose(t, m, "Go on")
	require.Equal(t, Baseline, m.Page)
	choose(t, m, "Go on")
	require.Equal(t, Brief, m.Page)
	for _, item := range m.Items() {
		assert.Equal(t, item.Label == "Fly, 3-2-1", item.Off, "not before pictures were found steady")
	}
	m.Steady = true
	assert.Equal(t, []OrderKind{StartRun}, orders(choose(t, m, "Fly, 3-2-1")))
	m.Do(Event{Kind: RunOver})
	require.Equal(t, Wash, m.Page)
	assert.Equal(t, []OrderKind{FlyAgain}, orders(m.Do(Event{Kind: WantAgain})))
	require.Equal(t, Flying, m.Page)
	m.Do(Event{Kind: Loaded, Flight: flight.Scored})
	assert.Equal(t, Brief, m.Page, "device and baseline are asked for once")
}

// TestScoredRunsAreNotHelped: goal: a scored run is seen from the pilot's place and
// does not stand still under a menu, and too late pictures refuse it. Method: the
// events for each, against those of a practice.
func TestScoredRunsAreNotHelped(t *testing.T) {
	for _, kind := range []flight.Kind{flight.Practice, flight.Scored} {
		m := model()
		m.Kind, m.Steady = kind, true
		m.Do(Event{Kind: WantView})
		assert.Equal(t, kind == flight.Practice, m.View == Following, kind)
		assert.Equal(t, kind == flight.Practice, len(orders(m.Do(Event{Kind: Back}))) > 0, "Escape pauses a practice only")
		m.home(Brief)
		m.Refused = true
		assert.Equal(t, kind == flight.Scored, m.Items()[0].Off, kind)
	}
}

// TestKeysAreBound: goal: an action takes the key that is pressed next, and Escape
// leaves it as it was.
func TestKeysAreBound(t *testing.T) {
	m := model()
	m.open(Keys)
	m.Chosen[Keys] = 2
	m.Do(Event{Kind: Enter})
	require.Equal(t, 2, m.Binding)
	key, _ := devices.ParseKey("g")
	assert.Equal(t, []OrderKind{SaveTaste}, orders(m.Do(Event{Kind: Pressed, Key: key})))
	assert.Equal(t, []devices.Key{key}, m.Taste.Taste.Keyboard.KeysFor(Bindable()[2]))
	m.Do(Event{Kind: Enter})
	escape, _ := devices.ParseKey("escape")
	m.Do(Event{Kind: Pressed, Key: escape})
	assert.Equal(t, []devices.Key{key}, m.Taste.Taste.Keyboard.KeysFor(Bindable()[2]))
	assert.Equal(t, -1, m.Binding)
}

// TestGuideFollowsTheWorld: goal: each step of the guide waits for what it asks.
// Method: worlds in which that has happened, and one in which nothing has.
func TestGuideFollowsTheWorld(t *testing.T) {
	g := Guide{On: true}
	fly := percept.Percept{Armed: true}
	worlds := []sim.World{
		{Percept: fly, Hands: hands.Hands{Roll: 400}},
		{Percept: fly, Hands: hands.Hands{Throttle: 800}},
		{Percept: fly, Hands: hands.Hands{Yaw: -400}},
		{Percept: percept.Percept{OnFloor: true}},
		{Percept: percept.Percept{OnFloor: true, CutOff: true}},
		{Percept: fly},
	}
	rest := sim.World{Percept: fly, Hands: hands.Hands{Throttle: 500}}
	for i := range worlds {
		if i < 5 {
			assert.False(t, g.Look(&rest), i)
		}
		assert.True(t, g.Look(&worlds[i]), i)
		assert.Equal(t, i+1, g.Step)
	}
	assert.Equal(t, "done", g.Word())
}
