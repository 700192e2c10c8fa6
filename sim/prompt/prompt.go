// Package prompt is the drill of finding switches without looking: a voice asks
// for a switch, again and again, in an order that nobody knows.
//
// It stands apart because it needs nothing of the craft. The way of the data:
//
//  1. Params says how often, what may be asked for, and how long to wait
//  2. a switch is asked for after a wait that the seed gives: one that does not
//     stand so already
//  3. the hands answer, or move something else
//  4. facts are read off the state: times, wrong switches (facts.go)
package prompt

import (
	"errors"
	"fmt"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

// Never stands for a tick that has not come.
const Never int64 = -1

// MaxPrompts bounds how often a switch is asked for in one run.
const MaxPrompts = 20

// Ask is what is asked for aloud.
type Ask uint8

// The asks.
const (
	AskNone Ask = iota
	CutOffOn
	CutOffOff
	Arm
	Disarm
	Attitude
	HeightHold
	PositionHold
	askCount
)

var askWords = [askCount]string{"", "cut-off-on", "cut-off-off", "arm", "disarm", "attitude", "height-hold", "position-hold"}

// String returns the word for a.
func (a Ask) String() string {
	if a >= askCount {
		return "unknown"
	}
	return askWords[a]
}

// ParseAsk returns the ask called w.
func ParseAsk(w string) (Ask, bool) {
	for i, candidate := range askWords {
		if candidate == w && i > 0 {
			return Ask(i), true
		}
	}
	return AskNone, false
}

// AskWords lists the asks' words.
func AskWords() []string { return askWords[1:] }

// Says says a aloud.
func (a Ask) Says() string {
	return [...]string{"", "cut-off: on", "cut-off: off", "arm", "disarm", "attitude", "height-hold", "position-hold"}[min(a, askCount-1)]
}

// Answers tells whether the switches of h stand as a asks.
func (a Ask) Answers(h *hands.Hands) bool {
	switch a {
	case CutOffOn:
		return h.CutOff
	case CutOffOff:
		return !h.CutOff
	case Arm:
		return h.Armed
	case Disarm:
		return !h.Armed
	case Attitude:
		return h.Response == hands.Attitude
	case HeightHold:
		return h.Response == hands.HeightHold
	case PositionHold:
		return h.Response == hands.PositionHold
	}
	return true
}

// Params is the drill of one run. It never changes in a run.
type Params struct {
	Count int            // how often, 0 … MaxPrompts; 0: nothing is asked for
	May   [askCount]bool // what may be asked for

	LeastTicks int64 // shortest wait before an ask, ≥ 0
	MeanTicks  int64 // mean of the exponential wait above it, ≥ 0
	CapTicks   int64 // longest wait above it, ≥ 0
	Patience   int64 // ticks after which an ask is given up, > 0
}

// Default returns the waits of an everyday drill, with nothing asked for. The
// wait above the least is exponential, so that the chance of an ask does not rise
// as time passes (R. D. Luce, Response Times, 1986, on foreperiods; from memory).
func Default() Params {
	return Params{LeastTicks: 1500, MeanTicks: 1500, CapTicks: 6000, Patience: 6000}
}

// Validate reports everything that is wrong with p.
func (p *Params) Validate() error {
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	if p.Count < 0 || p.Count > MaxPrompts {
		fault("%d, must be 0 … %d", p.Count, MaxPrompts)
	}
	if p.Count > 0 && !p.pairs() {
		fault("nothing can be asked for twice; name both ways of a switch, or two response types")
	}
	for _, t := range []int64{p.LeastTicks, p.MeanTicks, p.CapTicks} {
		if t < 0 {
			fault("a wait of %d ms, must be 0 or more", t)
		}
	}
	if p.Patience <= 0 {
		fault("given up after %d ms, must be above 0", p.Patience)
	}
	return errors.Join(errs...)
}

// pairs tells whether something can always be asked for, wherever the switches
// stand: both ways of a switch, or two response types.
func (p *Params) pairs() bool {
	responses := 0
	for a := Attitude; a < askCount; a++ {
		if p.May[a] {
			responses++
		}
	}
	return p.May[CutOffOn] && p.May[CutOffOff] || p.May[Arm] && p.May[Disarm] || responses > 1
}

// State is what of the drill changes. A plain value.
type State struct {
	Next  int64 // which prompt is asked for, or comes next
	DueAt int64 // tick at which it comes
	Now   Ask   // what is asked for now, AskNone between two
	Were  hands.Hands
	Stray int64 // tick since which the selector stands where nobody asked, Never while it does not

	Asked    [MaxPrompts]Ask
	AskedAt  [MaxPrompts]int64
	Answered [MaxPrompts]int64 // Never where it was given up, or is still to come
	Wrong    [MaxPrompts]bool  // another switch was moved first
}

// Start returns the drill before tick 0.
func Start(p *Params, seed uint64) State {
	s := State{Stray: Never}
	for i := range s.AskedAt {
		s.AskedAt[i], s.Answered[i] = Never, Never
	}
	s.DueAt = p.wait(seed, 0)
	return s
}

var (
	streamWait  = kernel.NewStream("prompt wait")
	streamOrder = kernel.NewStream("prompt order")
)

// wait returns the wait before prompt i (ticks).
func (p *Params) wait(seed uint64, i int64) int64 {
	more := float64(float64(p.MeanTicks) * kernel.Exponential(seed, streamWait, 0, uint64(i)))
	return p.LeastTicks + int64(min(more, float64(p.CapTicks)))
}

// Listen takes in how the hands stand at this look.
func (s *State) Listen(p *Params, h *hands.Hands, seed uint64, tick int64) {
	if s.Next >= int64(p.Count) {
		return
	}
	if s.Now == AskNone {
		if tick >= s.DueAt {
			s.ask(p, h, seed, tick)
		}
		return
	}
	s.hear(p, h, seed, tick)
}

// ask asks for a switch that does not stand so already.
func (s *State) ask(p *Params, h *hands.Hands, seed uint64, tick int64) {
	open := 0
	for a := AskNone + 1; a < askCount; a++ {
		if p.May[a] && !a.Answers(h) {
			open++
		}
	}
	if open == 0 {
		return
	}
	nth := int(kernel.Bits(seed, streamOrder, 0, uint64(s.Next)) % uint64(open))
	for a := AskNone + 1; a < askCount; a++ {
		if !p.May[a] || a.Answers(h) {
			continue
		}
		if nth == 0 {
			s.Now, s.Asked[s.Next], s.AskedAt[s.Next] = a, a, tick
			s.Were, s.Stray = *h, Never
			return
		}
		nth--
	}
}

// hear looks whether the hands have answered, or moved something else.
func (s *State) hear(p *Params, h *hands.Hands, seed uint64, tick int64) {
	i := s.Next
	s.Wrong[i] = s.Wrong[i] || s.strays(h, tick)
	switch {
	case s.Now.Answers(h):
		s.Answered[i] = tick
	case tick-s.AskedAt[i] < p.Patience:
		return
	}
	s.Now = AskNone
	s.Next++
	s.DueAt = tick + p.wait(seed, s.Next)
}

// passing is how long a selector may stand at a position on its way to another
// (ticks). A judgement.
const passing = 500

// strays tells whether a switch that nobody asked for has been moved. The
// selector may pass through other positions, but not stay there.
func (s *State) strays(h *hands.Hands, tick int64) bool {
	cut := h.CutOff != s.Were.CutOff && s.Now != CutOffOn && s.Now != CutOffOff
	arm := h.Armed != s.Were.Armed && s.Now != Arm && s.Now != Disarm
	if h.Response == s.Were.Response || s.Now >= Attitude && s.Now.Answers(h) {
		s.Stray = Never
		return cut || arm
	}
	if s.Stray == Never {
		s.Stray = tick
	}
	return cut || arm || s.Now < Attitude || tick-s.Stray >= passing
}
