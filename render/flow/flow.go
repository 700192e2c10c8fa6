// Package flow is the way through the station: which page is open, what is chosen
// on it, and what follows from an event.
//
// It stands apart from drawing and flying, because it is pure: an event goes in,
// the model moves on, and orders come out, which the station carries out. So every
// way through the pages is tested without a window. The way of the data:
//
//  1. the station turns keys, clicks and buttons into events      (event.go)
//  2. Do moves the model on and returns orders                    (flow.go)
//  3. Items are what the open page offers                         (items.go)
//  4. the guide looks at the world for what it asks for           (guide.go)
package flow

import (
	"lapwing/render/flight"
	"lapwing/render/settings"
)

// Page is what is open.
type Page uint8

// The pages.
const (
	Flying    Page = iota // the room and the strip
	Menu                  // over the room
	Pick                  // scenarios and courses
	How                   // scored or practice, seed, levers
	Check                 // device and latency
	Baseline              // twenty presses
	Brief                 // before the flight
	Wash                  // after it
	Replay                // to and fro in it
	Hands                 // device, layout, curve
	Calibrate             // ends, centre, switches of a device
	Keys                  // of the keyboard
	Senses                // how it is seen and heard
	Help
	Pages // how many there are
)

var pageWords = [Pages]string{"flying", "menu", "pick", "how", "check", "baseline", "brief", "wash", "replay",
	"hands", "calibrate", "keys", "senses", "help"}

// String returns the word for p, a key of texts.
func (p Page) String() string { return pageWords[min(p, Pages-1)] }

// Over tells whether p lies over the room, which goes on below it.
func (p Page) Over() bool { return p == Flying || p == Menu || p == Replay }

// View is from where the room is seen.
type View uint8

// The views, in the order in which a key goes through them.
const (
	PilotsPlace View = iota
	Following
	Top
	Views
)

var viewWords = [Views]string{"pilots-place", "following", "top"}

// String returns the word for v.
func (v View) String() string { return viewWords[min(v, Views-1)] }

// Entry is something that can be picked.
type Entry struct {
	Name, Title string
	Course      bool
	Lines       []string // what it is about
	Where       string   // craft and room
}

// Model is where a person stands in the station.
type Model struct {
	Page   Page
	Chosen [Pages]int // item that is chosen on each page

	Trainee string // code of who flies
	Taste   settings.Trainee
	View    View
	Cage    bool // show where it may fly
	Dark    bool // a dark strip

	Entries []Entry
	Setup   flight.Setup  // of the next flight
	Kind    flight.Kind   // of the flight that is on
	Phase   flight.Phase  // where it stands
	Name    string        // of the scenario or course that was picked
	Legs    []Leg         // from which a practice of it may begin
	Rooms   []string      // that a practice may be flown in
	Devices []string      // names of those that are plugged in
	Device  int           // which of them is flown with, -1 the keyboard
	Springs bool          // its throttle springs to the centre
	Checked bool          // device and latency have been looked at
	Based   bool          // the reaction baseline has been taken
	Refused bool          // pictures are too late for timed scoring
	Course  CourseState   // of the course that is flown
	Guide   Guide         // of the first minutes
	Ready   bool          // the flight that is over can be looked at
	Steady  bool          // pictures have been found steady
	Play    Play          // of the replay
	Binding int           // action that waits for a key, -1 none
	Asks    CalibrateStep // of the calibration
	back    []Page
}

// Leg is a phase of a plan.
type Leg struct {
	Index int64
	Words string
}

// CourseState is how far a course has come.
type CourseState struct {
	On    bool
	Over  bool
	Ready bool // the last flight has been counted
	Title string
	Step  int // from 1
	Steps int
	Says  string
}

// Play is how a replay is looked at.
type Play struct {
	Tick    int64
	End     int64
	Going   bool
	Ghost   bool  // the estimate is drawn too
	Forked  bool  // what would have been is shown
	After   int64 // ticks from the cue to the action in it
	Speed   int   // index of speeds
	HasCue  bool
	ForkEnd int64
}

// CalibrateStep is what the calibration page shows of the calibration.
type CalibrateStep struct {
	Word  string // of devices.CalibrationStep
	Ready bool
	Learn bool // waits for a button or axis
}

// New returns a model before anything was done.
func New(trainee string, taste settings.Trainee) *Model {
	m := &Model{Trainee: trainee, Taste: taste, Device: -1, Binding: -1}
	m.Setup.Seed, m.Setup.Levers = 1, flight.DefaultLevers()
	return m
}

// open opens a page, from which Back leads here.
func (m *Model) open(p Page) []Order {
	m.back = append(m.back, m.Page)
	return m.goTo(p)
}

// goTo opens a page in place of this one.
func (m *Model) goTo(p Page) []Order {
	m.Page = p
	items := m.Items()
	m.Chosen[p] = min(m.Chosen[p], max(len(items)-1, 0))
	for m.Chosen[p] < len(items)-1 && items[m.Chosen[p]].Off {
		m.Chosen[p]++
	}
	return []Order{{Kind: Opened, Page: p}}
}

