package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Goal: momentum theory in hover. Source: Leishman, Principles of Helicopter
// Aerodynamics, 2nd ed. (2006), eqs 2.14, 2.45 (from memory); worked for 0.5 kg
// on four discs of 0.127 m at 1.225 kg/m³ and 9.80665 m/s².
func TestMomentumTheory(t *testing.T) {
	area := math.Pi * 0.127 * 0.127 / 4
	thrust := 0.5 * 9.80665 / 4
	assert.InDelta(t, 0.0126676870, area, 1e-9)
	assert.InDelta(t, 1.22583125, thrust, 1e-9)
	assert.InDelta(t, 6.28468682, HoverInflow(thrust, seaLevel, area), 1e-6)
	assert.InDelta(t, 7.70396550, IdealPower(thrust, seaLevel, area), 1e-6)
	assert.InDelta(t, 47.409, 4*IdealPower(thrust, seaLevel, area)/0.65, 1e-3)
}

// Goal: the branches of axial flow. Sources: momentum theory in closed form;
// the bridge by Leishman (2006), eq. 2.96 (from memory), κ = 0.974.
func TestInducedRatio(t *testing.T) {
	for _, row := range []struct{ x, want float64 }{
		{0, 1}, {0.5, 0.780776}, {1, 0.618034}, {2, 0.414214}, // climb
		{-2, 1}, {-2.01, 0.904875}, {-2.5, 0.5}, {-3, 0.381966}, // windmill
	} {
		assert.InDelta(t, row.want, InducedRatio(row.x), 1e-6, "x = %v", row.x)
	}
	for _, row := range []struct{ x, want float64 }{
		{-0.25, 1.193785}, {-0.5, 1.367313}, {-0.75, 1.563535}, {-1, 1.790000},
		{-1.25, 1.992848}, {-1.5, 2.056813}, {-1.75, 1.805223}, {-2, 1.000000},
	} {
		assert.InDelta(t, row.want, InducedBridge(row.x, 0.974), 1e-6, "bridge at x = %v", row.x)
		assert.InDelta(t, row.want, InducedRatio(row.x), 0.026, "x = %v", row.x)
	}
	assert.InDelta(t, 1.026, InducedBridge(-2, 1), 1e-9, "the jump that κ = 1 would leave")
	for _, x := range []float64{0, -2} {
		assert.InDelta(t, InducedRatio(x), InducedRatio(math.Nextafter(x, -9)), 1e-7, "continuous below %v", x)
		assert.InDelta(t, InducedRatio(x), InducedRatio(math.Nextafter(x, 9)), 1e-7, "continuous above %v", x)
	}
}

// Goal: edgewise flow. Source: Leishman (2006), §2.14 (from memory).
func TestGlauert(t *testing.T) {
	for _, row := range []struct{ x, want float64 }{
		{0, 1}, {0.5, 0.939565}, {1, 0.786151}, {2, 0.485868}, {3, 0.331319},
	} {
		assert.InDelta(t, row.want, Glauert(row.x), 1e-6, "x = %v", row.x)
	}
	assert.InEpsilon(t, 1e-4, Glauert(1e4), 1e-7, "1/x far out, no digits lost")
	for x := 0.0; x < 5; x += 0.001 {
		assert.InDelta(t, Glauert(x), glauertAt(x*x), 4e-5, "the grid at x = %v", x)
	}
	assert.Equal(t, 1.0, glauertAt(0))
	assert.Equal(t, 1.0, glauertAt(-1e-20))
}

// Goal: thrust is unsteady in the vortex-ring state only, by the same noise for
// the same tick, and without steps.
func TestVortexRing(t *testing.T) {
	in := DefaultInput()
	for _, x := range []float64{3, 0, -0.5, -1.5, -1.505, -2} {
		assert.Equal(t, 1.0, ringRatio(&in, 0, x), "x = %v", x)
	}
	in.Tick = 17
	worst := ringRatio(&in, 0, -1) - 1
	for _, row := range []struct{ x, share float64 }{{-0.502, 0.004}, {-0.75, 0.5}, {-1.25, 0.5}, {-1.498, 0.004}} {
		assert.InDelta(t, row.share*worst, ringRatio(&in, 0, row.x)-1, 1e-12, "grows and falls in straight lines: x = %v", row.x)
	}
	var mean, sum, most float64
	last := ringRatio(&in, 0, -1)
	const ticks = 200000
	for k := range int64(ticks) {
		in.Tick = k
		f := ringRatio(&in, 0, -1)
		mean += (f - 1) / ticks
		sum += (f - 1) * (f - 1)
		most = max(most, math.Abs(f-last))
		last = f
	}
	// No thrust is won or lost in the mean: 3125 values, a standard error of 0.0018.
	assert.InDelta(t, 0, mean, 3*ringDepth/math.Sqrt(ticks/ringTicks))
	// Straight lines between independent values keep 2/3 of the variance.
	assert.InDelta(t, ringDepth*math.Sqrt(2.0/3), math.Sqrt(sum/ticks), 0.005)
	assert.Less(t, most, 0.02, "greatest step in a tick")
	assert.NotEqual(t, ringRatio(&in, 0, -1), ringRatio(&in, 1, -1), "each rotor has its own")
}
