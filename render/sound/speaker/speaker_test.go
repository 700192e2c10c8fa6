package speaker

import (
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/sound"
)

// TestWithoutADevice: goal: where there is no sound the program goes on and says
// why; where there is, the delay is the length of the buffers. Only one of the
// two can be seen on one machine. A second opening is silent on every machine.
func TestWithoutADevice(t *testing.T) {
	for i, s := range []*Speaker{Open(0.5), Open(0.5), Mute()} {
		defer s.Close()
		s.Hear(sound.Heard{Running: true})
		s.SetVolume(1)
		if s.Silent() == "" {
			require.Zero(t, i)
			assert.Equal(t, driverBuffer+ownBuffer, s.Delay())
			continue
		}
		assert.Zero(t, s.Delay())
		assert.Contains(t, s.Silent(), "No sound: ")
		assert.NotContains(t, s.Silent(), "\n")
	}
}

// TestRead: goal: the driver gets whole samples of what is heard, in the order of
// bytes it asked for.
func TestRead(t *testing.T) {
	s := Mute()
	s.SetVolume(1)
	h := sound.Heard{Running: true, Rotors: 1, Distance: 1}
	h.Speed[0], h.Share[0] = 500, 0.7
	s.Hear(h)
	buffer := make([]byte, 4*4800+3)
	n, err := s.Read(buffer)
	require.NoError(t, err)
	assert.Equal(t, 4*4800, n)
	var least, most float32
	for i := 0; i < n; i += 4 {
		x := math.Float32frombits(binary.LittleEndian.Uint32(buffer[i:]))
		least, most = min(least, x), max(most, x)
	}
	assert.Less(t, least, float32(-0.1))
	assert.Greater(t, most, float32(0.1))
	assert.LessOrEqual(t, most, float32(1))
}
