package sim

import (
	"lapwing/sim/estimate"
	"lapwing/sim/sight"
)

// believe works out where the craft takes itself to be: by its own camera, or
// by poses from outside where it flies by those.
func believe(c *Conditions, w *World) {
	if c.Sense.Fixes {
		estimate.Fuse(&c.Estimate, &w.Estimate.State, &w.Reading, w.Tick)
		return
	}
	see(c, w)
	if w.Effects.MapShiftW != w.Estimate.Shifted {
		w.Estimate.Shift(w.Effects.MapShiftW)
	}
	// Parked: the rotors do not carry it, and it is low, so no hand does either.
	parked := estimate.AsksRest(&w.Relative, w.Tick) && w.Estimate.Belief.Height < c.Safety.LandedHeight &&
		meanDuty(&w.Input, c.Craft.RotorCount) < c.Safety.LandedDuty
	estimate.FuseSighted(&c.Estimate, &c.Sighted, &w.Estimate, &w.Reading, &w.Relative, parked, w.Tick)
}

// see takes a picture, or works one out, in the ticks in which one is due.
func see(c *Conditions, w *World) {
	if !w.Sight.Wakes(w.Tick) {
		w.Relative.Exposed, w.Relative.New = false, false
		return
	}
	fx := &w.Effects
	faults := sight.Faults{Covered: fx.Covered || w.Carry.Covered, Dimmed: fx.Dimmed, Dead: fx.ComputerDead,
		SeenOffsetW: fx.SeenOffsetW, MountYaw: fx.MountYaw, WalkedW: fx.PersonShiftW}
	var guess estimate.Guess
	if w.Sight.Arrives(w.Tick) {
		guess = w.Estimate.Guess(&c.Sighted)
	}
	sight.Look(&c.Sight, c.Scene, &w.Sight, &w.Craft, &guess, &faults, c.Seed, w.Tick, &w.Relative)
}
