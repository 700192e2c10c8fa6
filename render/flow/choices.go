package flow

import (
	"fmt"

	"lapwing/render/devices"
	"lapwing/render/words"
	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// handsItems are what the page of the device offers.
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
