package pilot

import (
	"math"

	"lapwing/sim/percept"
)

// look is the time between two percepts, in seconds.
const look = percept.Every * 0.001

// crossover is the simplest model of a person who keeps an error small: whatever
// the plant is, person and plant together act like ωc·e^(−τ·s)/s near the
// crossover frequency ωc (D. T. McRuer, D. Graham, E. S. Krendel, W. Reisener,
// "Human pilot dynamics in compensatory systems", AFFDL-TR-65-15, 1965, from
// memory). The phase margin is π/2 − ωc·τ and the loop swings without end at
// ωc = π/(2τ).
type crossover struct {
	omega float64 // rad/s, crossover frequency
	delay float64 // s, effective delay of eye, head and hand
}

// phaseMargin returns π/2 − ωc·τ (rad).
func (c crossover) phaseMargin() float64 { return math.Pi/2 - float64(c.omega*c.delay) }

// limit returns the crossover frequency (rad/s) at which a loop of this delay
// swings without end.
func (c crossover) limit() float64 { return math.Pi / (2 * c.delay) }

// looksBack returns how many looks old the information is that a person of
// effective delay d (s) acts on. Hands stand still between two looks, which by
// itself delays by half a look.
func looksBack(d float64) float64 { return min(max(d/look-0.5, 0), ringLength-2) }
