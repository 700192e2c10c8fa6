package rounds

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim/trials"
)

// Goal: a fault of the program in one case, and a point of a sweep that makes no
// sound law, are errors of that case, and the others are unharmed. Method: a bundle
// emptied on purpose; a point outside what a law may say.
func TestOthersUnharmed(t *testing.T) {
	m := scenarios.DefaultMatrix()
	m.Scenarios, m.Seeds = []string{"arm-and-disarm", "arming-refused"}, []uint64{1}
	m.Pilots = []scenarios.MatrixPilot{{Name: "none"}}
	c, err := Resolve(m)
	require.NoError(t, err)
	defer c.Close()
	c.bundles[0] = &scenarios.Bundle{Name: "emptied"}
	broken, sound := c.Fly(0), c.Fly(1)
	assert.Equal(t, trials.Errored, broken.Outcome)
	assert.NotEmpty(t, broken.Error)
	assert.Equal(t, trials.Passed, sound.Outcome)

	m.Sweep = trials.Sweep{Design: trials.Grid, Axes: []trials.Axis{{Of: trials.OfLaw, Key: "tilt_limit_deg", From: 10, To: 5000, Steps: 2}}}
	c, err = Resolve(m)
	require.NoError(t, err)
	defer c.Close()
	assert.Equal(t, trials.Passed, c.Fly(0).Outcome)
	outside := c.Fly(1)
	assert.Equal(t, trials.Errored, outside.Outcome)
	assert.Contains(t, outside.Error, "tilt_limit_deg: out of range")
}

// Goal: everything wrong with a matrix is told at once.
func TestResolveSaysWhatIsWrong(t *testing.T) {
	m := scenarios.DefaultMatrix()
	m.Scenarios = []string{"drift-in-hld", "arm-and-disarm", "arm-and-disarm"}
	m.Laws = []string{"own", "gentel"}
	m.Pilots = []scenarios.MatrixPilot{{Name: "none", Delay: 1}, {Name: "nobody"}}
	_, err := Resolve(m)
	for _, want := range []string{"did you mean drift-in-hold?", "did you mean gentle?", "the scenario arm-and-disarm stands twice",
		"only a modelled person waits on top", `there is no pilot "nobody"`, "at least one of each"} {
		assert.ErrorContains(t, err, want)
	}
	m.Scenarios, m.Laws, m.Pilots = []string{"arm-and-disarm"}, []string{"own"}, []scenarios.MatrixPilot{{Name: "none"}}
	m.Seeds = make([]uint64, mostCases+1)
	_, err = Resolve(m)
	assert.ErrorContains(t, err, "100000001 cases; allowed at most 100000000")
}

// Goal: no bytes make the reader of lines panic, and what it takes it can write
// again.
func FuzzReadLine(f *testing.F) {
	r := trials.Result{Case: trials.Case{ID: 3, Point: []trials.Setting{{Of: "law", Key: "x", Value: 1}}}, Outcome: trials.Passed}
	line, err := Line(&r)
	require.NoError(f, err)
	f.Add(line[:len(line)-1])
	f.Add([]byte(`{"crc32c":"00000000","row":}`))
	f.Add([]byte("{}"))
	f.Fuzz(func(t *testing.T, text []byte) {
		if r, err := ParseLine(text); err == nil {
			_, err := Line(&r)
			require.NoError(t, err)
		}
	})
}
