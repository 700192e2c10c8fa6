package scenarios

import (
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/link"
	"lapwing/sim/sight"
)

// Rehearsal returns what a run with this seed needs: the bundle's values, and
// the law designed for its craft.
func (b *Bundle) Rehearsal(seed uint64) sim.Conditions {
	filter := estimate.DefaultParams()
	var scene *sight.Scene
	if !b.Sense.Fixes {
		filter = estimate.DefaultSightedParams()
		scene = new(sight.Scene)
		sight.Draw(scene, &b.Place, &b.Decor, seed)
	}
	filter.Gravity = b.Place.Air.Gravity
	camera := sight.DefaultParams()
	camera.LatencyTicks = b.Sense.LatencyTicks
	drawn := b.Bench
	drawn.Draw(seed)
	watchman := b.Safety // ages count from sending; a receiver knows only when it last heard a frame
	watchman.FreshTicks += max(0, b.Link.LatencyTicks-link.Default().LatencyTicks)
	return sim.Conditions{
		Seed: seed, Duration: b.Duration, Inverted: b.Inverted,
		Craft: b.Craft, Place: b.Place, Scene: scene,
		Sense: b.Sense, Sight: camera, Estimate: filter, Sighted: estimate.DefaultSightParams(),
		Link: b.Link, Safety: watchman,
		Law:  control.Design(&b.Craft, &b.Place, &b.Law),
		Path: b.Path, Injects: b.Injects, Plan: b.Plan, Drill: b.Drill,
		Bench: drawn, Carry: b.Carry, Prompt: b.Prompt,
		Uncertainty: b.Uncertainty, Stage: b.From.Stage,
	}
}
