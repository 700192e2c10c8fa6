package score

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/pilot"
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
	line := goOn(&c, &start)
	require.Equal(t, before, start)
	require.NotEmpty(t, line.at)

	first := line.at[0]
	answers, n := pilot.Answers(&c.Drill)
	require.Positive(t, n)
	try := tries{c: &c, hand: pilot.TrainedHand().With(c.Brief()), forks: new(int)}
	once := try.works(&line.at[0], answers[0])
	require.Equal(t, first.world.Hash(), line.at[0].world.Hash())
	require.Equal(t, first, line.at[0])
	require.Equal(t, once, try.works(&line.at[0], answers[0]))
	require.Equal(t, first, line.at[0])
}
