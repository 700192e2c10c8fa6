package flight

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// delayed sees the world late, as through a window: hands move at once, and are
// seen to have moved only after the time from input to picture.
type delayed struct {
	who   pilot.Pilot
	ticks int64
	seen  []percept.Percept
	want  hands.Hands
}

// Act implements pilot.Pilot.
func (d *delayed) Act(p *percept.Percept, h *hands.Hands) {
	d.seen = append(d.seen, *p)
	n := len(d.seen) - 1
	for n > 0 && p.Tick-d.seen[n].Tick < d.ticks {
		n--
	}
	old := d.seen[n]
	old.Tick = p.Tick
	d.who.Act(&old, &d.want)
	*h = d.want
}

// Bands of the hover. ADS-33E-PRF, 2000, section 3.11.1 (from memory) asks for
// ±3 ft to be desired and ±6 ft adequate for 30 s, for helicopters with a rotor of
// some ten metres: the bands stand 1 : 2. Scaled by span to a craft of 0.4 m that
// would be ±4 and ±7 cm; but the eye is not scaled along, and 7 cm is half a degree
// at eight metres. So the ratio is kept, and the size is that of the lesson's own
// standard, half a metre and a metre (a judgement).
const (
	desired  = 0.5 // m
	adequate = 1.0 // m
)

// hover flies the lesson with a pilot who sees late, and returns the shares of the
// hover within the bands, and whether all of it was flown.
func hover(t *testing.T, delayTicks int64, seed uint64) (within, beyond float64, flown bool) {
	t.Helper()
	b, err := Load("hover-in-attitude", DefaultLevers(), scenarios.Instead{}, nil)
	require.NoError(t, err)
	c := b.Rehearsal(seed)
	p, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	w := sim.Start(&c)
	all := 0.0
	late := &delayed{who: p, ticks: delayTicks, want: w.Hands}
	for {
		if _, over := sim.Over(&c, &w); over {
			break
		}
		sim.Turn(&c, &w, late)
		if leg := w.Progress.Leg; leg < int64(c.Plan.Count) && c.Plan.Legs[leg].Do == pilot.LegHold {
			all++
			away := w.Craft.PosW.Sub(c.Place.TakeOff).NormXY()
			if away < desired {
				within++
			}
			if away > adequate {
				beyond++
			}
		}
	}
	return within / all, beyond / all, all >= 30000
}

// TestHoverThroughTheWindow: goal: a trained person hovers in attitude through the
// window's delay within the bands of a hover. Method: a modelled pilot who sees
// everything later by the 80 ms that the window may take at most from input to
// picture, for 95 of 100 movements; several seeds. The canary: through 600 ms it
// must not come that far.
func TestHoverThroughTheWindow(t *testing.T) {
	for seed := range uint64(4) {
		within, beyond, flown := hover(t, 80, seed+1)
		require.True(t, flown)
		t.Logf("seed %d: %.0f %% of the time within half a metre, %.1f %% beyond a metre", seed+1, 100*within, 100*beyond)
		assert.Greater(t, within, 0.9)
		assert.Zero(t, beyond)
	}
	_, _, flown := hover(t, 600, 1)
	assert.False(t, flown, "a window that late must not be flown through")
}
