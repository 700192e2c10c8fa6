package wasm_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/guest/host"
	"lapwing/sim/guest/wasm"
)

// ready returns a bundle with the worked law, or with the built-in one, and its
// host.
func ready(tb testing.TB, law string) (*scenarios.Bundle, *host.Host) {
	tb.Helper()
	b, err := scenarios.LoadInstead(scenarios.Disk(""), "hold-and-land", scenarios.Instead{Law: law})
	require.NoError(tb, err)
	h, err := host.Open(&b.From)
	require.NoError(tb, err)
	tb.Cleanup(func() { h.Close() })
	return b, h
}

const cascade = "../../../testdata/laws/cascade.yaml"

// BenchmarkRehearsal is a whole rehearsal, the person included; the worked law
// in C is to take at most 1.5 times the built-in law's time. A module is compiled
// once for many runs.
func BenchmarkRehearsal(b *testing.B) {
	for _, law := range []struct{ name, file string }{{"built-in", ""}, {"wasm-whole", cascade}} {
		b.Run("law="+law.name, func(b *testing.B) {
			bundle, h := ready(b, law.file)
			b.ReportAllocs()
			b.ResetTimer()
			ticks := int64(0)
			for range b.N {
				c := bundle.Rehearsal(1)
				done, err := h.Fly(&c)
				require.NoError(b, err)
				p, err := c.Pilot("trained", nil)
				require.NoError(b, err)
				ticks += sim.Run(&c, p).End.Tick
				done()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(ticks), "ns/tick")
		})
	}
}

// BenchmarkLoad is what a module costs before the first tick.
func BenchmarkLoad(b *testing.B) {
	module, err := os.ReadFile("../../../testdata/laws/cascade.wasm")
	require.NoError(b, err)
	for range b.N {
		m, err := wasm.Load(module)
		require.NoError(b, err)
		m.Close()
	}
}
