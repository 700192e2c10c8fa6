package scenarios

import (
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
)

// Rehearsal returns what a run with this seed needs: the bundle's values, and
// the law designed for its craft.
func (b *Bundle) Rehearsal(seed uint64) sim.Conditions {
	filter := estimate.DefaultParams()
	filter.Gravity = b.Place.Air.Gravity
	return sim.Conditions{
		Seed: seed, Duration: b.Duration,
		Craft: b.Craft, Place: b.Place,
		Sense: b.Sense, Estimate: filter,
		Link: b.Link, Safety: b.Safety,
		Law:  control.Design(&b.Craft, &b.Place, &b.Law),
		Path: b.Path, Injects: b.Injects, Plan: b.Plan, Drill: b.Drill,
		Uncertainty: b.Uncertainty,
	}
}
