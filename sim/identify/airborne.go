package identify

import (
	"errors"
	"fmt"
	"slices"
)

// What counts as flying. Judgements of ours.
const (
	clearance   = 0.2 // m above where the craft stood: above it the ground hardly acts on the rotors of a small craft
	turningDuty = 0.1 // mean duty above which the motors turn: a cut-off ends the flight although the craft still falls
	longestGap  = 0.1 // s between two rows over which the motors' lag cannot be followed
	leastFlight = 5.0 // s, below which a fit tells nothing
)

// ErrNotFlown is the error for a log without a flight that is long enough.
var ErrNotFlown = errors.New("no flight long enough")

// part is rows [from, to) of a log.
type part struct{ from, to int }

// airborne returns the longest stretch of l in which the craft flew.
func airborne(l *Log) (part, error) {
	floor := standing(l)
	var best, now part
	for i := range l.Rows {
		r := &l.Rows[i]
		flying := r.PosW.Z > floor+clearance && meanDuty(l, r) > turningDuty
		gap := i > 0 && r.Time-l.Rows[i-1].Time > longestGap
		if !flying || gap {
			now.from = i
		}
		if !flying {
			now.from = i + 1
		}
		if now.to = i + 1; now.to-now.from > best.to-best.from {
			best = now
		}
	}
	if best.to-best.from < 2 || l.Rows[best.to-1].Time-l.Rows[best.from].Time < leastFlight {
		return part{}, fmt.Errorf("%s: %w: the longest stretch with motors turning, %g m above where the craft stood and without a gap above %g s, lasts less than %g s",
			l.Name, ErrNotFlown, clearance, longestGap, leastFlight)
	}
	return best, nil
}

// standing returns the height at which the craft stood: the middle one of the
// rows before its motors first turned, or the lowest of a log without such rows.
func standing(l *Log) float64 {
	var heights []float64
	low := l.Rows[0].PosW.Z
	for i := range l.Rows {
		low = min(low, l.Rows[i].PosW.Z)
	}
	for i := range l.Rows {
		if meanDuty(l, &l.Rows[i]) > turningDuty {
			break
		}
		heights = append(heights, l.Rows[i].PosW.Z)
	}
	if len(heights) == 0 {
		return low
	}
	slices.Sort(heights)
	return heights[len(heights)/2]
}

func meanDuty(l *Log, r *Row) float64 {
	sum := 0.0
	for _, u := range r.Duty[:l.Rotors] {
		sum += u
	}
	return sum / float64(l.Rotors)
}
