package scenarios

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/safety"
)

// Goal: what could hurt because it differs between craft is said before the
// flight. Method: turn each such thing over and look for the sentence.
func TestFactsSayWhatDiffers(t *testing.T) {
	b, err := Load(Catalogue(), "lost-link-in-hold")
	require.NoError(t, err)
	said := func() string { return strings.Join(b.Facts(), "\n") }

	b.Safety.CutOffLatches = true
	assert.Contains(t, said(), "cut-off latches")
	b.Safety.CutOffLatches = false
	assert.Contains(t, said(), "gives them the throttle as it stands")

	b.Safety.ArmBy = safety.ByStickCorners
	assert.Contains(t, said(), "yaw right")

	assert.NotContains(t, said(), "Dryden")
	b.Place.Air.TurbulenceWind = 3
	assert.Contains(t, said(), "outside its range")

	b.Link.GoodToBad, b.Link.BadToGood = 0.05, 0.4
	assert.Contains(t, said(), "bursts of 2.5") // mean burst 1/r: Gilbert 1960
}
