package scenarios

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Goal: each scenario stands where a person looks for it. Method: one of each
// group, and no group is empty.
func TestGroups(t *testing.T) {
	for name, want := range map[string]Group{
		"inspection-sound": GroupCraft, "lost-link-proof": GroupCraft, "finding-switches": GroupCraft, "arming-refused": GroupArming,
		"cut-off-at-idle": GroupCutOff, "cut-off-on-the-way": GroupCutOff, "landing": GroupByHand, "hold-and-land": GroupHold,
		"figure-eight": GroupPath, "nothing-happens": GroupCatch, "quiet-eight": GroupCatch, "motor-failure-quad": GroupStopNow,
		"drift-in-hold": GroupTakeOver, "voltage-sag": GroupLandNow, "gust-in-attitude": GroupLandSoon, "lost-link-in-hold": GroupTell,
	} {
		b, err := Load(Catalogue(), name)
		require.NoError(t, err)
		assert.Equal(t, want.Words(), b.Group().Words(), name)
	}
	for _, g := range Groups() {
		assert.NotEmpty(t, g.Words())
	}
}
