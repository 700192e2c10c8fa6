package station

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/paint/golden"
	"lapwing/render/settings"
	"lapwing/render/stage"
	"lapwing/render/window"
	"lapwing/render/window/hidden"
)

var size = stage.Size{Width: 1280, Height: 720, Scale: 1}

// testClock is a clock that tests move.
type testClock struct{ now time.Duration }

func (c *testClock) Now() time.Duration { return c.now }

// open opens a station with a clock of its own, nobody at the sticks, and nothing
// chosen before.
func open(t *testing.T, o Options) (*Station, *testClock) {
	t.Helper()
	w := hidden.Open(t, size.Width, size.Height)
	return openIn(t, w, o)
}

func openIn(t *testing.T, w *window.Window, o Options) (*Station, *testClock) {
	t.Helper()
	c := &testClock{time.Second}
	o.Now, o.Mute, o.Scale = c.Now, true, 1
	o.Store, o.Out = settings.Store{Dir: t.TempDir()}, t.TempDir()
	s, err := New(w, o)
	require.NoError(t, err)
	t.Cleanup(s.Close)
	return s, c
}

// frames lets so much time go by, with a picture 50 times a second.
func frames(t *testing.T, s *Station, c *testClock, long time.Duration) {
	t.Helper()
	for end := c.now + long; c.now < end; c.now += 20 * time.Millisecond {
		s.input(c.now)
		s.fly(c.now)
		s.collect()
		s.regard(c.now)
		s.hear(c.now)
		s.flight.Shown(c.now, c.now)
		s.steady.note(c.now, c.now)
		s.model.Steady = s.steady.ready
	}
}

// shot compares the page that is open with the picture that is kept of it.
func shot(t *testing.T, s *Station, c *testClock, name string, size stage.Size) {
	t.Helper()
	img, err := stage.Shot(size, func() error { return s.Draw(size, c.now) })
	require.NoError(t, err)
	golden.Check(t, golden.Folder, "page-"+name, img)
}

// choose goes to the item of that label and chooses it.
func choose(t *testing.T, s *Station, label string) {
	t.Helper()
	for i, item := range s.model.Items() {
		if item.Label == label {
			s.do(flow.Event{Kind: flow.Choose, N: i})
			return
		}
	}
	t.Fatalf("page %s offers no %q", s.model.Page, label)
}

// over waits until the flight is over and known.
func over(t *testing.T, s *Station, c *testClock) {
	t.Helper()
	for i := 0; s.finished == nil; i++ {
		frames(t, s, c, 100*time.Millisecond)
		if s.taken != nil {
			s.writing.Wait()
		}
		require.Less(t, i, 3000)
	}
}

// TestPages: goal: every page looks as it did when a person last looked at it.
// Method: the way of a first evening, by what the pages offer; a modelled pilot
// flies; pictures against those that are kept (package golden).
func TestPages(t *testing.T) {
	s, c := open(t, Options{})
	frames(t, s, c, 800*time.Millisecond)
	shot(t, s, c, "guide", size)
	s.model.Guide.On = false
	s.do(flow.Event{Kind: flow.Back})
	shot(t, s, c, "menu", size)
	choose(t, s, "Help")
	shot(t, s, c, "help", size)
	s.do(flow.Event{Kind: flow.Back})
	choose(t, s, "My device and keys")
	shot(t, s, c, "hands", size)
	choose(t, s, "Each key")
	s.model.Binding = 3
	shot(t, s, c, "keys", size)
	s.do(flow.Event{Kind: flow.Back})
	s.do(flow.Event{Kind: flow.Back})
	choose(t, s, "How I see and hear it")
	shot(t, s, c, "senses", size)
	s.do(flow.Event{Kind: flow.Back})
	choose(t, s, "Fly a scenario or a course")
	s.model.Chosen[flow.Pick] = 5
	shot(t, s, c, "pick", size)
	choose(t, s, "Drift in position-hold")
	s.model.Chosen[flow.How] = 1
	shot(t, s, c, "how", size)
	choose(t, s, "Rehearse, scored")
	require.Equal(t, flow.Check, s.model.Page)
	for i := range 25 {
		s.delay.Add(time.Duration(28+i%7) * time.Millisecond)
	}
	frames(t, s, c, 2500*time.Millisecond)
	shot(t, s, c, "check", size)
	choose(t, s, "Go on")
	require.Equal(t, flow.Baseline, s.model.Page)
	c.now = s.baseline.due
	frames(t, s, c, 20*time.Millisecond)
	shot(t, s, c, "baseline", size)
	choose(t, s, "Go on")
	require.Equal(t, flow.Brief, s.model.Page)
	shot(t, s, c, "brief", size)
	choose(t, s, "Fly, 3-2-1")
	frames(t, s, c, 1500*time.Millisecond)
	shot(t, s, c, "countdown", size)
}

// TestFlownPages is TestPages for what comes after a flight.
func TestFlownPages(t *testing.T) {
	s, c := open(t, Options{Scenario: "drift-in-hold", Pilot: "trained", Seed: 7})
	s.model.Setup.Levers.Hints = 2
	require.Equal(t, flow.Brief, s.model.Page)
	choose(t, s, "Fly, 3-2-1")
	frames(t, s, c, 15*time.Second)
	require.Equal(t, flight.Going, s.flight.Phase)
	shot(t, s, c, "practice", size)
	for i, view := range []string{"following", "top"} {
		s.model.View = flow.View(i + 1)
		shot(t, s, c, "view-"+view, size)
	}
	s.model.View = flow.PilotsPlace
	s.do(flow.Event{Kind: flow.WantPause})
	shot(t, s, c, "paused", size)
	s.do(flow.Event{Kind: flow.WantPause})
	over(t, s, c)
	shot(t, s, c, "wash", size)
	choose(t, s, "Look at it again")
	frames(t, s, c, 4*time.Second)
	s.model.Play.Ghost, s.model.View = true, flow.Following
	shot(t, s, c, "replay", size)
	s.model.Play.After = 12000
	s.makeFork()
	frames(t, s, c, 6*time.Second)
	shot(t, s, c, "fork", size)
}
