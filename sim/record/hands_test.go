package record

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/hands"
)

// Goal: a recording keeps everything that hands can say, also a field that is
// added one day. Method: hands without a zero field, to the wire and back.
func TestHandsSurviveTheWire(t *testing.T) {
	h := hands.Hands{Throttle: 1, Roll: -2, Pitch: 3, Yaw: -4, Response: hands.HeightHold, Armed: true, CutOff: true,
		Call: hands.CallGo, Step: hands.StepCarry, Item: 5}
	v := reflect.ValueOf(h)
	for i := range v.NumField() {
		require.False(t, v.Field(i).IsZero(), "%s is not tested", v.Type().Field(i).Name)
	}
	text, err := json.Marshal(toMessage(&h))
	require.NoError(t, err)
	var m handsMessage
	require.NoError(t, json.Unmarshal(text, &m))
	got, ok := m.hands()
	assert.True(t, ok)
	assert.Equal(t, h, got)
}
