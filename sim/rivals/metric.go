package rivals

import "lapwing/sim/trials"

// Metric is something measured in a flight.
type Metric struct {
	Name      string  // as it is typed
	Words     string  // for people
	Unit      string  // empty for a share
	Share     bool    // yes or no in each flight
	More      bool    // more is better
	Tolerance float64 // a difference below it does not matter, in the unit; of shares 0 … 1
	Of        func(r *trials.Result) (x float64, ok bool)
}

// Metrics returns what is compared. The tolerances are judgements.
func Metrics() []Metric {
	return []Metric{
		{"go", "GO", "", true, true, 0.05, func(r *trials.Result) (float64, bool) { return yes(r.Outcome == trials.Passed), true }},
		{"unharmed", "no hard outcome", "", true, true, 0.05, func(r *trials.Result) (float64, bool) { return yes(r.Hard == ""), true }},
		{"first-right", "time to the first right action, where both acted", "s", false, false, 0.2, func(r *trials.Result) (float64, bool) { return of(r.FirstRightS) }},
		{"away", "farthest from where it should have been", "m", false, false, 0.1, func(r *trials.Result) (float64, bool) { return of(r.MaxAwayM) }},
		{"tilt", "greatest tilt", "°", false, false, 2, func(r *trials.Result) (float64, bool) { return of(r.MaxTiltDeg) }},
		{"touchdown", "speed of the touchdown", "m/s", false, false, 0.1, func(r *trials.Result) (float64, bool) { return of(r.TouchdownM) }},
		{"clearance", "least distance to net, wall or box", "m", false, true, 0.1, func(r *trials.Result) (float64, bool) { return of(r.ClearanceM) }},
	}
}

func yes(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func of(x *float64) (float64, bool) {
	if x == nil {
		return 0, false
	}
	return *x, true
}
