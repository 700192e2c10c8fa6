// Package trials flies many rehearsals and keeps of each what a table needs.
//
//  1. row.go says what is left of one flight
//  2. matrix.go flies scenarios × pilots × seeds on all cores; the rows do not
//     depend on how many those are
//  3. sitting.go takes one person through a course: what comes next, and whether
//     the standard for moving on is met
//  4. summary.go counts rows: GO, hits, false alarms, times
//
// It stands apart because a rehearsal knows nothing of the one before it, and how
// sure the counts are is package tally's to say.
package trials

import (
	"lapwing/sim"
)

// Scenario is something that can be flown under any seed.
type Scenario struct {
	Name      string
	Rehearsal func(seed uint64) sim.Conditions
}
