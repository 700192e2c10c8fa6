package bench

import (
	"errors"
	"fmt"

	"lapwing/dynamics/kernel"
)

// Item is one line of the inspection list.
type Item struct {
	Place Place
	Rotor int // of Propeller: 0 … rotors−1
	State Finding
}

// Params is the bench of one run. It never changes in a run.
type Params struct {
	Items [MaxItems]Item // in walking order
	Count int            // 0 where the scenario has no inspection

	AtLeast, AtMost int // discrepancies drawn by seed besides those given, 0 … MaxDrawn

	PropsOff      bool // the propellers are off
	Task          bool // a task at the bench, for which they must be off
	BatteryIn     bool // before tick 0
	TransmitterOn bool // before tick 0
}

// MaxDrawn bounds the discrepancies that are drawn: a list with more than a few
// is no test of looking any more.
const MaxDrawn = 3

// Default returns the bench of a run that begins ready to fly: nothing to
// inspect, battery in, transmitter on, propellers on.
func Default() Params { return Params{BatteryIn: true, TransmitterOn: true} }

// List fills the inspection list, all sound, for a craft with so many rotors,
// with or without guards, in a room with or without a net.
func (p *Params) List(rotors int, guards, net bool) {
	p.Count = 0
	for place := PlaceNone + 1; place < placeCount; place++ {
		times := 1
		switch {
		case place == Propeller:
			times = rotors
		case place == Guards && !guards, place == Net && !net:
			times = 0
		}
		for i := range times {
			p.Items[p.Count] = Item{Place: place, Rotor: i}
			p.Count++
		}
	}
}

// Find returns the item that is a place, of a propeller that of a rotor; −1
// where the list has none.
func (p *Params) Find(place Place, rotor int) int {
	for i := range p.Count {
		it := &p.Items[i]
		if it.Place == place && (place != Propeller || it.Rotor == rotor) {
			return i
		}
	}
	return -1
}

var (
	streamCount = kernel.NewStream("bench discrepancies count")
	streamItem  = kernel.NewStream("bench discrepancies item")
	streamState = kernel.NewStream("bench discrepancies state")
)

// Draw puts in the discrepancies that the seed gives, at places that are sound.
func (p *Params) Draw(seed uint64) {
	sound := 0
	for i := range p.Count {
		if p.Items[i].State == Sound {
			sound++
		}
	}
	n := p.AtLeast + pick(seed, streamCount, 0, p.AtMost-p.AtLeast+1)
	for k := range min(n, sound) {
		p.spoil(pick(seed, streamItem, k, sound-k), seed, k)
	}
}

// spoil gives the nth of the sound items one of its discrepancies.
func (p *Params) spoil(nth int, seed uint64, k int) {
	for i := range p.Count {
		it := &p.Items[i]
		if it.State != Sound {
			continue
		}
		if nth == 0 {
			it.State = choose(it.Place, seed, k)
			return
		}
		nth--
	}
}

// choose returns one of the discrepancies that can stand at a place.
func choose(at Place, seed uint64, k int) Finding {
	n := 0
	for i := range findings {
		if findings[i].place == at {
			n++
		}
	}
	nth := pick(seed, streamState, k, n)
	for i := range findings {
		if findings[i].place != at {
			continue
		}
		if nth == 0 {
			return Finding(i)
		}
		nth--
	}
	panic("bench: a place without discrepancies")
}

// pick returns a whole number 0 … n−1; n must be 1 or more.
func pick(seed uint64, stream kernel.Stream, index, n int) int {
	return int(kernel.Bits(seed, stream, 0, uint64(index)) % uint64(n))
}

// Validate reports everything that is wrong with p.
func (p *Params) Validate() error {
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	if p.Count < 0 || p.Count > MaxItems {
		fault("inspection: %d items, must be 0 … %d", p.Count, MaxItems)
		return errors.Join(errs...)
	}
	if p.AtLeast < 0 || p.AtMost > MaxDrawn || p.AtLeast > p.AtMost {
		fault("inspection: %d to %d discrepancies drawn, must be within 0 … %d", p.AtLeast, p.AtMost, MaxDrawn)
	}
	for i := range p.Count {
		it := &p.Items[i]
		if it.Place == PlaceNone || it.Place >= placeCount {
			fault("inspection: item %d is no place", i)
		} else if it.State != Sound && (int(it.State) >= Findings || it.State.Place() != it.Place) {
			fault("inspection: item %d, %s, cannot be in its state", i, it.Place)
		}
	}
	return errors.Join(errs...)
}
