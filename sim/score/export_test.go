package score

import (
	"lapwing/sim"
	"lapwing/sim/pilot"
)

// Fork is one point of the line on which nobody acts, for tests of the forks.
type Fork struct{ at *moment }

// FirstFork goes on from atCue and returns the first point.
func FirstFork(c *sim.Conditions, atCue *sim.World) Fork {
	return Fork{&goOn(c, &sim.Result{AtCue: atCue}).at[0]}
}

// Tries tells whether the drill's likeliest answer, begun there, saves the craft.
func (f Fork) Tries(c *sim.Conditions) bool {
	answers, _ := pilot.Answers(&c.Drill)
	try := tries{c: c, hand: pilot.TrainedHand().With(c.Brief()), forks: new(forked)}
	return try.works(f.at, answers[0])
}

// Value returns world and unaware pilot at the point.
func (f Fork) Value() any { return *f.at }

// Hash returns the world's hashes at the point.
func (f Fork) Hash() sim.Hashes { return f.at.world.Hash() }
