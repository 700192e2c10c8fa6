package strip

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/hands"
)

func atRest(t *testing.T) (*sim.Conditions, *sim.World) {
	t.Helper()
	b, err := scenarios.Load(scenarios.Catalogue(), "nothing-happens")
	require.NoError(t, err)
	c := b.Rehearsal(1)
	w := sim.Start(&c)
	sim.Look(&c, &w)
	w.Percept.LinkLost, w.Percept.Camera, w.Percept.Battery = false, 0, 0
	return &c, &w
}

// TestCommandedAgainstActual: goal: what was asked for and what the craft does
// stand apart, and a difference is told. Method: hands and percept set by hand.
func TestCommandedAgainstActual(t *testing.T) {
	c, w := atRest(t)
	w.Hands.Response, w.Percept.Actual = hands.PositionHold, hands.PositionHold
	s := Read(c, w)
	assert.Equal(t, Pair{"position-hold", "position-hold", false}, s.Response)
	assert.Empty(t, s.Messages)
	w.Percept.Actual = hands.HeightHold
	s = Read(c, w)
	assert.Equal(t, Pair{"position-hold", "height-hold", true}, s.Response)
	require.Len(t, s.Messages, 1)
	assert.Equal(t, Caution, s.Messages[0].Grade)
}

// TestMessages: goal: each caution and warning is told, in its sense, worst
// first. Method: one sign at a time, then all.
func TestMessages(t *testing.T) {
	signs := []struct {
		name  string
		grade Grade
		set   func(w *sim.World)
	}{
		{"link lost", Warning, func(w *sim.World) { w.Percept.LinkLost = true }},
		{"camera disagrees", Warning, func(w *sim.World) { w.Percept.Camera = 2 }},
		{"battery critical", Warning, func(w *sim.World) { w.Percept.Battery = 2 }},
		{"motors run in cut-off", Warning, func(w *sim.World) { w.Percept.CutRuns = 0.3 }},
		{"silent", Caution, func(w *sim.World) { w.Percept.Silent = true }},
		{"landing", Caution, func(w *sim.World) { w.Percept.Landing = true }},
		{"cage", Caution, func(w *sim.World) { w.Percept.CageAlert = true }},
		{"camera doubtful", Caution, func(w *sim.World) { w.Percept.Camera = 1 }},
		{"battery low", Caution, func(w *sim.World) { w.Percept.Battery = 1 }},
	}
	for _, sign := range signs {
		c, w := atRest(t)
		sign.set(w)
		s := Read(c, w)
		if assert.Len(t, s.Messages, 1, sign.name) {
			assert.Equal(t, sign.grade, s.Messages[0].Grade, sign.name)
		}
	}
	c, w := atRest(t)
	for _, sign := range signs {
		sign.set(w)
	}
	all := Read(c, w).Messages
	for i := 1; i < len(all); i++ {
		assert.GreaterOrEqual(t, all[i-1].Grade, all[i].Grade, "worst first")
	}
}

// TestOldTelemetry: goal: what was received long ago is not shown as of now.
// Method: a lost link and a silent station.
func TestOldTelemetry(t *testing.T) {
	c, w := atRest(t)
	assert.False(t, Read(c, w).Old)
	w.Percept.Silent = true
	assert.True(t, Read(c, w).Old)
	w.Percept.Silent, w.Percept.LinkLost = false, true
	s := Read(c, w)
	assert.True(t, s.Old)
	assert.Equal(t, Warning, s.Link.Grade)
}

// TestSticks: goal: sticks and hover mark stand where the hands are. Method:
// thousandths against shares.
func TestSticks(t *testing.T) {
	c, w := atRest(t)
	w.Hands.Throttle, w.Hands.Roll, w.Hands.Pitch, w.Hands.Yaw = 450, -200, 1000, 500
	w.Percept.Actual = hands.Attitude
	s := Read(c, w)
	assert.Equal(t, [4]float64{0.45, -0.2, 1, 0.5}, [4]float64{s.Throttle, s.Roll, s.Pitch, s.Yaw})
	assert.True(t, s.ThrustStick)
	w.Percept.Actual = hands.PositionHold
	assert.False(t, Read(c, w).ThrustStick, "the hover mark does not count where the throttle is climb")
}
