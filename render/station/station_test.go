package station

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/pages"
	"lapwing/render/paint/golden"
	"lapwing/render/settings"
	"lapwing/render/stage"
	"lapwing/render/strip"
	"lapwing/render/window"
	"lapwing/render/window/hidden"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
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

// TestPages: goal: every page before a flight looks as it did when a person last
// looked at it. Method: the way of a first evening, by what the pages offer; pictures
// against those that are kept (package golden).
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
	s.scratch.hands = hands.Hands{Throttle: 700, Yaw: -300, Roll: 500, Pitch: 200}
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
	s.model.Entries = chosen(s.model.Entries)
	s.model.Chosen[flow.Pick] = 2
	shot(t, s, c, "pick", size)
	choose(t, s, "Hover in attitude")
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

// chosen keeps a few entries, so that a new scenario changes no picture.
func chosen(all []flow.Entry) (some []flow.Entry) {
	for _, e := range all {
		switch e.Name {
		case "figure-eight", "hover-in-attitude", "drift-in-hold", "taking-over":
			some = append(some, e)
		}
	}
	return some
}

// TestCalibrationPage is TestPages for a device that is not there: one with six
// axes, of which the sticks have been found.
func TestCalibrationPage(t *testing.T) {
	s, c := open(t, Options{})
	r := devices.Reading{Name: "transmitter", Axes: make([]float32, 6), Buttons: make([]bool, 4)}
	s.asked = devices.NewCalibration(&r)
	at := func(axis int, x float32) {
		r.Axes[axis] = x
		r.At += 600 * time.Millisecond
		s.asked.Feed(&r)
	}
	at(0, 0)
	s.asked.Next()
	for i := range 6 {
		at(i, -0.9)
		at(i, 0.95-0.05*float32(i))
		at(i, 0.1)
	}
	s.model.Page = flow.Calibrate
	s.calibrated()
	shot(t, s, c, "calibrate", size)
	s.asked.Next()
	at(1, 0.9)
	s.calibrated()
	require.True(t, s.model.Asks.Ready)
	s.model.Taste.View.TextScale = 1.5
	big := stage.Size{Width: 1280, Height: 720, Scale: 1.5}
	shot(t, s, c, "calibrate-large", big)
}

// placed puts the craft where a picture wants it: a flight's own bits may change.
func placed(s *Station) {
	w := &s.flight.W
	w.Craft.PosW = s.flight.C.Place.TakeOff.Add(dynamics.Vec3{X: 0.3, Y: -0.5, Z: 1.3})
	w.Craft.QWB = dynamics.Quat{W: 0.996, X: 0.06, Y: 0.05, Z: 0.04}
	for i := range s.flight.C.Craft.RotorCount {
		w.Craft.RotorSpeed[i] = 0.6 * s.flight.C.Craft.Rotors[i].SpeedMax
	}
	w.Tick = 72000
	w.Hands = hands.Hands{Throttle: 480, Roll: 120, Pitch: -260, Response: hands.PositionHold, Armed: true}
	w.Percept = percept.Percept{Armed: true, Commanded: hands.PositionHold, Actual: hands.PositionHold, CellVolts: 3.86, HoverStick: 0.5}
	w.Progress.Leg = 4
	w.Estimate.Belief.PosW = w.Craft.PosW.Add(dynamics.Vec3{X: 0.5, Y: 0.6})
	w.Estimate.Belief.QWB = w.Craft.QWB
}

// TestViews is TestPages for what lies over the room in a practice, from each view.
func TestViews(t *testing.T) {
	s, c := open(t, Options{Scenario: "drift-in-hold", Pilot: "none", Seed: 7})
	s.model.Setup.Levers.Hints = 2
	require.Equal(t, flow.Brief, s.model.Page)
	choose(t, s, "Fly, 3-2-1")
	frames(t, s, c, 3100*time.Millisecond)
	require.Equal(t, flight.Going, s.flight.Phase)
	placed(s)
	for i, view := range []string{"pilots-place", "following", "top"} {
		s.model.View = flow.View(i)
		shot(t, s, c, "view-"+view, size)
	}
	s.model.View = flow.PilotsPlace
	s.do(flow.Event{Kind: flow.WantPause})
	shot(t, s, c, "paused", size)
}

