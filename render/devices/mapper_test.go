package devices

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/pilot"
)

const ms = time.Millisecond

var _ pilot.Pilot = (*Mapper)(nil) // hands go into a run as any pilot's do

// rig is a mapper with a gamepad, polled every 2 ms and looked at every 20 ms.
type rig struct {
	*Mapper
	r    Reading
	now  time.Duration
	seen []hands.Hands
}

func newRig(t *testing.T, taste Taste) *rig {
	t.Helper()
	g := &rig{Mapper: NewMapper(taste), r: Reading{GUID: "g", Name: "Bench Pad", Gamepad: true, Axes: []float32{0, 0, 0, 0, -1, -1}, Buttons: make([]bool, 15)}}
	p := DefaultProfile(&g.r)
	require.NoError(t, p.Validate())
	g.Use("g", &p)
	g.poll()
	return g
}

func (g *rig) poll() {
	g.r.At = g.now
	g.Poll(g.now, []Reading{g.r})
}

// run lets time go on for d; at the given offsets do is called before the poll.
func (g *rig) run(d time.Duration, do map[time.Duration]func()) {
	start := g.now
	for ; g.now < start+d; g.now += 2 * ms {
		if f := do[g.now-start]; f != nil {
			f()
		}
		g.poll()
		if g.now%(20*ms) == 0 {
			var h hands.Hands
			g.Act(nil, &h)
			g.seen = append(g.seen, h)
		}
	}
}

func (g *rig) press(button int, d time.Duration) map[time.Duration]func() {
	return map[time.Duration]func(){
		4 * ms: func() { g.r.Buttons[button] = true }, 4*ms + d: func() { g.r.Buttons[button] = false }}
}

func (g *rig) last() hands.Hands { return g.seen[len(g.seen)-1] }

// TestShortPressIsNotLost: goal: a press of 4 to 6 ms between two looks reaches
// the hands. Method: a press of each kind that begins 4 ms after a look and ends
// before the next.
func TestShortPressIsNotLost(t *testing.T) {
	for _, c := range []struct {
		name   string
		button int
		want   func(h hands.Hands) bool
	}{
		{"cut-off", padEast, func(h hands.Hands) bool { return h.CutOff }},
		{"arm", padLeft, func(h hands.Hands) bool { return h.Armed }},
		{"attitude", padDown, func(h hands.Hands) bool { return h.Response == hands.Attitude }},
		{"call", padSouth, func(h hands.Hands) bool { return h.Call == hands.CallAreaClear }},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := newRig(t, DefaultTaste())
			g.Reset(hands.Hands{Response: hands.PositionHold})
			g.run(40*ms, nil)
			require.False(t, c.want(g.last()))
			g.seen = nil
			g.run(40*ms, g.press(c.button, 6*ms))
			assert.True(t, c.want(g.last()))
		})
	}
}

// TestFlickOfASwitch: goal: a hardware switch that is thrown and thrown back
// within 5 ms is seen for one look and not longer. Method: a two-position cut-off
// switch by position, and a three-position selector on an axis.
func TestFlickOfASwitch(t *testing.T) {
	g := newRig(t, DefaultTaste())
	p := *g.device
	p.Switches = []Switch{button(Do(DoCutOff), 0, StylePosition),
		{Does: Do(DoSelector), From: Source{Kind: FromAxis, Index: 4}, Positions: 3, Responses: [3]hands.Response{hands.Attitude, hands.HeightHold, hands.PositionHold}}}
	require.NoError(t, p.Validate())
	g.Use("g", &p)
	g.r.Axes[4] = 1
	g.run(60*ms, nil)
	require.Equal(t, hands.PositionHold, g.last().Response)
	g.seen = nil
	g.run(80*ms, map[time.Duration]func(){
		6 * ms:  func() { g.r.Buttons[0], g.r.Axes[4] = true, -1 },
		12 * ms: func() { g.r.Buttons[0], g.r.Axes[4] = false, 1 }})
	var cut, attitude int
	for _, h := range g.seen {
		cut += int(truth(h.CutOff))
		attitude += int(truth(h.Response == hands.Attitude))
	}
	assert.Equal(t, 1, cut)
	assert.Equal(t, 1, attitude)
	assert.Equal(t, hands.PositionHold, g.last().Response)
}

