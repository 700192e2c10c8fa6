package devices

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// TestTravel: goal: ends and centre map to −1, 0 and 1 with a straight line on
// each side. Method: an axis whose centre is off and whose ends are short, worked
// out by hand.
func TestTravel(t *testing.T) {
	lame := Travel{Low: -0.8, Centre: 0.1, High: 0.6}
	require.NoError(t, lame.Validate())
	for _, c := range []struct {
		name                string
		t                   Travel
		raw, want, straight float64
	}{
		{"low", lame, -0.8, -1, -1}, {"beyond low", lame, -1, -1, -1}, {"centre", lame, 0.1, 0, 2*0.9/1.4 - 1},
		{"high", lame, 0.6, 1, 1}, {"beyond high", lame, 1, 1, 1},
		{"quarter up", lame, 0.225, 0.25, 2*1.025/1.4 - 1}, {"half down", lame, -0.35, -0.5, 2*0.45/1.4 - 1},
		{"not a number", lame, math.NaN(), 0, 0},
		{"reversed", Travel{-0.8, 0.1, 0.6, true}, 0.6, -1, -1},
	} {
		assert.InDelta(t, c.want, c.t.Position(c.raw), 1e-12, c.name)
		assert.InDelta(t, c.straight, c.t.Straight(c.raw), 1e-12, c.name)
	}
	bad := Travel{Low: 0.5, Centre: 0.55, High: 2}
	assert.ErrorContains(t, bad.Validate(), "high: 2")
	assert.ErrorContains(t, bad.Validate(), "at least 0.1 above")
}

// TestDrawnCurveIsTheFlownCurve: goal: what the page draws is what is flown, and
// is what the formula says. Method: the points against the formula typed in here.
func TestDrawnCurveIsTheFlownCurve(t *testing.T) {
	s := Shape{DeadBand: 0.1, Expo: 0.4}
	for _, p := range s.Drawn(41, Shape{}) {
		u := max(0, (math.Abs(p[0])-0.1)/0.9)
		want := math.Copysign(0.6*u+0.4*u*u*u, p[0])
		assert.InDelta(t, want, p[1], 1e-12)
		assert.Equal(t, s.Curve(p[0]), p[1])
	}
	law := Shape{DeadBand: 0.05, Expo: 0.3}
	for _, p := range s.Drawn(21, law) {
		assert.Equal(t, control.Curve(control.Curve(p[0], 0.1, 0.4), 0.05, 0.3), p[1])
	}
	assert.ErrorContains(t, Shape{0.6, 2}.Validate(), "expo")
}

// TestActionsRoundTrip: goal: every action is written and read as the same.
func TestActionsRoundTrip(t *testing.T) {
	var all []Action
	for _, k := range []Kind{DoArm, DoCutOff, DoSelector, DoPause, DoAgain, DoHelp} {
		all = append(all, Do(k))
	}
	for r := range hands.ResponseWords() {
		all = append(all, Select(hands.Response(r)))
	}
	for c := range hands.CallWords() {
		all = append(all, Call(hands.Call(c+1)))
	}
	for s := range hands.StepWords() {
		all = append(all, Step(hands.Step(s+1)))
	}
	for h := range Halves {
		all = append(all, Stick(h))
	}
	for _, a := range all {
		got, err := ParseAction(a.String())
		require.NoError(t, err)
		assert.Equal(t, a, got)
	}
	for in, want := range map[string]string{
		"": "is no action", "jump": "is no action", "nothing": "is no action", "arm now": "stands alone",
		"select": "after select comes one of rate", "call ": "after call comes", "step dance": "battery-in"} {
		_, err := ParseAction(in)
		assert.ErrorContains(t, err, want, in)
	}
}

// TestKeySets: goal: every ready set can be flown, one hand's keys do not collide,
// names are read as they are written.
func TestKeySets(t *testing.T) {
	for s := range keySets {
		k := DefaultKeyboard()
		k.Keys = SetOf(s)
		require.NoError(t, k.Validate(), "%s", s)
	}
	for key, name := range keyNames {
		got, ok := ParseKey(name)
		assert.True(t, ok && got == key, name)
	}
	k := DefaultKeyboard()
	x := Key('X')
	k.Bind(x, Do(DoCutOff))
	assert.Equal(t, []Key{x}, k.KeysFor(Do(DoCutOff)))
	require.NoError(t, k.Validate())
	delete(k.Keys, x)
	k.Rise = 0
	err := k.Validate()
	assert.ErrorContains(t, err, `no key for "cut-off"`)
	assert.ErrorContains(t, err, "rise")
}

