package main

import (
	"bytes"
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

// Goal: a panic anywhere becomes exit code 3 and one sentence: what, where, and
// whom to tell. Method: let it happen two calls deep.
func TestPanicIsAnInternalError(t *testing.T) {
	var errOut bytes.Buffer
	code := guarded(&errOut, func() int { stumble(nil); return exitGo })
	require.Equal(t, exitInternal, code)
	require.Regexp(t, `^lapwing: internal error: .*nil map \(at .*lapwing.*stumble, line \d+; version .*\): this is a fault of the program; please report it.*\n$`, errOut.String())
	require.NotContains(t, errOut.String(), "goroutine")

	errOut.Reset()
	require.Equal(t, exitNoGo, guarded(&errOut, func() int { return exitNoGo }))
	require.Empty(t, errOut.String())
}

//go:noinline
func stumble(m map[string]int) { m["x"] = 1 }

// broken is a place to print that takes a few bytes and then fails.
type broken struct{ left int }

func (b *broken) Write(p []byte) (int, error) {
	if b.left -= len(p); b.left < 0 {
		return 0, errors.New("the pipe is broken")
	}
	return len(p), nil
}

// Goal: a result that could not be printed is not a success, wherever printing
// stopped. Method: outputs that fail at once, and in the middle.
func TestOutputThatCannotBeWritten(t *testing.T) {
	for _, args := range [][]string{{"scenarios"}, {"scenarios", "--json"}, {"craft", "quad-250g"}, {"check", "--schema", "craft"}, {"help"}} {
		for _, room := range []int{0, 100} {
			var errOut bytes.Buffer
			code := run(args, nil, &broken{room}, &errOut)
			require.NotEqual(t, exitGo, code, args)
			require.Contains(t, errOut.String(), "the output could not be written: the pipe is broken", args)
		}
	}
}
