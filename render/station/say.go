package station

import (
	"lapwing/render/devices"
	"lapwing/render/flow"
	"lapwing/render/pages"
	"lapwing/render/words"
)

// stickWords says how a half axis is moved: keys, or which stick.
func (s *Station) stickWords(a, b devices.Half) string {
	if s.inUse.GUID == "" {
		k := &s.model.Taste.Taste.Keyboard
		return flow.KeysFor(k, devices.Stick(a)) + " " + flow.KeysFor(k, devices.Stick(b))
	}
	place := s.model.Taste.Taste.Layout.Of(devices.Axis(a / 2))
	return words.Of("place", [...]string{"left-x", "left-y", "right-x", "right-y"}[place])
}

func (s *Station) guideText() string {
	arm, cut := s.pressFor(devices.Do(devices.DoArm)), s.pressFor(devices.Do(devices.DoCutOff))
	switch s.model.Guide.Word() {
	case "lean":
		keys := s.stickWords(devices.PitchForward, devices.PitchBack)
		if other := s.stickWords(devices.RollLeft, devices.RollRight); s.inUse.GUID == "" || other != keys {
			keys += ", " + other
		}
		return words.Say("guide.lean", "keys", keys)
	case "climb":
		return words.Say("guide.climb", "keys", s.stickWords(devices.ThrottleUp, devices.ThrottleDown))
	case "turn":
		return words.Say("guide.turn", "keys", s.stickWords(devices.YawLeft, devices.YawRight))
	case "land":
		down := s.moveFor(devices.Stick(devices.ThrottleDown))
		return words.Say("guide.land", "down", down, "arm", arm)
	case "cut-off":
		return words.Say("guide.cut-off", "cut", cut)
	case "lift":
		return words.Say("guide.lift", "cut", cut, "arm", arm)
	}
	return words.Say("guide.done")
}

// helpText is the help, with the keys and buttons as they are now.
func (s *Station) helpText() []pages.Section {
	list := func(title string, actions ...devices.Action) pages.Section {
		section := pages.Section{Title: title}
		for _, a := range actions {
			section.Pairs = append(section.Pairs, [2]string{flow.ActionWords(a), s.both(a)})
		}
		return section
	}
	var sticks, switches, calls, steps []devices.Action
	for _, a := range flow.Bindable() {
		if s.both(a) == words.Say("keys.none") {
			continue
		}
		switch a.Kind {
		case devices.DoStick:
			sticks = append(sticks, a)
		case devices.DoCall:
			calls = append(calls, a)
		case devices.DoStep:
			steps = append(steps, a)
		case devices.DoPause, devices.DoAgain, devices.DoHelp:
		default:
			switches = append(switches, a)
		}
	}
	about := pages.Section{Title: words.Say("help.flying"), Lines: []string{words.Say("help.about-1"), words.Say("help.about-2"), words.Say("help.about-3"), words.Say("help.about-4")}}
	station := list(words.Say("help.station"), devices.Do(devices.DoPause), devices.Do(devices.DoAgain), devices.Do(devices.DoHelp))
	station.Pairs = append(station.Pairs, [2]string{words.Say("help.menu"), words.Of("key", "escape")}, [2]string{words.Say("help.view"), "F2"})
	return []pages.Section{about, list(words.Say("help.sticks"), sticks...), list(words.Say("help.switches"), switches...), station,
		list(words.Say("help.calls"), calls...), list(words.Say("help.steps"), steps...)}
}

// both says what of the device and which keys do an action.
func (s *Station) both(a devices.Action) string {
	text := flow.KeysFor(&s.model.Taste.Taste.Keyboard, a)
	if s.inUse.GUID != "" {
		if a.Kind == devices.DoStick {
			half := devices.Half(a.Value)
			return s.stickWords(half, half)
		}
		if button := flow.ButtonFor(&s.profile, s.inUse.Gamepad, a); button != "" {
			if text != "" {
				button += ", " + text
			}
			return button
		}
	}
	if text == "" {
		return words.Say("keys.none")
	}
	return text
}
