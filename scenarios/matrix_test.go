package scenarios

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/control"
	"lapwing/sim/trials"
)

// Goal: what stands in a matrix arrives. Method: the good file of the tests, which
// has every key.
func TestMatrixArrives(t *testing.T) {
	text, err := os.ReadFile("testdata/good-matrix.yaml")
	require.NoError(t, err)
	m, err := LoadMatrix(single{Document{Kind: KindMatrix, Name: "it", File: "it.yaml", Text: text}}, "it")
	require.NoError(t, err)
	m.Find = nil
	assert.Equal(t, &Matrix{Title: "Every key once", Scenarios: []string{"drift-in-hold", "motor-failure-quad"},
		Craft: []string{Own, "quad-250g"}, Laws: []string{Own, "gentle"},
		Pilots: []MatrixPilot{{"trained", 0.5}, {"trained", 1}, {"trained", 2}, {"trained", 4}, {"none", 0}},
		Sweep: trials.Sweep{Design: trials.Grid, Axes: []trials.Axis{
			{Of: trials.OfLaw, Key: "attitude_bandwidth_rad_s", From: 6, To: 10, Steps: 3},
			{Of: trials.OfCraft, Key: "mass", From: -1, To: 1, Steps: 2}}},
		Seeds: []uint64{1, 2, 3}, LimitTicks: 60000}, m)

	m, err = LoadMatrix(Catalogue(), "faults")
	require.NoError(t, err)
	assert.Equal(t, []string{Own}, m.Laws, "where none is named")
	assert.Len(t, m.Pilots, 6)
	assert.Len(t, m.Seeds, 20)
}

// Goal: a point of a sweep changes what it names, by as much as it says, and
// nothing else; and what is flown can be read back from the documents alone.
// Method: each key, against the values of the untouched bundle.
func TestTuned(t *testing.T) {
	b, err := Load(Catalogue(), "drift-in-hold")
	require.NoError(t, err)
	same, err := b.Tuned(nil)
	require.NoError(t, err)
	assert.Same(t, b, same)

	tuned, err := b.Tuned([]trials.Setting{{Of: trials.OfLaw, Key: "attitude_bandwidth_rad_s", Value: 7}, {Of: trials.OfLaw, Key: "tilt_limit_deg", Value: 20},
		{Of: trials.OfCraft, Key: "mass", Value: 1}, {Of: trials.OfCraft, Key: "motor_lag", Value: -1}, {Of: trials.OfCraft, Key: "drag", Value: 0.5}})
	require.NoError(t, err)
	assert.Equal(t, control.Chosen(7), tuned.Law.AttitudeBandwidth)
	assert.InDelta(t, 20*radiansPerDegree, tuned.Law.TiltLimit.Value, 1e-12)
	u := b.Uncertainty
	assert.InEpsilon(t, b.Craft.Mass*(1+u.Mass), tuned.Craft.Mass, 1e-12)
	assert.InEpsilon(t, b.Craft.Inertia[0]*(1+u.Mass), tuned.Craft.Inertia[0], 1e-12)
	assert.InEpsilon(t, b.Craft.Rotors[0].Lag*(1-u.Lag), tuned.Craft.Rotors[0].Lag, 1e-12)
	assert.InEpsilon(t, b.Craft.DragArea.X*(1+u.Drag/2), tuned.Craft.DragArea.X, 1e-12)
	assert.InEpsilon(t, b.Craft.Rotors[0].Drag*(1+u.Drag/2), tuned.Craft.Rotors[0].Drag, 1e-12)
	assert.Equal(t, b.Place, tuned.Place)
	again, err := LoadBundle(tuned.Documents)
	require.NoError(t, err)
	assert.Equal(t, tuned.Craft, again.Craft)
	assert.Equal(t, tuned.Law, again.Law)
}

// Goal: a loop takes its bandwidth or its damping: the one that is varied drives
// the other out. Method: a law that names the damping, tuned in bandwidth, and the
// other way round.
func TestTunedLoopHasOneOfTwo(t *testing.T) {
	law := Document{Kind: KindLaw, Name: "it", File: "it", Text: []byte("kind: law\nversion: 1\ntitle: It\nloops: {attitude_damping: 0.9, yaw_bandwidth_rad_s: 2}\n")}
	b, err := LoadInstead(single{law}, "drift-in-hold", Instead{Law: "it"})
	require.NoError(t, err)
	tuned, err := b.Tuned([]trials.Setting{{Of: trials.OfLaw, Key: "attitude_bandwidth_rad_s", Value: 6}, {Of: trials.OfLaw, Key: "yaw_damping", Value: 1}})
	require.NoError(t, err)
	assert.False(t, tuned.Law.AttitudeDamping.Given)
	assert.Equal(t, control.Chosen(6), tuned.Law.AttitudeBandwidth)
	assert.False(t, tuned.Law.YawBandwidth.Given)
	assert.Equal(t, control.Chosen(1), tuned.Law.YawDamping)
}
