package tally_test

import (
	"fmt"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/tally"
)

// Goal: the statistics agree with an independent library, SciPy. Method: the same
// questions to both: exact where the method is, and within what drawing leaves where
// it draws. Skipped where SciPy is not installed.
func TestReferenceStatistics(t *testing.T) {
	python := "/usr/bin/python3"
	if exec.Command(python, "-c", "import scipy").Run() != nil {
		t.Skip("skipped: the comparison of statistics needs python3 with SciPy")
	}
	// Differences of a made-up comparison: skewed, with a tie and a zero.
	few := []float64{0.3, -0.1, 0.25, 0.9, 0, 0.12, -0.4, 0.6, 0.3, 2.1}
	var questions []string
	var checks []func(got []float64)
	ask := func(question string, check func(got []float64)) {
		questions, checks = append(questions, question), append(checks, check)
	}
	for _, s := range []tally.Share{{Some: 81, All: 263}, {Some: 15, All: 148}, {Some: 0, All: 20}, {Some: 20, All: 20}, {Some: 1, All: 29}} {
		ask(fmt.Sprintf("wilson,%d,%d,0.95", s.Some, s.All), func(got []float64) {
			i := s.Wilson(0.95)
			assert.InDeltaSlice(t, got, []float64{i.Low, i.High}, 1e-9, "%+v", s)
		})
	}
	for _, p := range []tally.Pairs{{First: 10, Second: 3}, {First: 1, Second: 1}, {First: 0, Second: 6}, {First: 40, Second: 62}, {First: 30, Second: 12}} {
		ask(fmt.Sprintf("mcnemar,%d,%d", p.First, p.Second), func(got []float64) {
			assert.InDeltaSlice(t, got, []float64{p.McNemar(), p.McNemarMidP()}, 1e-9, "%+v", p)
		})
	}
	ask("signs,"+joined(few), func(got []float64) {
		assert.InDelta(t, got[0], tally.SignFlip(few, 199_999, 1), 4e-3) // four deviations of a drawn share near 0.06 are 0.002
	})
	ask("bootstrap,"+joined(few), func(got []float64) {
		b := tally.Resample(len(few), 50_000, 1, func(places []int) float64 {
			sum := 0.0
			for _, i := range places {
				sum += few[i]
			}
			return sum / float64(len(places))
		})
		i := b.Corrected(0.95)
		assert.InDeltaSlice(t, got, []float64{i.Low, i.High, b.StandardError()}, 0.012) // 2 % of the interval's width, 0.9
	})
	for _, x := range []struct{ mean, deviation, level float64 }{{0.5, 1, 0.05}, {0.2, 1, 0.05}, {0.1, 0.25, 0.01}} {
		n := tally.SeedsForMean(x.mean, x.deviation, x.level, 0.8)
		ask(fmt.Sprintf("power,%d,%g,%g,%g", n, x.mean, x.deviation, x.level), func(got []float64) {
			assert.InDelta(t, 0.8, got[0], 0.012, "%d pairs for %+v", n, x) // one pair more or less
		})
	}
	cmd := exec.Command(python, "../../testdata/reference/statistics.py")
	cmd.Stdin = strings.NewReader(strings.Join(questions, "\n") + "\n")
	out, err := cmd.Output()
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	require.Len(t, lines, len(questions))
	for i, line := range lines {
		var got []float64
		for _, word := range strings.Fields(line) {
			x, err := strconv.ParseFloat(word, 64)
			require.NoError(t, err)
			got = append(got, x)
		}
		checks[i](got)
	}
}

func joined(numbers []float64) string {
	var words []string
	for _, x := range numbers {
		words = append(words, strconv.FormatFloat(x, 'g', -1, 64))
	}
	return strings.Join(words, ",")
}
