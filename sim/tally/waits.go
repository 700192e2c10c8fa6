package tally

import (
	"cmp"
	"slices"
)

// Wait is a time (s) until something happened, or for how long it was watched for
// in vain. Who never acted is counted as such: leaving those out, or putting the
// end of the run in their place, makes people look quicker than they are.
type Wait struct {
	Seconds float64
	Came    bool
}

// Waits are times of which some were never seen to end.
type Waits []Wait

// Came counts those that were seen to end.
func (w Waits) Came() int {
	n := 0
	for _, x := range w {
		if x.Came {
			n++
		}
	}
	return n
}

// Percentile returns the least time (s) by which the share p of all had happened,
// and false where it was not reached while anybody was watched. It is read off the
// curve of E. L. Kaplan and P. Meier, "Nonparametric estimation from incomplete
// observations", J. American Statistical Association 53, 1958. Without unseen ends
// it is the usual percentile of a sample.
func (w Waits) Percentile(p float64) (float64, bool) {
	const rounding = 1e-12 // of the products that make the curve
	at, left := 0.0, false
	w.curve(func(seconds, remaining float64) bool {
		if remaining <= 1-p+rounding {
			at, left = seconds, true
		}
		return !left
	})
	return at, left
}

// Remaining returns the share of all to which it had not happened at a time (s),
// as Kaplan and Meier estimate it.
func (w Waits) Remaining(seconds float64) float64 {
	last := 1.0
	w.curve(func(at, remaining float64) bool {
		if at <= seconds {
			last = remaining
		}
		return at <= seconds
	})
	return last
}

// curve calls step at each time at which it happened to somebody, with the share
// to which it has not happened yet, until step returns false. What was watched in
// vain up to the same moment still counts as watched then.
func (w Waits) curve(step func(seconds, remaining float64) bool) {
	sorted := slices.Clone(w)
	slices.SortFunc(sorted, func(a, b Wait) int { return cmp.Compare(a.Seconds, b.Seconds) })
	remaining := 1.0
	for i := 0; i < len(sorted); {
		came, same := 0, i
		for ; same < len(sorted) && sorted[same].Seconds == sorted[i].Seconds; same++ {
			if sorted[same].Came {
				came++
			}
		}
		if came > 0 {
			remaining *= 1 - float64(came)/float64(len(sorted)-i)
			if !step(sorted[i].Seconds, remaining) {
				return
			}
		}
		i = same
	}
}
