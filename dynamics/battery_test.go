package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Goal: voltage at rest. Source: Chen and Rincón-Mora, IEEE Trans. Energy
// Conversion 21(2), 2006, eq. 2.
func TestRestVolts(t *testing.T) {
	for _, row := range []struct{ charge, want float64 }{
		{1, 4.10290}, {0.8, 3.94598}, {0.5, 3.80336}, {0.2, 3.72503}, {0.1, 3.67457}, {0.05, 3.51636}, {0, 2.65400},
		{1.5, 4.10290}, {-0.5, 2.65400}, // held outside
	} {
		assert.InDelta(t, row.want, RestVolts(row.charge), 1e-5, "charge %v", row.charge)
	}
	last := RestVolts(0)
	for s := 0.001; s <= 1; s += 0.001 {
		assert.Greater(t, RestVolts(s), last, "rises with charge")
		last = RestVolts(s)
	}
}

// Goal: near what people in the field expect of a lithium-polymer cell at rest
// (common practice), within 0.1 V, and the table's rounding, from 5 % of charge upwards.
func TestRestVoltsAgainstPractice(t *testing.T) {
	table := []float64{ // V at 100, 95 … 5 %
		4.20, 4.15, 4.11, 4.08, 4.02, 3.98, 3.95, 3.91, 3.87, 3.85,
		3.84, 3.82, 3.80, 3.79, 3.77, 3.75, 3.73, 3.71, 3.69, 3.61,
	}
	for i, want := range table {
		charge := 1 - 0.05*float64(i)
		assert.InDelta(t, want, RestVolts(charge), 0.1+0.005, "charge %.2f", charge)
	}
}

// Goal: constant power in closed form, and impossible power as an event.
// Source: I = (V − √(V² − 4RP))/(2R); 11.4 V, 60 mΩ, 100 W; limit V²/(4R).
func TestDraw(t *testing.T) {
	current, volts, starved := Draw(11.4, 0.060, 100)
	assert.InDelta(t, 9.219272, current, 1e-6)
	assert.InDelta(t, 10.846844, volts, 1e-6)
	assert.False(t, starved)
	current, volts, starved = Draw(11.4, 0.060, 541.4999)
	assert.InDelta(t, 541.4999, current*volts, 1e-6)
	assert.False(t, starved)
	current, volts, starved = Draw(11.4, 0.060, 542)
	assert.True(t, starved, "above 541.5 W")
	assert.InDelta(t, 541.5, current*volts, 1e-9, "the greatest power instead")
	assert.InDelta(t, 5.7, volts, 1e-12)
	current, volts, starved = Draw(4, 0, 8)
	assert.Equal(t, []float64{2, 4}, []float64{current, volts}, "no resistance")
	assert.False(t, starved)
	for _, open := range []float64{0, -1, math.NaN()} {
		current, volts, starved = Draw(open, 0.01, 1)
		assert.Zero(t, current)
		assert.Zero(t, volts)
		assert.True(t, starved)
	}
}

// Goal: the step response of one RC pair. Source: V(t) = Voc − I·R0 −
// I·R1·(1 − e^{−t/τ}); 3.8 V, 20 mΩ, 15 mΩ, 20 s, 10 A. Method: each tick draws
// the power that makes the current 10 A.
func TestOneRC(t *testing.T) {
	c := &Craft{Battery: Battery{
		Cells: 1, Capacity: 1e15, Resistance: 0.020, RCResistance: 0.015, RCTime: 20, FullVolts: 4.2,
	}}
	c.Prepare()
	in := DefaultInput()
	s := &State{Cell: Cell{Charge: 0.5}}
	shift := 3.8 - RestVolts(0.5)
	want := map[int]float64{0: 3.6000, 20000: 3.505182, 60000: 3.457468} // V by tick
	for k := range 60001 {
		open := RestVolts(s.Cell.Charge) - s.Cell.SlowDrop
		batteryStep(c, s, &in, 10*(open-10*0.020))
		if v, ok := want[k]; ok {
			assert.InDelta(t, v, s.Cell.Volts+shift, 1e-6, "tick %d", k)
			assert.InDelta(t, 10, s.Cell.Current, 1e-9)
		}
	}
}

// Goal: charge falls by current, sag takes its volts, power is shared by cells.
func TestCharge(t *testing.T) {
	c, _, s, in := plusQuad(t)
	full := *s
	used := 0.0
	for range 10000 {
		batteryStep(c, s, in, 80)
		used += s.Cell.Current * DT
		assert.InDelta(t, 83, s.Cell.Current*s.Cell.Volts*3, 1e-9, "80 W and 3 W for the electronics")
	}
	assert.InDelta(t, used/c.Battery.Capacity, full.Cell.Charge-s.Cell.Charge, 1e-12)

	*s = full
	batteryStep(c, s, in, 0)
	sound := s.Cell.Volts
	*s = full
	in.SagVolts = 0.3
	batteryStep(c, s, in, 0)
	assert.InDelta(t, 0.3, sound-s.Cell.Volts, 1e-3)
	s.Cell.Charge = 0
	batteryStep(c, s, in, 200)
	assert.Zero(t, s.Cell.Charge, "not below empty")
}

// Goal: 20 ms below the limit stop the electronics for good, 19 ms do not; power
// that cannot be had is an event with finite numbers.
func TestBrownOut(t *testing.T) {
	c, _, s, in := plusQuad(t)
	deep := func(n int) {
		in.SagVolts = 2
		for range n {
			batteryStep(c, s, in, 50)
		}
		in.SagVolts = 0
	}
	deep(19)
	assert.False(t, s.Cell.BrownOut)
	batteryStep(c, s, in, 50)
	deep(19)
	assert.False(t, s.Cell.BrownOut, "the count begins anew")
	batteryStep(c, s, in, 50)
	deep(20)
	assert.True(t, s.Cell.BrownOut)
	batteryStep(c, s, in, 50)
	assert.True(t, s.Cell.BrownOut, "latched")
	assert.Zero(t, s.Cell.Current, "draws nothing")

	c, _, s, in = plusQuad(t)
	batteryStep(c, s, in, 5000)
	assert.True(t, s.Cell.Starved)
	assert.Greater(t, s.Cell.Current, 0.0)
	assert.InDelta(t, RestVolts(0.9)/2, s.Cell.Volts, 1e-12)
	batteryStep(c, s, in, 50)
	assert.False(t, s.Cell.Starved, "an event, not a state")
}