// TestAfterwards: goal: hot wash, replay and fork work on a real flight, and look as
// they did. Method: a modelled pilot flies; the pictures show a flight whose figures
// are put in by hand, so that another flight changes none of them.
func TestAfterwards(t *testing.T) {
	s, c := open(t, Options{Scenario: "drift-in-hold", Pilot: "trained", Seed: 7})
	choose(t, s, "Fly, 3-2-1")
	over(t, s, c)
	require.Equal(t, flow.Wash, s.model.Page)
	require.Greater(t, len(s.wash.Sections), 3)
	require.Greater(t, len(s.wash.Marks), 4)
	choose(t, s, "Look at it again")
	require.True(t, s.model.Play.HasCue)
	frames(t, s, c, 3900*time.Millisecond)
	s.model.Play.Ghost, s.model.View = true, flow.Following
	s.model.Play.After = 12000
	s.makeFork()
	require.NotEqual(t, judge.Never, s.fork.Hard)
	frames(t, s, c, 3*time.Second)
	require.Greater(t, s.model.Play.Tick, s.finished.Result.AtCue.Tick+2000)

	placed(s)
	w := s.flight.W
	still := flight.NewTrack(&s.flight.C, &w, s.taken.Hands(), w.Tick)
	s.finished.Track, s.wash = still, washByHand()
	s.fork.Track, s.fork.After, s.fork.Hard, s.fork.Kind = still, 12000, s.finished.Result.AtCue.Tick+7300, judge.HardCage
	s.finished.Result.AtCue.Tick = 64000
	s.fork.Hard = 71300
	s.model.Play = flow.Play{Tick: 72000, End: 84000, ForkEnd: 84000, HasCue: true, Ghost: true, After: 12000}
	shot(t, s, c, "replay", size)
	s.model.Play.Forked = true
	shot(t, s, c, "fork", size)
	s.do(flow.Event{Kind: flow.Back})
	require.Equal(t, flow.Wash, s.model.Page)
	shot(t, s, c, "wash", size)
}

// washByHand is a hot wash with everything on it.
func washByHand() *pages.Wash {
	mark := func(tick int64, text string, g strip.Grade, above bool) pages.Mark {
		return pages.Mark{Tick: tick, Words: text, Grade: g, Above: above}
	}
	return &pages.Wash{Title: "Drift in position-hold. quad-500g in potting-shed, seed 7", Verdict: "NO-GO", Grade: strip.Warning, Counts: true,
		Under: "41 of 100, for the trend only", From: 60000, To: 84000, Kept: "Kept in flights/2026-01-02-030405-drift-in-hold-seed-7",
		Marks: []pages.Mark{mark(62000, "begins", strip.Caution, true), mark(64000, "could be noticed", strip.Caution, true),
			mark(70500, "first move", strip.Old, false), mark(71200, "select attitude or height-hold", strip.Well, false),
			mark(72000, "stir the sticks", strip.Warning, false), mark(73000, "it left the cage", strip.Warning, true), mark(80000, "safe", strip.Well, true)},
		Lost: []pages.Lost{{Says: "time: the first right action after the cue", Value: "7.2 s (free up to 2.5 s)", Points: "−40.0"},
			{Says: "actions: minor error: stir the sticks", Points: "−4.5"},
			{Says: "control: away from where it should have been", Value: "1.9 m (free up to 0.5 m)", Points: "−6.7"}},
		Sections: []pages.Section{
			{Title: "What happened", Lines: []string{"At 2.8 s the craft left the floor.", "At 62.0 s the position estimate began to slide away at 0.30 m/s."}},
			{Title: "What you did", Lines: []string{"At 71.2 s, right: select attitude or height-hold (7.2 s after the cue)."}},
			{Title: "How long there was", Lines: []string{"About 7.1 s from the cue (6.8 to 7.1 over mass, motor lag, drag and noise) for a trained hand."}},
			{Title: "Result: NO-GO", Lines: []string{"The first right action came after the limit of 6.0 s."}}}}
}

// TestNothingIsMissed: goal: the baseline counts what is too early apart, and the
// delay is timed from the first poll that saw a stick move to the picture that shows
// it. Method: times handed in.
func TestNothingIsMissed(t *testing.T) {
	var b baseline
	b.begin(0)
	b.press(500 * time.Millisecond)
	for i := 0; !b.done(); i++ {
		require.Less(t, i, 100)
		b.disc = true
		b.out(b.due)
		b.press(b.due + 220*time.Millisecond)
	}
	require.Equal(t, 1, b.early)
	require.Len(t, b.times, presses)
	require.Equal(t, 220*time.Millisecond, b.median())

	var d delay
	rest, moved := [devices.Places]float64{}, [devices.Places]float64{0, 0, 0.5, 0}
	require.Zero(t, d.begin(rest, true))
	d.see(moved, 103*time.Millisecond) // while the first picture is drawn
	d.see(moved, 105*time.Millisecond)
	d.end(0, 110*time.Millisecond)
	require.Zero(t, d.begin(moved, false), "a picture that does not show it")
	from := d.begin(moved, true)
	d.end(from, 150*time.Millisecond)
	require.Equal(t, 47*time.Millisecond, d.At(1))
	d.see(moved, 160*time.Millisecond)
	require.Zero(t, d.begin(moved, true), "it has not moved since")
}

