// Package rivals compares two sets of results: A, what was, and B, what is to take
// its place.
//
//  1. metric.go says what is measured, which way is better, and what is too little
//     to matter
//  2. pair.go puts together the flights of both under the same scenario, craft,
//     pilot, point and seed: noise is by counter, so both met the same
//  3. judge.go tests each metric, corrects for their number, and gives the verdict
//
// It stands apart because it sees results and no flight. The statistics themselves
// are package tally's.
package rivals
