package score_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/score"
)

// Goal: a try leaves the world it starts from alone, so that the next one starts
// from the same. Method: the same try twice; the world before, between and
// after, by its hashes and as a value.
func TestForksLeaveTheWorldAlone(t *testing.T) {
	b, err := scenarios.Load(scenarios.Catalogue(), "drift-in-hold")
	require.NoError(t, err)
	c := b.Rehearsal(7)
	c.Drill.Limit = 0.2 // s: two points of the grid are enough
	start := sim.Start(&c)
	before := start
	fork := score.FirstFork(&c, &start)
	require.Equal(t, before, start)

	value, hash := fork.Value(), fork.Hash()
	once := fork.Tries(&c)
	require.Equal(t, hash, fork.Hash())
	require.Equal(t, value, fork.Value())
	require.Equal(t, once, fork.Tries(&c))
	require.Equal(t, value, fork.Value())
}
