package devices

import (
	"errors"
	"fmt"

	"lapwing/sim/hands"
)

// SourceKind is what of a device works a switch.
type SourceKind uint8

// The kinds of sources.
const (
	FromButton  SourceKind = iota // one button: two positions, up and down
	FromButtons                   // two buttons: low while the first is down, high while the second is, else middle
	FromAxis                      // an axis, two or three positions
)

// Source is what of a device works a switch.
type Source struct {
	Kind    SourceKind
	Index   int  // of the button or axis
	Second  int  // of the other button, of FromButtons
	Reverse bool // the other way round
}

// Switch is a button, axis or hardware switch of a device with what it does.
type Switch struct {
	Does      Action
	From      Source
	Positions int               // 2 or 3; a momentary action has 2
	Style     Style             // of a two-position switch; else StylePosition
	Responses [3]hands.Response // of DoSelector: low, middle, high; with two positions low and high
}

// Where an axis changes position, as shares of half travel, and the overlap that
// keeps a noisy one from chattering. Judgements: a three-position switch stands
// at −1, 0 and 1, so the changes are about half way.
const (
	twoAt   = 0.0
	threeAt = 0.5
	overlap = 0.1
)

// position returns where the switch stands, 0 low, 1 middle, 2 high, of 3
// positions, or 0 and 1 of 2; was is where it stood before.
func (s *Source) position(r *Reading, positions int, was uint8) uint8 {
	switch s.Kind {
	case FromButton:
		return s.turned(truth(r.button(s.Index)), 2)
	case FromButtons:
		p := uint8(1)
		if r.button(s.Index) {
			p = 0
		} else if r.button(s.Second) {
			p = 2
		}
		return s.turned(p, 3)
	}
	if s.Index < 0 || s.Index >= len(r.Axes) {
		return was
	}
	x := r.axis(s.Index)
	if s.Reverse {
		x = -x
	}
	if positions == 2 {
		return above(x, twoAt, was >= 1)
	}
	return above(x, -threeAt, was >= 1) + above(x, threeAt, was >= 2)
}

// above tells, as 1 or 0, whether x is above at; it must go back by the overlap
// to count as below again.
func above(x, at float64, was bool) uint8 {
	if was {
		return truth(x > at-overlap)
	}
	return truth(x > at+overlap)
}

func (s *Source) turned(p uint8, positions uint8) uint8 {
	if s.Reverse {
		return positions - 1 - p
	}
	return p
}

// Validate reports every fault at once.
func (s *Switch) Validate() error {
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	if s.Does.Kind == DoNothing || s.Does.Kind == DoStick {
		fault("%s: a switch does something else", s.Does)
	}
	if s.From.Index < 0 || s.From.Second < 0 {
		fault("a button or axis is numbered from 0")
	}
	three := s.Positions == 3
	if s.Positions != 2 && !three {
		fault("%d positions: 2 or 3 are possible", s.Positions)
	}
	if three != (s.From.Kind == FromButtons) && s.From.Kind != FromAxis {
		fault("one button has two positions, two buttons have three")
	}
	if three && s.Does.Kind != DoSelector {
		fault("%s: only a selector has three positions", s.Does)
	}
	if s.Style != StylePosition && (s.Does.momentary() || s.Does.Kind == DoSelector) {
		fault("%s: style %s is for the arming switch and the motor cut-off", s.Does, s.Style)
	}
	return errors.Join(errs...)
}

// response returns the response type at position p of a selector.
func (s *Switch) response(p uint8) hands.Response {
	if s.Positions == 2 && p == 1 {
		p = 2
	}
	return s.Responses[p]
}
