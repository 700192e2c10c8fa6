package scenarios_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim/control"
)

// TestChanged: goal: what is changed before a flight stands in the files that its
// recording carries, and in nothing else. Method: each change of one scenario, read
// back from its documents alone.
func TestChanged(t *testing.T) {
	b, err := scenarios.Load(scenarios.Catalogue(), "drift-in-hold")
	require.NoError(t, err)
	hand := &control.Overrides{ThrottleKind: control.SpringsToCentre, ThrottleMap: control.RateOfThrust}
	for _, x := range []struct {
		name   string
		change scenarios.Changes
		check  func(is *scenarios.Bundle)
	}{
		{"nothing", scenarios.Changes{}, func(is *scenarios.Bundle) { assert.Equal(t, b.Injects, is.Injects) }},
		{"throttle", scenarios.Changes{Throttle: hand}, func(is *scenarios.Bundle) {
			assert.True(t, is.Law.ThrottleGiven)
			assert.Equal(t, control.RateOfThrust, is.Law.ThrottleMap)
			assert.Equal(t, control.SpringsToCentre, is.Law.ThrottleKind)
		}},
		{"onset", scenarios.Changes{Onset: 1.5}, func(is *scenarios.Bundle) {
			assert.InDelta(t, 1.5*b.Injects.Injects[0].Severity, is.Injects.Injects[0].Severity, 1e-12)
		}},
		{"onset beyond its field", scenarios.Changes{Onset: 1e6}, func(is *scenarios.Bundle) {
			assert.Greater(t, is.Injects.Injects[0].Severity, b.Injects.Injects[0].Severity)
		}},
		{"wind", scenarios.Changes{Wind: 1.5}, func(is *scenarios.Bundle) { assert.InDelta(t, 1.5, is.Place.Air.WindW.Y, 1e-12) }},
		{"latency", scenarios.Changes{Latency: 0.1}, func(is *scenarios.Bundle) {
			assert.Equal(t, b.Link.LatencyTicks+100, is.Link.LatencyTicks)
		}},
	} {
		t.Run(x.name, func(t *testing.T) {
			is, err := b.Changed(x.change)
			require.NoError(t, err)
			x.check(is)
			again, err := scenarios.LoadBundle(is.Documents)
			require.NoError(t, err)
			assert.Equal(t, is.Rehearsal(3).Law, again.Rehearsal(3).Law)
			assert.Equal(t, is.Injects, again.Injects)
		})
	}
}
