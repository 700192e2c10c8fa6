package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim"
)

// Goal: no allocation in a tick, with the person in it. Method: half a second of
// turns in hover, in the net after a drift, and with each pilot that answers.
func TestTurnAllocatesNothing(t *testing.T) {
	for _, name := range []string{"nothing-happens", "drift-in-hold", "motor-failure-hexa", "jump-on-path", "lost-link-in-hold"} {
		for _, who := range []string{"none", "trained", "ideal"} {
			c := rehearsal(t, name, 1)
			p, err := c.Pilot(who, nil)
			require.NoError(t, err)
			w := sim.Start(&c)
			fly(&c, &w, p, 11000)
			for range 3 { // before and after the onset, and during the answer
				assert.Zero(t, testing.AllocsPerRun(500, func() { sim.Turn(&c, &w, p) }), "%s, %s, tick %d", name, who, w.Tick)
				fly(&c, &w, p, w.Tick+1500)
			}
		}
	}
}

// Goal: forks, hashes and verdicts about the end cost no memory either.
func TestHashAllocatesNothing(t *testing.T) {
	c, w, _ := hovering(t)
	var sum uint64
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		fork := w
		sum ^= fork.Hash()[1]
		sim.Over(&c, &fork)
	}))
}
