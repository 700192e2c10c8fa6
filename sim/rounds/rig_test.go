package rounds_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim/rounds"
)

// small is a matrix that flies in a second or so: at the bench, with a limit that
// some cases pass.
func small(t testing.TB, change func(m *scenarios.Matrix)) *rounds.Cases {
	t.Helper()
	m := scenarios.DefaultMatrix()
	m.Title = "Small"
	m.Scenarios = []string{"arm-and-disarm", "first-lift"}
	m.Pilots = []scenarios.MatrixPilot{{Name: "none"}, {Name: "novice"}, {Name: "trained", Delay: 0.5}}
	m.Seeds = []uint64{1, 2, 3}
	m.LimitTicks = 12_000 // the lift takes longer, the bench does not
	if change != nil {
		change(m)
	}
	c, err := rounds.Resolve(m)
	require.NoError(t, err)
	t.Cleanup(c.Close)
	return c
}

func headOf(c *rounds.Cases, shard rounds.Shard) rounds.Head {
	return rounds.Head{Format: 1, Program: "0", Title: c.Matrix.Title, Digest: c.Digest, Cases: c.Len(), Replay: "lapwing trials it", Shard: shard}
}

// flown flies all of a shard into dir and returns the bytes of its results.
func flown(t testing.TB, c *rounds.Cases, dir string, shard rounds.Shard, workers int) []byte {
	t.Helper()
	f, err := rounds.Open(dir, headOf(c, shard))
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, rounds.Run(context.Background(), c, f, workers, func() {}))
	return bytesOf(t, dir)
}

func bytesOf(t testing.TB, dir string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, rounds.ResultsFile))
	require.NoError(t, err)
	return text
}
