package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim"
	"lapwing/sim/judge"
)

// Goal: an estimate that leaves the model's range makes a flight void, but not
// one that has ended hard already: that run ends and is judged. Method: nobody
// answers an estimate that runs away; the same belief without a hard outcome.
func TestEstimateOutOfRangeAfterHardOutcome(t *testing.T) {
	c := rehearsal(t, "estimate-runaway", 1)
	r := sim.Run(&c, nobody(t, &c))
	require.NotEqual(t, judge.Never, r.End.Judge.Hard)
	assert.Equal(t, sim.VoidNot, r.End.Void.Reason)
	assert.Equal(t, sim.EndHard, r.Why)
	assert.Less(t, r.End.Tick, c.Duration, "it ends before its time")

	w := *r.AtCue
	w.Estimate.Belief.PosW.X = 2e3 // m, beyond the model's range of 1 km
	sim.Advance(&c, &w)
	assert.Equal(t, sim.VoidEstimate, w.Void.Reason)
}
