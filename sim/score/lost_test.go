package score_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/score"
)

// TestLostPointsAddUp: goal: what is listed as lost is what the trend number lacks
// of 100. Method: several pilots and events; where a part is held to 0 or a hard
// fail takes all, the list may be longer than what there was to lose.
func TestLostPointsAddUp(t *testing.T) {
	for _, x := range []struct{ scenario, pilot string }{
		{"drift-in-hold", "trained"}, {"drift-in-hold", "novice"}, {"motor-failure-quad", "none"},
		{"lost-link-in-hold", "novice"}, {"hover-in-attitude", "novice"},
	} {
		b, err := scenarios.Load(scenarios.Catalogue(), x.scenario)
		require.NoError(t, err)
		c := b.Rehearsal(4)
		p, err := c.Pilot(x.pilot, nil)
		require.NoError(t, err)
		r := sim.Run(&c, p)
		a := score.Assess(&c, &r, score.Available{})
		sum, held := 0.0, a.Parts.Actions == 0 || len(a.HardFails) > 0 || a.Number == 0
		for _, l := range a.Lost(&c, &r) {
			assert.Positive(t, l.Points+1e-9, l.Says)
			assert.NotEmpty(t, l.Rule)
			sum += l.Points
		}
		if held {
			assert.GreaterOrEqual(t, sum+1e-9, 100-a.Number, x)
		} else {
			assert.InDelta(t, 100-a.Number, sum, 1e-9, x)
		}
	}
}