// TestHammeringDoesNotReleaseTheCutOff: goal: only a long press releases, never
// the press that engaged it, and never one held from before a restart.
func TestHammeringDoesNotReleaseTheCutOff(t *testing.T) {
	g := newRig(t, DefaultTaste())
	g.Reset(hands.Hands{})
	for range 7 {
		g.run(100*ms, g.press(padEast, 50*ms))
	}
	assert.True(t, g.last().CutOff)
	g.run(3*time.Second, g.press(padEast, 600*ms))
	assert.True(t, g.last().CutOff, "0.6 s is too short")
	g.run(3*time.Second, g.press(padEast, 720*ms))
	assert.False(t, g.last().CutOff)
	g.run(5*time.Second, g.press(padEast, 4*time.Second))
	assert.True(t, g.last().CutOff, "the press that engages does not release, however long")
	g.r.Buttons[padEast] = true
	g.run(100*ms, nil)
	g.Reset(hands.Rest())
	g.run(3*time.Second, nil)
	assert.True(t, g.last().CutOff, "held over a restart")
}

// TestLayouts: goal: each stick of each layout commands what the picture says,
// with the sign of package hands. Method: one stick at a time is moved up or
// right; the table is the definition of the four layouts (common practice; 3 is
// the mirror of 2, 4 of 1).
func TestLayouts(t *testing.T) {
	axis := map[Place]int{LeftX: 0, LeftY: 1, RightX: 2, RightY: 3} // GLFW's order, y down
	for layout, want := range map[Layout]map[Place]string{
		1: {LeftY: "pitch", LeftX: "yaw", RightY: "throttle", RightX: "roll"},
		2: {LeftY: "throttle", LeftX: "yaw", RightY: "pitch", RightX: "roll"},
		3: {RightY: "throttle", RightX: "yaw", LeftY: "pitch", LeftX: "roll"},
		4: {RightY: "pitch", RightX: "yaw", LeftY: "throttle", LeftX: "roll"},
	} {
		taste := DefaultTaste()
		taste.Layout = layout
		for place, does := range want {
			assert.Equal(t, does, layout.At(place).String())
			g := newRig(t, taste)
			g.r.Axes[axis[place]] = 1
			if place == LeftY || place == RightY {
				g.r.Axes[axis[place]] = -1
			}
			g.run(22*ms, nil)
			h := g.last()
			got := map[string]int16{"throttle": h.Throttle - 500, "roll": h.Roll, "pitch": h.Pitch, "yaw": h.Yaw}
			for name, x := range got {
				full := int16(1000)
				if name == "throttle" {
					full = 500
				}
				if name != does {
					full = 0
				}
				assert.Equal(t, full, x, "layout %d, %s up or right: %s", layout, place, name)
			}
		}
	}
}

// TestThrottleKinds: goal: a sprung throttle let go stands in the middle and has
// its dead-band; one that holds is straight from end to end and needs no centre.
func TestThrottleKinds(t *testing.T) {
	for _, c := range []struct {
		kind control.ThrottleKind
		raw  float32 // up positive
		want int16
	}{
		{control.SpringsToCentre, 0, 500}, {control.SpringsToCentre, 0.03, 500}, {control.SpringsToCentre, 1, 1000}, {control.SpringsToCentre, -1, 0},
		{control.Holds, -1, 0}, {control.Holds, 0, 500}, {control.Holds, 0.03, 515}, {control.Holds, -0.5, 250}, {control.Holds, 1, 1000},
	} {
		g := newRig(t, DefaultTaste())
		p := *g.device
		p.Throttle = c.kind
		p.Sticks[LeftY].Travel.Centre = 0 // must not matter where it holds
		if c.kind == control.Holds {
			p.Sticks[LeftY].Travel.Centre = -0.7
		}
		g.Use("g", &p)
		g.r.Axes[1] = -c.raw
		g.run(22*ms, nil)
		assert.Equal(t, c.want, g.last().Throttle, "%s at %g", c.kind, c.raw)
	}
	g := newRig(t, DefaultTaste())
	var o control.Overrides
	g.Throttle(&o)
	assert.Equal(t, control.Overrides{ThrottleKind: control.SpringsToCentre, ThrottleMap: control.RateOfThrust, ThrottleGiven: true}, o)
}