// TestSwitchPositions: goal: two and three positions from axes and buttons, with
// the overlap that keeps noise from chattering.
func TestSwitchPositions(t *testing.T) {
	axis := Source{Kind: FromAxis, Index: 0}
	pair := Source{Kind: FromButtons, Index: 0, Second: 1}
	for _, c := range []struct {
		name      string
		s         Source
		positions int
		was, want uint8
		x         float32
		buttons   []bool
	}{
		{"two low", axis, 2, 0, 0, -1, nil}, {"two high", axis, 2, 0, 1, 0.2, nil},
		{"two within the overlap from low", axis, 2, 0, 0, 0.05, nil}, {"two within the overlap from high", axis, 2, 1, 1, -0.05, nil},
		{"three low", axis, 3, 1, 0, -1, nil}, {"three middle", axis, 3, 0, 1, 0, nil}, {"three high", axis, 3, 1, 2, 1, nil},
		{"three from low to high", axis, 3, 0, 2, 1, nil}, {"three overlap below high", axis, 3, 2, 2, 0.45, nil}, {"three overlap below middle", axis, 3, 1, 1, 0.55, nil},
		{"reversed", Source{Kind: FromAxis, Reverse: true}, 3, 1, 0, 1, nil},
		{"no such axis", Source{Kind: FromAxis, Index: 9}, 3, 2, 2, 1, nil},
		{"pair low", pair, 3, 1, 0, 0, []bool{true, false}}, {"pair middle", pair, 3, 1, 1, 0, []bool{false, false}}, {"pair high", pair, 3, 1, 2, 0, []bool{false, true}},
		{"button reversed", Source{Kind: FromButton, Reverse: true}, 2, 0, 1, 0, []bool{false}},
	} {
		r := Reading{Axes: []float32{c.x}, Buttons: c.buttons}
		assert.Equal(t, c.want, c.s.position(&r, c.positions, c.was), c.name)
	}
	bad := Switch{Does: Call(hands.CallStop), Positions: 3, Style: StyleToggle}
	assert.ErrorContains(t, bad.Validate(), "one button has two positions")
	assert.ErrorContains(t, bad.Validate(), "style toggle")
}

