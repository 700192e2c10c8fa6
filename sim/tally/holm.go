package tally

import (
	"cmp"
	"math"
	"slices"
)

// Holm returns the probabilities of several tests, each raised so that the chance
// of even one false finding among all of them stays what a single test promises.
// S. Holm, "A simple sequentially rejective multiple test procedure", Scandinavian
// J. of Statistics 6(2), 1979.
func Holm(probabilities []float64) []float64 {
	order := make([]int, len(probabilities))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(probabilities[a], probabilities[b]) })
	raised, highest := make([]float64, len(order)), 0.0
	for rank, i := range order {
		highest = math.Max(highest, math.Min(1, float64(len(order)-rank)*probabilities[i]))
		raised[i] = highest
	}
	return raised
}
