package tally

import "lapwing/dynamics/kernel"

// Detection sets answers to events against answers to nothing.
type Detection struct {
	Hits        Share `json:"hits"`         // events that were answered
	FalseAlarms Share `json:"false_alarms"` // runs without an event that were answered
}

// Sensitivity returns d′, how far apart an event and nothing lie for this person
// in standard deviations, and whether there were runs of both kinds. Half a count
// is added to each number and one to each total, so that a clean sheet gives a
// finite figure: the log-linear correction of M. J. Hautus, "Corrections for
// extreme proportions and their biasing effects on estimated values of d′",
// Behavior Research Methods, Instruments & Computers 27(1), 1995.
func (d Detection) Sensitivity() (float64, bool) {
	if d.Hits.All == 0 || d.FalseAlarms.All == 0 {
		return 0, false
	}
	return corrected(d.Hits) - corrected(d.FalseAlarms), true
}

func corrected(s Share) float64 {
	checkCount(s.Some, s.All)
	return kernel.NormalInv((float64(s.Some) + 0.5) / (float64(s.All) + 1))
}
