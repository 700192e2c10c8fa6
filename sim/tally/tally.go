// Package tally says how sure a count is: shares and their intervals, paired
// comparisons, times of which some never came, and how well an event is told from
// nothing.
//
//  1. share.go gives a share of tries its interval
//  2. pairs.go compares two pilots, or two laws, over the same seeds
//  3. detect.go sets answers to events against answers to nothing
//  4. waits.go takes times of which some were never seen to end
//  5. resample.go gives any other figure an interval, and holm.go many tests one
//     honest answer
//
// It stands apart because it knows no craft and no run: numbers in, numbers out,
// each method held to a worked example from print. Its figures are for reports
// alone and never reach state, so it may use package math.
package tally

import (
	"fmt"
	"math"
)

// Interval is a range that holds the true value with the confidence asked for.
type Interval struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// checkConfidence panics unless confidence lies between 0 and 1: it is written in
// the program, never read from outside.
func checkConfidence(confidence float64) {
	if !(confidence > 0 && confidence < 1) {
		panic(fmt.Sprintf("tally: a confidence of %v is not between 0 and 1", confidence))
	}
}

// checkCount panics unless 0 ≤ some ≤ all.
func checkCount(some, all int) {
	if some < 0 || some > all {
		panic(fmt.Sprintf("tally: %d of %d", some, all))
	}
}

func clamp(x, lo, hi float64) float64 { return math.Min(math.Max(x, lo), hi) }
