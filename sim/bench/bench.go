// Package bench is the work at the craft's place before a flight: the inspection
// list, battery and transmitter in their order, propellers on or off.
//
// It stands apart because nothing of it flies: it is worked by steps of the
// hands alone, and what it holds is what a person did with their eyes and
// fingers. The way of the data:
//
//  1. Params lists the places that this craft in this room has, in walking
//     order, and the state that each is in: as the scenario says, or drawn by
//     seed (params.go)
//  2. a step of the hands looks at a place, ticks it good or bad, puts the
//     battery in or out, switches the transmitter (this file)
//  3. what is looked at is shown to the person, and to nobody else
//  4. facts are read off the state: complete, found, missed, false (facts.go)
package bench

import "lapwing/sim/hands"

// Never stands for a tick that has not come.
const Never int64 = -1

// MaxItems bounds the inspection list: every place once, the propeller for each
// of eight rotors.
const MaxItems = int(placeCount) - 2 + 8

// State is what of the bench changes. A plain value.
type State struct {
	Looking int64           // 1 + item that is looked at, 0 none
	Looked  [MaxItems]int64 // tick of the first look at each item
	Ticked  [MaxItems]int64 // tick at which each item was ticked last
	Bad     [MaxItems]bool  // it was ticked as not sound
	Last    int64           // item that was ticked last, −1 before
	Astray  int64           // how often an item was ticked before one ahead of it in the walk

	BatteryIn     bool
	BatteryAt     int64 // tick of the last change, Never before
	TransmitterOn bool
	TransmitterAt int64
	OutOfOrder    bool // the battery went in while the transmitter was off
}

// Start returns the bench before tick 0.
func Start(p *Params) State {
	s := State{Last: -1, BatteryIn: p.BatteryIn, TransmitterOn: p.TransmitterOn, BatteryAt: Never, TransmitterAt: Never}
	for i := range s.Looked {
		s.Looked[i], s.Ticked[i] = Never, Never
	}
	return s
}

// Take takes the step that the hands take at this look. reach tells that the
// craft is within it: nobody pulls the battery out of a craft that flies.
func (s *State) Take(p *Params, h *hands.Hands, reach bool, tick int64) {
	switch h.Step {
	case hands.StepNone:
	case hands.StepLook:
		s.look(p, h.Item, tick)
	case hands.StepTickGood, hands.StepTickBad:
		s.tick(p, h.Item, h.Step == hands.StepTickBad, tick)
	case hands.StepBatteryIn, hands.StepBatteryOut:
		if reach {
			s.battery(h.Step == hands.StepBatteryIn, tick)
		}
	case hands.StepTransmitterOn, hands.StepTransmitterOff:
		s.transmitter(h.Step == hands.StepTransmitterOn, tick)
	default:
		s.Looking = 0
	}
}

func (s *State) look(p *Params, item uint8, tick int64) {
	if int(item) >= p.Count {
		return
	}
	s.Looking = 1 + int64(item)
	if s.Looked[item] == Never {
		s.Looked[item] = tick
	}
}

// tick ticks an item; a later tick stands for an earlier one.
func (s *State) tick(p *Params, item uint8, bad bool, tick int64) {
	if int(item) >= p.Count {
		return
	}
	if s.Ticked[item] == Never {
		for i := range int(item) {
			if s.Ticked[i] == Never {
				s.Astray++
				break
			}
		}
	}
	s.Ticked[item], s.Bad[item], s.Last = tick, bad, int64(item)
	s.Looking = 0
}

func (s *State) battery(in bool, tick int64) {
	s.Looking = 0
	if in == s.BatteryIn {
		return
	}
	s.BatteryIn, s.BatteryAt = in, tick
	s.OutOfOrder = s.OutOfOrder || in && !s.TransmitterOn
}

func (s *State) transmitter(on bool, tick int64) {
	s.Looking = 0
	if on != s.TransmitterOn {
		s.TransmitterOn, s.TransmitterAt = on, tick
	}
}

// Shown returns what the eye has before it: 1 + the item that is looked at and
// the state it is in; zeros while nothing is looked at.
func (s *State) Shown(p *Params) (item uint8, state Finding) {
	if s.Looking == 0 {
		return 0, Sound
	}
	return uint8(s.Looking), p.Items[s.Looking-1].State
}