// TestUnpluggedDevice: goal: a device that is pulled out stops a practice, makes a
// scored run void, and leaves the keyboard to fly on. Method: the change as the
// watch over devices tells it.
func TestUnpluggedDevice(t *testing.T) {
	for _, kind := range []flight.Kind{flight.Practice, flight.Scored} {
		t.Run(kind.String(), func(t *testing.T) { unplug(t, kind) })
	}
}

func unplug(t *testing.T, kind flight.Kind) {
	s, c := open(t, Options{})
	s.model.Setup.Kind, s.model.Checked, s.model.Based = kind, true, true
	require.NoError(t, s.load("first-lift"))
	frames(t, s, c, 2500*time.Millisecond)
	choose(t, s, "Fly, 3-2-1")
	frames(t, s, c, 4*time.Second)
	require.Equal(t, flight.Going, s.flight.Phase)
	s.plugged(devices.Change{Name: "Bench Pad", InUse: true}, c.now)
	frames(t, s, c, 100*time.Millisecond)
	if kind == flight.Scored {
		require.Equal(t, flight.Unplugged, s.flight.Void)
		require.Equal(t, flow.Wash, s.model.Page)
		require.Equal(t, "VOID", s.wash.Verdict)
		return
	}
	require.Equal(t, flight.Paused, s.flight.Phase)
	require.Equal(t, flow.Menu, s.model.Page)
	s.do(flow.Event{Kind: flow.WantPause})
	frames(t, s, c, 3500*time.Millisecond)
	require.Equal(t, flight.Going, s.flight.Phase, "it goes on after a countdown")
}

// TestAgainWithinASecond: goal: whatever is on, the same or another run stands ready
// within a second. Method: by the wall clock, a new room's picture included.
func TestAgainWithinASecond(t *testing.T) {
	s, c := open(t, Options{Scenario: "drift-in-hold", Pilot: "none", Seed: 7})
	choose(t, s, "Fly, 3-2-1")
	frames(t, s, c, 6*time.Second)
	require.NotZero(t, s.flight.W.Tick)
	for _, fresh := range []bool{false, true} {
		seed := s.flight.Setup.Seed
		from := time.Now()
		if fresh {
			s.model.Setup.Seed++
		}
		require.NoError(t, s.flyAgain(fresh))
		frames(t, s, c, 0)
		require.Less(t, time.Since(from), time.Second)
		require.Zero(t, s.flight.W.Tick)
		require.Equal(t, fresh, s.flight.Setup.Seed != seed)
		frames(t, s, c, time.Second)
		require.Equal(t, flight.Going, s.flight.Phase)
	}
}

// TestCourseGoesOn: goal: a course leads from flight to flight and says how it
// stands. Method: a modelled pilot flies its first try; the next one is offered.
func TestCourseGoesOn(t *testing.T) {
	s, c := open(t, Options{Pilot: "trained"})
	s.model.Checked, s.model.Based = true, true
	s.do(flow.Event{Kind: flow.Back})
	choose(t, s, "Fly a scenario or a course")
	choose(t, s, "Taking over when the estimate slides away")
	require.Equal(t, flow.Brief, s.model.Page)
	require.Equal(t, flight.Scored, s.model.Kind)
	frames(t, s, c, 2500*time.Millisecond)
	choose(t, s, "Fly, 3-2-1")
	over(t, s, c)
	require.Contains(t, s.model.Course.Says, "needed to move on")
	seed := s.flight.Setup.Seed
	choose(t, s, "Next flight of the course")
	require.Equal(t, flow.Brief, s.model.Page)
	require.NotEqual(t, seed, s.flight.Setup.Seed)
}

// TestButtonsOfAPageDoNotFly: goal: a button that is pressed on a page and still held
// in flight does nothing there until it has been let go. Method: one button, through
// a page and out of it.
func TestButtonsOfAPageDoNotFly(t *testing.T) {
	var p menuPad
	look := func(down, flying bool) bool {
		r := devices.Reading{Gamepad: true, Buttons: []bool{down}}
		p.hide(&r, flying)
		return r.Buttons[0]
	}
	require.True(t, look(true, true), "in flight it works")
	require.False(t, look(true, false), "on a page it is hidden")
	require.False(t, look(true, true), "held on into the flight too")
	require.False(t, look(false, true))
	require.True(t, look(true, true), "pressed anew")
}
