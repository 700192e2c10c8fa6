package margins

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Goal: margins agree with those of a general-purpose control library, Octave's
// control package. Method: loops of low and high order, stable and not, given to
// both; skipped where Octave is not installed.
func TestReferenceMargins(t *testing.T) {
	said, _ := exec.Command("octave-cli", "-q", "--eval", "pkg load control; disp(\"ready\")").Output() // it may stumble on its way out
	if !strings.Contains(string(said), "ready") {
		t.Skip("skipped: the comparison of margins needs octave-cli with its control package")
	}
	loops := []struct{ num, den []float64 }{
		{[]float64{1}, []float64{1, 2, 1, 0}},
		{[]float64{10}, []float64{1, 6, 5, 0}},
		{[]float64{40}, []float64{1, 6, 5, 0}},
		{[]float64{2, 3, 4}, []float64{1, 4, 6, 4, 0}},
		{[]float64{12, 6}, []float64{1, 1.2, 9, 2, 0}}, // a resonance
		{[]float64{14.3, 40.8}, []float64{0.04, 1, 0, 0}},
	}
	var in bytes.Buffer
	for _, l := range loops {
		fmt.Fprint(&in, len(l.num))
		for _, c := range append(append([]float64{}, l.num...), l.den...) {
			fmt.Fprintf(&in, " %.17g", c)
		}
		fmt.Fprintln(&in)
	}
	cmd := exec.Command("octave-cli", "-q", "../../testdata/reference/margins.m")
	cmd.Stdin = &in
	out, _ := cmd.Output() // some versions of Octave stumble on their way out, after all is printed
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	require.Len(t, lines, len(loops), "%s", out)
	for i, l := range loops {
		var gain, phase, turn, cross, sense float64
		_, err := fmt.Sscan(lines[i], &gain, &phase, &turn, &cross, &sense)
		require.NoError(t, err, lines[i])
		m := Of(Rational(l.num, l.den, 0), 0.01, 100)
		assert.InEpsilon(t, cross, m.Crossover, 1e-6, "%v", l)
		assert.InDelta(t, 0, math.Remainder(phase-m.Phase*degrees, 360), 1e-4, "%v", l) // Octave counts from 0 up
		assert.InEpsilon(t, sense, m.Sense, 1e-3, "%v", l)
		if gain < 1e6 && turn > 0 {
			assert.InEpsilon(t, gain, m.Gain, 1e-6, "%v", l)
			assert.InEpsilon(t, turn, m.PhaseW, 1e-6, "%v", l)
		}
	}
}
