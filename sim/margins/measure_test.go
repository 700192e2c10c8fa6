package margins_test

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/margins"
)

func quad(t testing.TB) sim.Conditions {
	t.Helper()
	b, err := scenarios.Load(scenarios.Catalogue(), "hover-in-attitude")
	require.NoError(t, err)
	return b.Rehearsal(1)
}

func builtIn(c *sim.Conditions) func() margins.Law {
	return func() margins.Law { return margins.NewBuiltIn(&c.Law) }
}

// Goal: what is measured in flight is what linear theory gives. Method: the roll
// rate loop of the built-in law is k·(1 + 1/(T·s))/s behind rotors of lag τ and
// the delays of speed controller, law and sampling; its measured response, round
// the crossover, against that formula.
func TestMeasuredLoopIsTheFormula(t *testing.T) {
	c := quad(t)
	g := &c.Law.Gains
	delay := (float64(c.Craft.Rotors[0].DelayTicks) + 1) * dynamics.DT
	formula := margins.Rational([]float64{g.Rate.X, g.RateIntegral.X}, []float64{c.Law.Lag, 1, 0, 0}, delay)
	samples := margins.Measure(builtIn(&c), control.HoverStick(&c.Law), &margins.Point{Craft: &c.Craft, Place: &c.Place},
		margins.RollRate, margins.Grid(g.Rate.X/2, 5*g.Rate.X, 8))
	for _, s := range samples {
		ratio := s.L / formula(s.W)
		assert.InDelta(t, 1, cmplx.Abs(ratio), 0.04, "%.1f rad/s", s.W)
		assert.InDelta(t, 0, cmplx.Phase(ratio), 0.05, "%.1f rad/s", s.W)
	}
}

// Goal: a measured margin tells the truth: with signals late by a little less
// than the delay margin the loop still dies away, with a little more it grows.
// Method: the pitch angle loop, its attitude signal late by 0.8 and 1.2 times
// the margin, a nudge of the stick and the lean 8 s later.
func TestDelayMarginIsWhereItBreaks(t *testing.T) {
	c := quad(t)
	c.Law.Gains.Attitude = 12 // quick, so that the margin is some tens of ticks
	hover := control.HoverStick(&c.Law)
	point := margins.Point{Craft: &c.Craft, Place: &c.Place}
	s := margins.Measure(builtIn(&c), hover, &point, margins.PitchAngle, margins.Grid(3, 60, 25))
	m := margins.Of(margins.Sampled(s), s[0].W, s[len(s)-1].W)
	require.Greater(t, m.Delay, 0.01)
	require.Less(t, m.Delay, 0.055)
	swings := func(share float64) float64 {
		late := point
		late.Late.Attitude = int64(math.Round(share * m.Delay / dynamics.DT))
		return margins.LeanAfterNudge(builtIn(&c), hover, &late, 8000)
	}
	assert.Less(t, swings(0.8), 0.02)
	assert.Greater(t, swings(1.2), 0.1)
}

// Goal: the design's loops have what is usual and nothing is found against them;
// one loop made too quick is found, by name. Method: every loop of the quad in
// hover, then the same law with its velocity loop four times as quick.
func TestLintFindsTheQuickLoop(t *testing.T) {
	c := quad(t)
	point := margins.Point{Craft: &c.Craft, Place: &c.Place}
	study := func() []margins.Studied {
		return margins.Study(builtIn(&c), control.HoverStick(&c.Law), &point, margins.Expected(&c.Law))
	}
	assert.Empty(t, margins.Lint(study(), control.RatioWarning, control.RatioError))
	c.Law.Gains.Velocity *= 4
	found := margins.Lint(study(), control.RatioWarning, control.RatioError)
	require.NotEmpty(t, found)
	assert.Equal(t, margins.Speed, found[0].Loop)
}
