// Package speaker plays what package sound makes, over the system's sound, or is
// silent where there is none.
//
// It stands apart because it alone knows a sound driver. The way of the data: the
// driver asks for samples on a thread of its own; the synthesiser makes them out
// of what was heard last.
package speaker

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"
	"time"

	"github.com/ebitengine/oto/v3"

	"lapwing/render/sound"
	"lapwing/render/words"
)

// Buffers, each of which delays the sound by its length. Half of this is heard as
// a click on slow machines.
const (
	driverBuffer = 20 * time.Millisecond
	ownBuffer    = 10 * time.Millisecond
)

// waitForDriver is how long the driver may take to open.
const waitForDriver = 3 * time.Second

// Speaker plays. It is always usable: without a device it is silent.
type Speaker struct {
	mutex   sync.Mutex
	synth   sound.Synth
	block   []float32
	context *oto.Context
	player  *oto.Player
	silent  error
}

// Open opens the system's sound. Only the first call of a program can have it:
// the driver belongs to the process.
func Open(volume float64) *Speaker {
	s := &Speaker{}
	s.synth.SetVolume(volume)
	context, ready, err := oto.NewContext(&oto.NewContextOptions{
		SampleRate: sound.Rate, ChannelCount: 1, Format: oto.FormatFloat32LE, BufferSize: driverBuffer})
	if err != nil {
		s.silent = err
		return s
	}
	select {
	case <-ready:
		s.silent = context.Err()
	case <-time.After(waitForDriver):
		s.silent = fmt.Errorf("the driver did not answer for %v", waitForDriver)
	}
	if s.silent != nil {
		return s
	}
	s.context, s.player = context, context.NewPlayer(s)
	s.player.SetBufferSize(int(ownBuffer.Seconds() * sound.Rate * bytesPerSample))
	s.player.Play()
	return s
}

// Mute returns a speaker without a device, for tests and for people who want
// none.
func Mute() *Speaker { return &Speaker{silent: errors.New(words.Say("speaker.off"))} }

// Silent tells, as a sentence for the person, why nothing is heard; "" when it
// is. A device that was unplugged counts too.
func (s *Speaker) Silent() string {
	err := s.silent
	if err == nil {
		err = s.context.Err()
	}
	if err == nil {
		return ""
	}
	return words.Say("speaker.silent", "why", strings.Join(strings.Fields(err.Error()), " "))
}

// Delay is the length of the buffers: how much later than a picture what belongs
// to it is heard, as asked of the driver. 0 when silent.
func (s *Speaker) Delay() time.Duration {
	if s.Silent() != "" {
		return 0
	}
	return driverBuffer + ownBuffer
}

// Hear sets what is to be heard.
func (s *Speaker) Hear(h sound.Heard) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.synth.Hear(h)
}

// SetVolume sets the volume, 0 … 1.
func (s *Speaker) SetVolume(v float64) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.synth.SetVolume(v)
}

// Close stops playing.
func (s *Speaker) Close() {
	if s.player != nil {
		s.player.Pause()
	}
}

const bytesPerSample = 4

// Read gives the driver its next samples.
func (s *Speaker) Read(p []byte) (int, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	n := len(p) / bytesPerSample
	if cap(s.block) < n {
		s.block = make([]float32, n)
	}
	block := s.block[:n]
	s.synth.Render(block)
	for i, x := range block {
		binary.LittleEndian.PutUint32(p[bytesPerSample*i:], math.Float32bits(x))
	}
	return n * bytesPerSample, nil
}
