package score_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/score"
)

// flown flies a scenario of the catalogue.
func flown(t testing.TB, name, who string, seed uint64) (sim.Conditions, sim.Result) {
	t.Helper()
	b, err := scenarios.Load(scenarios.Catalogue(), name)
	require.NoError(t, err)
	c := b.Rehearsal(seed)
	p, err := c.Pilot(who, nil)
	require.NoError(t, err)
	return c, sim.Run(&c, p)
}

// BenchmarkTimeAvailable times the whole search: ideal hand, trained hand, and
// the band over eight variants.
func BenchmarkTimeAvailable(b *testing.B) {
	for _, name := range []string{"drift-in-hold", "jump-on-path", "motor-failure-quad"} {
		b.Run("scenario="+name, func(b *testing.B) {
			c, r := flown(b, name, "trained", 7)
			forks := 0
			for b.Loop() {
				forks = score.TimeAvailable(&c, &r).Forks
			}
			b.ReportMetric(float64(forks), "forks/op")
		})
	}
}
