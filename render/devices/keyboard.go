package devices

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// Key is a place on the keyboard: letters and digits are their ASCII capitals on
// a US board, the others are numbered as GLFW 3.3 numbers them.
type Key int

// KeySet is a ready set of keys.
type KeySet uint8

// The sets.
const (
	TwoHands  KeySet = iota // throttle and yaw left, pitch and roll on the arrows
	LeftHand                // everything that flies under the left hand
	RightHand               // everything that flies under the right hand
	keySets
)

var keySetWords = [keySets]string{"two-hands", "left-hand", "right-hand"}

// String returns the word for s.
func (s KeySet) String() string { return keySetWords[min(s, keySets-1)] }

// Keyboard is what keys do, and how fast a held key moves an axis. A key is
// either down or not, so times flown with keys are not to be compared with times
// flown with sticks; the record says which.
type Keyboard struct {
	Keys     map[Key]Action
	Rise     float64              // 1/s, half travels a second while a key is held, > 0
	Return   float64              // 1/s, half travels a second back to the centre, > 0
	Throttle control.ThrottleKind // what the throttle does when its keys are let go
}

// DefaultKeyboard is two hands; full stick after 0.4 s, back in 0.2 s
// (judgements), and a throttle that springs to its centre.
func DefaultKeyboard() Keyboard {
	return Keyboard{Keys: SetOf(TwoHands), Rise: 2.5, Return: 5, Throttle: control.SpringsToCentre}
}

// Validate reports every fault at once: an axis that no key moves, a craft that
// no key cuts off, ramps out of range.
func (k *Keyboard) Validate() error {
	var errs []error
	done := map[Action]bool{}
	for _, key := range slices.Sorted(maps.Keys(k.Keys)) {
		a := k.Keys[key]
		done[a] = true
		if _, ok := keyNames[key]; !ok {
			errs = append(errs, fmt.Errorf("key %d has no name", key))
		}
		if a.Kind == DoSelector || a.Kind == DoNothing {
			errs = append(errs, fmt.Errorf("%s: a key cannot be %q", key, a))
		}
	}
	for _, a := range needed() {
		if !done[a] {
			errs = append(errs, fmt.Errorf("no key for %q", a))
		}
	}
	for _, x := range []struct {
		name  string
		value float64
	}{{"rise", k.Rise}, {"return", k.Return}} {
		if !(x.value >= 0.2 && x.value <= 50) {
			errs = append(errs, fmt.Errorf("%s: %g is not within 0.2 to 50", x.name, x.value))
		}
	}
	return errors.Join(errs...)
}

// needed lists the actions without which a craft cannot be flown.
func needed() []Action {
	all := []Action{Do(DoArm), Do(DoCutOff), Select(hands.Attitude)}
	for h := range Halves {
		all = append(all, Stick(h))
	}
	return all
}

// Bind gives key the action a, and takes the action from the key that had it.
func (k *Keyboard) Bind(key Key, a Action) {
	for other, has := range k.Keys {
		if has == a {
			delete(k.Keys, other)
		}
	}
	k.Keys[key] = a
}

// KeysFor lists the keys that do a, in order.
func (k *Keyboard) KeysFor(a Action) []Key {
	var keys []Key
	for key, has := range k.Keys {
		if has == a {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return keys
}

// SetOf returns a fresh copy of a ready set.
func SetOf(s KeySet) map[Key]Action {
	keys := map[Key]Action{}
	put := func(names string, actions ...Action) {
		for i, name := range strings.Fields(names) {
			key, ok := ParseKey(name)
			if !ok {
				panic("devices: no key " + name)
			}
			keys[key] = actions[i]
		}
	}
	sticks := []Action{Stick(ThrottleUp), Stick(ThrottleDown), Stick(YawLeft), Stick(YawRight),
		Stick(PitchForward), Stick(PitchBack), Stick(RollLeft), Stick(RollRight)}
	responses := []Action{Select(hands.Attitude), Select(hands.HeightHold), Select(hands.PositionHold), Select(hands.Path), Select(hands.Rate)}
	both := []Action{Do(DoCutOff), Do(DoArm)}
	switch s {
	case TwoHands:
		put("w s a d up down left right", sticks...)
		put("1 2 3 4 5", responses...)
		put("space enter", both...)
	case LeftHand:
		put("r f q e w s a d", sticks...)
		put("1 2 3 4 5", responses...)
		put("space tab", both...)
	case RightHand:
		put("p semicolon u o i k j l", sticks...)
		put("7 8 9 0 minus", responses...)
		put("right-shift enter", both...)
	}
	put("f5 f6 f7 f8 f9 f10 f11 f12", Call(hands.CallAreaClear), Call(hands.CallTakingOver), Call(hands.CallLinkLost),
		Call(hands.CallStandClear), Call(hands.CallPerson), Call(hands.CallMotorsSafe), Call(hands.CallStop), Call(hands.CallRealWorld))
	put("z x c v b n", Step(hands.StepBatteryIn), Step(hands.StepBatteryOut), Step(hands.StepTransmitterOn),
		Step(hands.StepTransmitterOff), Step(hands.StepApproach), Step(hands.StepPickUp))
	put("pause backspace f1", Do(DoPause), Do(DoAgain), Do(DoHelp))
	return keys
}
