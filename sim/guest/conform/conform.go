// Package conform tells what is wrong with a control law before it flies: signs,
// frames, limits, determinism, what each stick and each error does.
//
//  1. a law that has not run is held in a hover that does not move (trial.go)
//  2. one thing is changed, and what the law's duties would do to the craft is
//     compared with the same hover without the change (probes.go)
//  3. the same questions are asked twice, and from a copy of its memory (same.go)
//  4. great errors are shown to it, and its answers held to limits (limits.go)
//  5. it flies the craft, is nudged, and should come to rest (flights.go)
//
// The built-in law and laws from outside, whole or one stage, go through the
// same: where a stage is checked the built-in law does the rest.
//
// It stands apart because it asks a law questions that no flight asks.
package conform

import (
	"fmt"

	"lapwing/dynamics"
	"lapwing/sim/control"
)

// Bench is the law to be checked and the craft it is checked on.
type Bench struct {
	Craft *dynamics.Craft // prepared
	Place *dynamics.Place
	Law   *control.Params
	Stage control.Stage                 // that the law from outside takes, BuiltIn for none
	Start func() (control.Guest, error) // a law from outside that has not been asked; nil for the built-in law
}

// Finding is something about a law that its developer should know.
type Finding struct {
	Grave bool // an error rather than a note
	Says  string
}

// Report is what a check came to.
type Report struct {
	Checks int // made
	Found  []Finding
}

// Sound tells whether nothing grave was found.
func (r *Report) Sound() bool {
	for i := range r.Found {
		if r.Found[i].Grave {
			return false
		}
	}
	return true
}

func (r *Report) find(grave bool, format string, args ...any) {
	r.Found = append(r.Found, Finding{grave, fmt.Sprintf(format, args...)})
}

// Check checks a law. An error is one of the law itself: it trapped, ran away,
// crashed, or answered with something that is not a number.
func Check(b *Bench) (Report, error) {
	var r Report
	for _, check := range []func(*Bench, *Report) error{checkSame, checkProbes, checkLimits, checkFloor, checkFlights} {
		if err := check(b, &r); err != nil {
			return r, err
		}
	}
	return r, nil
}

// concerns tells whether the stage that a check looks at is, or leads through,
// the part that the law takes.
func (b *Bench) concerns(stage control.Stage) bool {
	return b.Stage == control.BuiltIn || b.Stage == control.Whole || stage <= b.Stage
}
