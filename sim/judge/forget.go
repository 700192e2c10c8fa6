package judge

// forget takes back, at the cue, what was done since the onset as a state of
// switches or throttle that no longer stands: attitude selected, and left again
// before anything could be seen, is no answer.
func forget(d *Drill, f *Facts, v *View) {
	for i := range d.DemandCount {
		demand := &d.Demands[i]
		if f.Done[i] == Never || !demand.isState() || demandMet(demand, f, v) {
			continue
		}
		f.Done[i], f.Began[i] = Never, Never
		if demand.First {
			f.FirstRight = Never
		}
	}
}

// isState tells whether the demand is for a state that can be left again.
func (d *Demand) isState() bool {
	switch d.AnyOf[0].Kind {
	case DeedRefuge, DeedAttitude, DeedPositionHold, DeedThrottleLowest, DeedReturnSafe:
		return true
	}
	return false
}