// TestKeyboard: goal: keys ramp the axes, return, and lose no short press; the
// ramp's times are those of the settings.
func TestKeyboard(t *testing.T) {
	key := func(name string) Key {
		k, ok := ParseKey(name)
		require.True(t, ok)
		return k
	}
	m := NewMapper(DefaultTaste())
	act := func(n int) (h hands.Hands) {
		for range n {
			m.Act(nil, &h)
		}
		return h
	}
	m.Reset(hands.Hands{Throttle: 500})
	m.Key(key("right"), true, 0)
	assert.EqualValues(t, 500, act(10).Roll, "2.5 a second for 0.2 s")
	assert.EqualValues(t, 1000, act(30).Roll)
	m.Key(key("right"), false, 0)
	assert.EqualValues(t, 500, act(5).Roll, "back with 5 a second for 0.1 s")
	assert.EqualValues(t, 0, act(20).Roll)

	m.Key(key("w"), true, 0)
	m.Key(key("w"), false, 0)
	assert.EqualValues(t, 525, act(1).Throttle, "a tap counts for one look: 2.5/s · 20 ms of half travel")
	assert.EqualValues(t, 500, act(1).Throttle)

	m.Key(key("left"), true, 0)
	m.Key(key("right"), true, 0)
	assert.EqualValues(t, 0, act(10).Roll, "both at once cancel")
	m.LetGo()
	assert.EqualValues(t, 0, act(10).Roll)

	m.Key(key("space"), true, 0)
	m.Key(key("space"), false, 5*ms)
	h := act(1)
	assert.True(t, h.CutOff)
	m.Key(key("space"), true, time.Second)
	m.Poll(2*time.Second, nil)
	assert.False(t, act(1).CutOff, "held for 1 s releases")
	m.Key(key("space"), false, 3*time.Second)
	m.Key(key("space"), true, 4*time.Second)
	m.Key(key("space"), false, 4*time.Second+100*ms)
	m.Key(key("space"), true, 5*time.Second)
	m.Reset(hands.Rest())
	m.Poll(7*time.Second, nil)
	assert.True(t, act(1).CutOff, "held over a restart releases nothing")
	m.Reset(hands.Hands{})
	m.Key(key("w"), true, 8*time.Second)
	act(1)
	s := m.Stamp()
	assert.True(t, s.KeysUsed)
	assert.True(t, s.Keyboard)
	assert.Equal(t, "keyboard", s.Device)

	taste := DefaultTaste()
	taste.Keyboard.Throttle = control.Holds
	m = NewMapper(taste)
	m.Key(key("w"), true, 0)
	assert.EqualValues(t, 250, act(10).Throttle, "from lowest, half travel is 500")
	m.Key(key("w"), false, 0)
	assert.EqualValues(t, 250, act(100).Throttle, "it holds")
}

// TestCallsComeOneByOne: goal: two calls between two looks are both heard, in
// order, and steps carry what they are about.
func TestCallsComeOneByOne(t *testing.T) {
	m := NewMapper(DefaultTaste())
	m.About(3)
	m.Do(Call(hands.CallTakingOver))
	m.Do(Step(hands.StepLook))
	m.Do(Do(DoPause))
	var a, b, c hands.Hands
	m.Act(nil, &a)
	m.Act(nil, &b)
	m.Act(nil, &c)
	assert.Equal(t, hands.CallTakingOver, a.Call)
	assert.Equal(t, hands.StepNone, a.Step)
	assert.Equal(t, hands.StepLook, b.Step)
	assert.EqualValues(t, 3, b.Item)
	assert.Equal(t, hands.CallNone, c.Call)
	w, ok := m.Wish()
	assert.True(t, ok)
	assert.Equal(t, Do(DoPause), w)
	_, ok = m.Wish()
	assert.False(t, ok)
}

