package devices

import (
	"fmt"
	"strings"

	"lapwing/sim/hands"
)

// Action is something that a button, a switch or a key does.
type Action struct {
	Kind  Kind
	Value uint8 // which response type, call, step, or half axis
}

// Kind is a kind of action.
type Kind uint8

// The kinds.
const (
	DoNothing  Kind = iota
	DoArm           // arming switch
	DoCutOff        // motor cut-off
	DoSelector      // selector of the response type by its position
	DoSelect        // select the response type Value
	DoCall          // call Value aloud
	DoStep          // take step Value
	DoPause         // the station: pause, go on
	DoAgain         // the station: fly it again
	DoHelp          // the station: help
	DoStick         // keys only: move an axis; Value is a Half
	kinds
)

var kindWords = [kinds]string{"nothing", "arm", "cut-off", "selector", "select", "call", "step", "pause", "again", "help", "stick"}

// Half is one way of an axis of command.
type Half uint8

// The halves. Each pair is positive, negative, in the order of the axes.
const (
	ThrottleUp Half = iota
	ThrottleDown
	RollRight
	RollLeft
	PitchForward
	PitchBack
	YawRight
	YawLeft
	Halves // how many there are
)

var halfWords = [Halves]string{"throttle-up", "throttle-down", "roll-right", "roll-left", "pitch-forward", "pitch-back", "yaw-right", "yaw-left"}

// Stick returns the action that moves h.
func Stick(h Half) Action { return Action{DoStick, uint8(h)} }

// Select returns the action that selects r.
func Select(r hands.Response) Action { return Action{DoSelect, uint8(r)} }

// Call returns the action that calls c.
func Call(c hands.Call) Action { return Action{DoCall, uint8(c)} }

// Step returns the action that takes s.
func Step(s hands.Step) Action { return Action{DoStep, uint8(s)} }

// Do returns an action that needs no value.
func Do(k Kind) Action { return Action{Kind: k} }

// String returns the words for a, as they stand in a file: "cut-off",
// "select attitude", "call area-clear", "stick yaw-left".
func (a Action) String() string {
	if words := a.values(); words != nil && int(a.Value) < len(words) {
		return kindWords[a.Kind] + " " + words[a.Value]
	}
	return kindWords[min(a.Kind, kinds-1)]
}

// values lists the words that Value can be; nil where there is no value.
func (a Action) values() []string {
	switch a.Kind {
	case DoSelect:
		return hands.ResponseWords()
	case DoCall:
		return append([]string{""}, hands.CallWords()...)
	case DoStep:
		return append([]string{""}, hands.StepWords()...)
	case DoStick:
		return halfWords[:]
	}
	return nil
}

// ParseAction returns the action that w says.
func ParseAction(w string) (Action, error) {
	kind, value, _ := strings.Cut(w, " ")
	for k, word := range kindWords {
		if word != kind || word == kindWords[DoNothing] {
			continue
		}
		a := Action{Kind: Kind(k)}
		words := a.values()
		if words == nil && value == "" {
			return a, nil
		}
		for i, candidate := range words {
			if candidate != "" && candidate == value {
				a.Value = uint8(i)
				return a, nil
			}
		}
		if words == nil {
			return Action{}, fmt.Errorf("%q: %s stands alone", w, kind)
		}
		return Action{}, fmt.Errorf("%q: after %s comes one of %s", w, kind, strings.TrimLeft(strings.Join(words, ", "), ", "))
	}
	return Action{}, fmt.Errorf("%q is no action: there are %s", w, strings.Join(kindWords[1:], ", "))
}

// momentary tells whether a happens once at a press, and has no position.
func (a Action) momentary() bool {
	switch a.Kind {
	case DoArm, DoCutOff, DoSelector, DoStick:
		return false
	}
	return true
}