// home forgets the way back.
func (m *Model) home(p Page) []Order {
	m.back = nil
	return m.goTo(p)
}

// leave goes back to where this page was opened from.
func (m *Model) leave() []Order {
	if len(m.back) == 0 {
		return m.goTo(Flying)
	}
	p := m.back[len(m.back)-1]
	m.back = m.back[:len(m.back)-1]
	return m.goTo(p)
}

// Do moves the model on by an event and returns what is to be done.
func (m *Model) Do(e Event) []Order {
	switch e.Kind {
	case RunOver:
		m.Phase = flight.Over
		m.back = nil
		return m.goTo(Wash)
	case Loaded:
		return m.loaded(e)
	case CourseEnded:
		m.Course.Over = true
		return nil
	case WantHelp:
		return m.help()
	case WantPause:
		return m.pause()
	case WantAgain:
		return m.again(false)
	case WantView:
		return m.nextView()
	case Pressed:
		return m.pressed(e)
	}
	return m.navigate(e)
}

func (m *Model) navigate(e Event) []Order {
	items := m.Items()
	at := &m.Chosen[m.Page]
	switch e.Kind {
	case Back:
		return m.goBack()
	case Up, Down:
		return m.step(items, e.Kind)
	case Choose:
		if e.N < 0 || e.N >= len(items) {
			return nil
		}
		*at = e.N
		return m.use(items, 0)
	case Enter:
		return m.use(items, 0)
	case Left:
		return m.use(items, -1)
	case Right:
		return m.use(items, 1)
	case Scroll:
		*at = min(max(*at+e.N, 0), max(len(items)-1, 0))
	}
	return nil
}

// step goes to the next item that can be chosen.
func (m *Model) step(items []Item, way EventKind) []Order {
	by := 1
	if way == Up {
		by = -1
	}
	for i := m.Chosen[m.Page] + by; i >= 0 && i < len(items); i += by {
		if !items[i].Off {
			m.Chosen[m.Page] = i
			break
		}
	}
	return nil
}

// use does what the chosen item does; by is 0 for Enter or a click, else −1 or 1.
func (m *Model) use(items []Item, by int) []Order {
	at := m.Chosen[m.Page]
	if at >= len(items) || items[at].Off || items[at].act == nil {
		return nil
	}
	if by != 0 && !items[at].Turns {
		return nil
	}
	return items[at].act(by)
}

// goBack is what Escape does.
func (m *Model) goBack() []Order {
	switch m.Page {
	case Flying:
		return m.openMenu()
	case Menu:
		return m.goOn()
	case Wash:
		return m.toFree()
	case Keys:
		m.Binding = -1
	}
	return m.leave()
}

// openMenu opens the menu. A scored run goes on below it: to stand still would
// give time to think.
func (m *Model) openMenu() []Order {
	m.Chosen[Menu] = 0
	orders := m.open(Menu)
	if m.Kind != flight.Scored {
		orders = append(orders, Order{Kind: PauseRun})
	}
	return orders
}

// goOn leaves the menu for the flight.
func (m *Model) goOn() []Order {
	return append(m.home(Flying), Order{Kind: GoOn})
}

func (m *Model) help() []Order {
	if m.Page == Help {
		return m.leave()
	}
	orders := m.open(Help)
	if m.Kind != flight.Scored {
		orders = append(orders, Order{Kind: PauseRun})
	}
	return orders
}

func (m *Model) pause() []Order {
	switch m.Page {
	case Flying:
		return append(m.open(Menu), Order{Kind: PauseRun})
	case Menu:
		return m.goOn()
	case Replay:
		m.Play.Going = !m.Play.Going
	}
	return nil
}

// again flies the same once more, from wherever one is.
func (m *Model) again(newSeed bool) []Order {
	if newSeed {
		m.Setup.Seed++
	}
	return append(m.home(Flying), Order{Kind: FlyAgain, On: newSeed})
}

// toFree goes back to free flight.
func (m *Model) toFree() []Order {
	m.Kind, m.Course = flight.Free, CourseState{}
	return append(m.home(Flying), Order{Kind: FlyFree})
}

// nextView is refused in a scored run, which is flown from the pilot's place.
func (m *Model) nextView() []Order {
	if m.Kind == flight.Scored && m.Page != Replay {
		return nil
	}
	m.View = (m.View + 1) % Views
	return nil
}

// loaded goes on with a flight that stands ready: to what has not been looked at
// yet, then to its briefing.
func (m *Model) loaded(e Event) []Order {
	m.Kind, m.Phase = e.Flight, flight.Waiting
	if m.Kind == flight.Free {
		return nil
	}
	return m.onward()
}

// onward opens the next page on the way to a flight.
func (m *Model) onward() []Order {
	switch {
	case !m.Checked:
		return m.goTo(Check)
	case !m.Based && m.Kind == flight.Scored:
		return m.goTo(Baseline)
	}
	m.Chosen[Brief] = 0
	return m.goTo(Brief)
}