// TestMismatch: goal: before a run, hardware that stands otherwise is named.
func TestMismatch(t *testing.T) {
	g := newRig(t, DefaultTaste())
	p := *g.device
	p.Throttle = control.Holds
	p.Switches = []Switch{button(Do(DoCutOff), 0, StylePosition), button(Do(DoArm), 1, StyleToggle)}
	g.Use("g", &p)
	g.poll()
	assert.ElementsMatch(t, []Action{Do(DoCutOff), Stick(ThrottleUp)}, g.Mismatch(hands.Rest()))
	g.r.Buttons[0], g.r.Axes[1] = true, 1
	g.poll()
	assert.Empty(t, g.Mismatch(hands.Rest()))
}

// TestAnythingGivesLawfulHands: goal: whatever a device sends, hands stay in
// range and the same readings give the same hands. Method: random readings, NaN
// and missing axes among them, twice.
func TestAnythingGivesLawfulHands(t *testing.T) {
	fly := func() (all []hands.Hands) {
		random := rand.New(rand.NewPCG(3, 4))
		g := newRig(t, DefaultTaste())
		for range 3000 {
			for i := range g.r.Axes {
				g.r.Axes[i] = float32(random.NormFloat64())
			}
			if random.IntN(50) == 0 {
				g.r.Axes[random.IntN(6)] = float32(nan())
			}
			for i := range g.r.Buttons {
				g.r.Buttons[i] = random.IntN(4) == 0
			}
			g.run(10*ms, nil)
		}
		return g.seen
	}
	all := fly()
	for _, h := range all {
		require.True(t, h.Throttle >= 0 && h.Throttle <= 1000, "%+v", h)
		for _, x := range []int16{h.Roll, h.Pitch, h.Yaw} {
			require.True(t, x >= -1000 && x <= 1000, "%+v", h)
		}
		require.True(t, h.Response <= hands.Path)
	}
	assert.Equal(t, all, fly())
}

func nan() float64 { var z float64; return z / z }

// TestUnplugged: goal: the going of the device in use is told apart from that of
// another, and of two of one make.
func TestUnplugged(t *testing.T) {
	a, b := Reading{GUID: "a", Name: "A"}, Reading{GUID: "b", Name: "B"}
	var p Plugs
	p.Use("a")
	assert.Equal(t, []Change{{"a", "A", true, true}, {"b", "B", true, false}}, p.See([]Reading{a, b}))
	assert.Empty(t, p.See([]Reading{b, a}))
	assert.Equal(t, []Change{{"b", "B", false, false}}, p.See([]Reading{a}))
	assert.Equal(t, []Change{{"a", "A", true, true}}, p.See([]Reading{a, a}))
	assert.Equal(t, []Change{{"a", "A", false, true}}, p.See([]Reading{a}))
	assert.Equal(t, []Change{{"a", "A", false, true}}, p.See(nil))
}

// TestMeter: goal: rate and pauses are those of the readings.
func TestMeter(t *testing.T) {
	var m Meter
	for at := time.Duration(0); at <= time.Second; at += 2 * ms {
		m.Note(at)
	}
	assert.InDelta(t, 500, m.Rate(), 1e-9)
	assert.Zero(t, m.SlowShare())
	m.Note(1010 * ms)
	assert.Equal(t, 10*ms, m.Pause())
	assert.InDelta(t, 1.0/501, m.SlowShare(), 1e-9)
}

// TestNoAllocation: goal: reading a device 500 times a second makes no garbage.
func TestNoAllocation(t *testing.T) {
	g := newRig(t, DefaultTaste())
	readings := []Reading{g.r}
	var h hands.Hands
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		g.Mapper.Poll(g.now, readings)
		g.Act(nil, &h)
	}))
}
