package flow

import (
	"fmt"
	"math"
	"strings"

	"lapwing/render/devices"
	"lapwing/render/words"
	"lapwing/sim/hands"
	"lapwing/sim/pilot"
)

// Bindable lists every action that a key can do, in the order of the page.
func Bindable() []devices.Action {
	var all []devices.Action
	for h := range devices.Halves {
		all = append(all, devices.Stick(h))
	}
	all = append(all, devices.Do(devices.DoCutOff), devices.Do(devices.DoArm))
	for i := range hands.ResponseWords() {
		all = append(all, devices.Select(hands.Response(i)))
	}
	for i := range hands.CallWords() {
		all = append(all, devices.Call(hands.Call(i+1)))
	}
	for i := range hands.StepWords() {
		all = append(all, devices.Step(hands.Step(i+1)))
	}
	return append(all, devices.Do(devices.DoPause), devices.Do(devices.DoAgain), devices.Do(devices.DoHelp))
}

// ActionWords says an action to a person.
func ActionWords(a devices.Action) string {
	_, value, _ := strings.Cut(a.String(), " ")
	what := strings.ReplaceAll(value, "-", " ")
	switch a.Kind {
	case devices.DoSelect:
		return words.Say("does.select", "what", value)
	case devices.DoCall:
		return words.Say("does.call", "what", CallWords(hands.Call(a.Value)))
	case devices.DoStep:
		return words.Say("does.step", "what", what)
	case devices.DoStick:
		return words.Of("half", value)
	}
	return words.Of("does", a.String())
}

// CallWords is what is said aloud at a call.
func CallWords(c hands.Call) string {
	if words.Has("call", c.String()) {
		return words.Of("call", c.String())
	}
	return strings.ReplaceAll(c.String(), "-", " ")
}

// KeyWords says a key to a person.
func KeyWords(k devices.Key) string {
	name := k.String()
	if words.Has("key", name) {
		return words.Of("key", name)
	}
	if len(name) == 1 || name[0] == 'f' && len(name) <= 3 {
		return strings.ToUpper(name)
	}
	return strings.ReplaceAll(name, "-", " ")
}

// KeysFor says which keys do an action.
func KeysFor(k *devices.Keyboard, a devices.Action) string {
	var all []string
	for _, key := range k.KeysFor(a) {
		all = append(all, KeyWords(key))
	}
	return strings.Join(all, ", ")
}

// ButtonFor says which button or axis of a device does an action; "" for none.
func ButtonFor(p *devices.Profile, gamepad bool, a devices.Action) string {
	for i := range p.Switches {
		s := &p.Switches[i]
		if s.Does != a {
			continue
		}
		if s.From.Kind == devices.FromAxis {
			return words.Say("pad.axis", "number", s.From.Index+1)
		}
		if word := padWord(s.From.Index); gamepad && word != "" {
			return words.Of("pad", word)
		}
		return words.Say("pad.button", "number", s.From.Index+1)
	}
	return ""
}

// padWord is the key of texts for a button of a gamepad in the standard order.
func padWord(i int) string {
	list := [...]string{"south", "east", "west", "north", "left-shoulder", "right-shoulder", "back", "start", "guide",
		"left-thumb", "right-thumb", "up", "right", "down", "left"}
	if i < 0 || i >= len(list) {
		return ""
	}
	return list[i]
}

// SourceWords says which button or axis works a switch.
func SourceWords(s *devices.Switch) string {
	if s.From.Kind == devices.FromAxis {
		return words.Say("pad.axis", "number", s.From.Index+1)
	}
	return words.Say("pad.button", "number", s.From.Index+1)
}

// LegWords says a leg of a plan.
func LegWords(l *pilot.Leg) string {
	switch l.Do {
	case pilot.LegCall:
		return words.Say("leg.call", "what", CallWords(l.Call))
	case pilot.LegStep:
		return words.Say("leg.step", "what", strings.ReplaceAll(l.Step.String(), "-", " "))
	case pilot.LegLift:
		return words.Say("leg.lift", "height", l.Height)
	case pilot.LegEngage:
		return words.Say("leg.engage", "what", l.Response)
	case pilot.LegHold:
		return words.Say("leg.hold", "seconds", l.For/1000)
	case pilot.LegTurn:
		return words.Say("leg.turn", "degrees", fmt.Sprintf("%.0f", l.Angle*180/math.Pi))
	}
	if words.Has("leg", l.Do.String()) {
		return words.Of("leg", l.Do.String())
	}
	return words.Say("leg.other")
}

// LegAction is what is pressed for a leg; false where it is flown.
func LegAction(l *pilot.Leg) (devices.Action, bool) {
	switch l.Do {
	case pilot.LegCall:
		return devices.Call(l.Call), true
	case pilot.LegStep:
		return devices.Step(l.Step), true
	case pilot.LegArm, pilot.LegDisarm:
		return devices.Do(devices.DoArm), true
	case pilot.LegEngage:
		return devices.Select(l.Response), true
	case pilot.LegTakeOver:
		return devices.Select(hands.Attitude), true
	case pilot.LegCutOff:
		return devices.Do(devices.DoCutOff), true
	case pilot.LegLift:
		return devices.Stick(devices.ThrottleUp), true
	case pilot.LegLand:
		return devices.Stick(devices.ThrottleDown), true
	}
	return devices.Action{}, false
}