// TestCalibration: goal: a person who follows the steps gets a profile that fits
// the device. Method: a made-up transmitter with noise, short ends, axes in an
// odd order, one reversed, a throttle that holds, a three-position switch on an
// axis; then the profile is flown.
func TestCalibration(t *testing.T) {
	now, noise := time.Duration(0), float32(0.004)
	r := Reading{GUID: "t", Name: "Transmitter", Axes: []float32{0.02, -0.9, 0, 0.01, -1}, Buttons: make([]bool, 4)}
	c := NewCalibration(&r)
	feed := func(d time.Duration) {
		for end := now + d; now < end; now += 4 * ms {
			noise = -noise
			moved := r
			moved.At = now
			moved.Axes = append([]float32(nil), r.Axes...)
			for i := range moved.Axes {
				moved.Axes[i] = min(max(moved.Axes[i]+noise, -1), 1)
			}
			c.Feed(&moved)
		}
	}
	to := func(axis int, x float32) {
		r.Axes[axis] = x
		feed(40 * ms)
	}
	feed(300 * ms)
	assert.False(t, c.Ready(), "too short")
	to(0, 0.3)
	to(0, 0.02)
	feed(400 * ms)
	assert.False(t, c.Ready(), "it was moved")
	feed(200 * ms)
	require.True(t, c.Ready())
	c.Next()
	require.Equal(t, AskEnds, c.Step())
	for _, a := range []struct {
		axis      int
		low, high float32
		rest      float32
	}{{0, -0.8, 0.85, 0.02}, {1, -0.9, 0.9, -0.9}, {2, -1, 1, 0}, {3, -0.7, 0.7, 0.01}} {
		require.False(t, c.Ready())
		to(a.axis, a.low)
		to(a.axis, a.high)
		to(a.axis, a.rest)
	}
	c.Next()
	for _, s := range []struct {
		step CalibrationStep
		axis int
		to   float32
		rest float32
	}{{AskLeftUp, 1, 0.9, -0.9}, {AskLeftRight, 3, -0.7, 0.01}, {AskRightUp, 2, 1, 0}, {AskRightRight, 0, 0.85, 0.02}} {
		require.Equal(t, s.step, c.Step())
		require.False(t, c.Ready())
		to(s.axis, s.to)
		require.True(t, c.Ready(), "%s", s.step)
		to(s.axis, s.rest)
		c.Next()
	}
	require.Equal(t, AskThrottle, c.Step())
	require.False(t, c.Ready())
	c.Declare(control.Holds)
	c.Next()
	c.Learn(Selector(hands.Attitude, hands.HeightHold, hands.PositionHold), &r)
	to(4, 1)
	require.False(t, c.Learning())
	c.Learn(TwoWay(Do(DoCutOff), StylePosition), &r)
	r.Buttons[2] = true
	feed(20 * ms)
	require.True(t, c.Ready())
	c.Next()
	require.Equal(t, AskDone, c.Step())

	p, err := c.Profile()
	require.NoError(t, err)
	assert.Equal(t, [Places]int{LeftX: 3, LeftY: 1, RightX: 0, RightY: 2}, [Places]int{p.Sticks[0].Axis, p.Sticks[1].Axis, p.Sticks[2].Axis, p.Sticks[3].Axis})
	assert.True(t, p.Sticks[LeftX].Travel.Reverse)
	assert.InDelta(t, 0.04, c.DeadBand(), 1e-9, "the noise is small: the default stands")

	m := NewMapper(DefaultTaste())
	m.Use("t", &p)
	r.Axes = []float32{-0.8, 0.9, 0, -0.7, 1}
	m.Poll(now, []Reading{r})
	var h hands.Hands
	m.Act(nil, &h)
	assert.Equal(t, hands.Hands{Throttle: 1000, Roll: -1000, Yaw: 1000, Response: hands.PositionHold, CutOff: true}, near(h, 8))
}

// near rounds sticks that are within by of their ends or the centre.
func near(h hands.Hands, by int16) hands.Hands {
	for _, x := range []*int16{&h.Throttle, &h.Roll, &h.Pitch, &h.Yaw} {
		for _, to := range []int16{-1000, 0, 1000} {
			if d := *x - to; d <= by && d >= -by {
				*x = to
			}
		}
	}
	return h
}

// TestCalibrationGoesBack: goal: a step that went wrong can be done again.
func TestCalibrationGoesBack(t *testing.T) {
	r := Reading{Axes: make([]float32, 4)}
	c := NewCalibration(&r)
	c.Next()
	assert.Equal(t, AskRest, c.Step(), "not before it is ready")
	r.At = time.Second
	c.Feed(&r)
	c.Next()
	for i := range r.Axes {
		for _, x := range []float32{-1, 1, 0} {
			r.Axes[i] = x
			c.Feed(&r)
		}
	}
	c.Next()
	r.Axes[2] = 1
	c.Feed(&r)
	require.True(t, c.Ready())
	c.Next()
	c.Back(&r)
	assert.Equal(t, AskLeftUp, c.Step())
	assert.False(t, c.Ready())
	r.Axes[2], r.Axes[1] = 0, -1
	c.Feed(&r)
	require.True(t, c.Ready())
	assert.Equal(t, 1, c.found[LeftY].Axis)
	_, err := c.Profile()
	assert.Error(t, err, "the other sticks have no axis yet")
}

// TestDefaultProfiles: goal: any device can be flown at once; a guess is marked.
func TestDefaultProfiles(t *testing.T) {
	for _, pad := range []bool{true, false} {
		r := Reading{Name: "x", Gamepad: pad, Axes: make([]float32, 6)}
		p := DefaultProfile(&r)
		require.NoError(t, p.Validate())
		assert.Equal(t, !pad, p.Guessed)
		assert.True(t, r.Flyable())
	}
	assert.False(t, (&Reading{Axes: make([]float32, 3)}).Flyable())
	taste := DefaultTaste()
	require.NoError(t, taste.Validate())
	taste.Layout, taste.Shape.Expo = 5, -1
	assert.ErrorContains(t, taste.Validate(), "layout 5")
	assert.ErrorContains(t, taste.Validate(), "expo")
}
