package sound

import (
	"math"
	"math/cmplx"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/dsp/fourier"

	"lapwing/render/words"
	"lapwing/scenarios"
	"lapwing/sim"
)

// hover is four rotors at the given speeds (rad/s), 3 m away.
func hover(speeds ...float64) Heard {
	h := Heard{Running: true, Rotors: len(speeds), Distance: 3, Blow: 9.81}
	for i, s := range speeds {
		h.Speed[i], h.Share[i] = s, math.Min(s/800, 1)
	}
	return h
}

func synth(h Heard) *Synth {
	var s Synth
	s.SetVolume(1)
	s.Hear(h)
	s.Render(make([]float32, Rate/4)) // smoothing settles
	return &s
}

func render(s *Synth, seconds float64) []float32 {
	out := make([]float32, int(seconds*Rate))
	s.Render(out)
	return out
}

// spectrum returns the amplitude at each multiple of resolution (Hz), by gonum's
// FFT of Hann-windowed samples.
func spectrum(samples []float32) (amplitude []float64, resolution float64) {
	n := len(samples)
	x := make([]float64, n)
	for i, v := range samples {
		x[i] = float64(v) * (1 - math.Cos(2*math.Pi*float64(i)/float64(n)))
	}
	for _, c := range fourier.NewFFT(n).Coefficients(nil, x) {
		amplitude = append(amplitude, 2*cmplx.Abs(c)/float64(n))
	}
	return amplitude, Rate / float64(n)
}

// strongest returns the frequency (Hz) of the greatest amplitude from low to high.
func strongest(a []float64, resolution, low, high float64) (frequency, amplitude float64) {
	for i := int(low / resolution); i <= int(high/resolution); i++ {
		if a[i] > amplitude {
			frequency, amplitude = float64(i)*resolution, a[i]
		}
	}
	return frequency, amplitude
}

// TestBladePassage: goal: a rotor is heard at blades × turns a second, with
// overtones at its multiples. Method: FFT of two seconds, to half a hertz.
// Passage frequency is counting, not a model: two blades go by twice a turn.
func TestBladePassage(t *testing.T) {
	for _, speed := range []float64{150, 420, 700, 1800} {
		a, r := spectrum(render(synth(hover(speed, speed, speed, speed)), 2))
		passage := 2 * speed / (2 * math.Pi)
		got, level := strongest(a, r, 20, 4000)
		assert.InDelta(t, passage, got, r, "%g rad/s", speed)
		second, weaker := strongest(a, r, 1.5*passage, 2.5*passage)
		assert.InDelta(t, 2*passage, second, r, "%g rad/s", speed)
		assert.InDelta(t, 0.45, weaker/level, 0.1)
	}
}

// TestOddRotorIsHeard: goal: a rotor that turns 20 % slower stands apart in the
// spectrum, and one that has stopped is missing.
func TestOddRotorIsHeard(t *testing.T) {
	passage := func(speed float64) float64 { return 2 * speed / (2 * math.Pi) }
	a, r := spectrum(render(synth(hover(500, 500, 500, 400)), 2))
	got, odd := strongest(a, r, passage(400)-5, passage(400)+5)
	assert.InDelta(t, passage(400), got, r)
	_, rest := strongest(a, r, passage(500)-5, passage(500)+5)
	assert.InDelta(t, 3*500*500/(400*400.0), rest/odd, 0.15*3, "three rotors, loud as the square of the speed")

	a, r = spectrum(render(synth(hover(500, 500, 500, 0)), 2))
	_, three := strongest(a, r, passage(500)-5, passage(500)+5)
	assert.InDelta(t, rest, three, 0.02*rest)

	h := hover(500, 500, 500, 500)
	h.Broken[2] = true
	a, r = spectrum(render(synth(h), 2))
	_, turn := strongest(a, r, 500/(2*math.Pi)-3, 500/(2*math.Pi)+3)
	_, passing := strongest(a, r, passage(500)-5, passage(500)+5)
	assert.Greater(t, turn, 0.3*passing, "a broken propeller is heard at one a turn")
}

// TestTheWorldIsHeard: goal: what is heard is the world's own rotors. Method: a
// modelled pilot hovers in the catalogue's room; the mean speed of its rotors
// over a second against the strongest frequency of what was made of them.
func TestTheWorldIsHeard(t *testing.T) {
	b, err := scenarios.Load(scenarios.Disk(""), "nothing-happens")
	require.NoError(t, err)
	c := b.Rehearsal(3)
	p, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	w := sim.Start(&c)
	var s Synth
	s.SetVolume(1)
	for w.Tick < 12000 {
		sim.Turn(&c, &w, p)
	}
	require.False(t, w.Percept.OnFloor)
	var out []float32
	var turns, n float64
	block := make([]float32, Rate/100)
	for range 100 {
		for range 10 {
			sim.Turn(&c, &w, p)
		}
		h := Listen(&c, &w, true)
		for i := range h.Rotors {
			turns += h.Speed[i]
			n++
		}
		s.Hear(h)
		s.Render(block)
		out = append(out, block...)
	}
	mean := turns / n
	a, r := spectrum(out)
	got, _ := strongest(a, r, 30, 3000)
	assert.InDelta(t, 1, got/(2*mean/(2*math.Pi)), 0.04, "rotors differ a little and wander while it hovers")
	h := Listen(&c, &w, true)
	assert.Greater(t, h.Distance, 1.0)
	assert.True(t, h.Armed)
	assert.False(t, h.OnFloor)
}

// TestSilence: goal: nothing is heard while nothing turns, while the world stands,
// and at no volume; and it falls silent without a click.
func TestSilence(t *testing.T) {
	zero := func(out []float32) bool { return !slices.ContainsFunc(out, func(x float32) bool { return x != 0 }) }
	assert.True(t, zero(render(synth(hover(0, 0, 0, 0)), 0.5)))
	s := synth(hover(500, 500, 500, 500))
	s.SetVolume(0)
	assert.True(t, zero(render(s, 0.1)))
	s.SetVolume(1)
	h := hover(500, 500, 500, 500)
	h.Running, h.Alarm = false, AlarmWarning
	s.Hear(h)
	render(s, 0.5)
	assert.True(t, zero(render(s, 0.2)))
	var none Synth
	assert.True(t, zero(render(&none, 0.1)))
}

// TestNoClicks: goal: rotors whose speed comes in steps, once a picture, make no
// steps in the sound. Method: the greatest change from sample to sample, with
// speeds that jump by 10 % every 33 ms, against that of steady rotors.
func TestNoClicks(t *testing.T) {
	step := func(jump float64) (most float64) {
		s := synth(hover(500, 510, 490, 505))
		last := float32(0)
		for i := range 60 {
			h := hover(500, 510, 490, 505)
			if i%2 == 0 {
				for k := range h.Rotors {
					h.Speed[k] *= 1 + jump
					h.Share[k] *= 1 + jump
				}
			}
			s.Hear(h)
			for n, x := range render(s, 0.033) {
				if i > 0 || n > 0 {
					most = max(most, math.Abs(float64(x-last)))
				}
				last = x
			}
		}
		return most
	}
	assert.Less(t, step(0.1), 1.4*step(0))
}

// TestFartherIsQuieter: goal: loudness falls with distance and never rises, and a
// room keeps it from vanishing.
func TestFartherIsQuieter(t *testing.T) {
	last := math.Inf(1)
	for d := 0.5; d < 20; d += 0.5 {
		g := gain(d)
		assert.Less(t, g, last)
		last = g
	}
	assert.Equal(t, gain(0.5), gain(0), "no louder than at arm's length")
	assert.InDelta(t, 1/critical, gain(1000), 1e-3)
}

// beeps finds the beeps of a sound: start and length in s, pitch in Hz.
func beeps(samples []float32) (list []note) {
	const block = Rate / 200 // 5 ms
	on, from := false, 0
	samples = append(samples, make([]float32, block)...) // a beep that is cut short counts
	for b := 0; b+block <= len(samples); b += block {
		peak := 0.0
		for _, x := range samples[b : b+block] {
			peak = max(peak, math.Abs(float64(x)))
		}
		switch loud := peak > toneLevel/2; {
		case loud && !on:
			on, from = true, b
		case !loud && on:
			on = false
			a, r := spectrum(samples[from:b])
			pitch, _ := strongest(a, r, 100, 3000)
			list = append(list, note{pitch, float64(from) / Rate, float64(b-from) / Rate})
		}
	}
	return list
}

// TestTones: goal: each tone is heard as its table says, comes again when it
// should, and no two are alike. Method: beeps found in three seconds of sound
// with still rotors.
func TestTones(t *testing.T) {
	type shape struct {
		beeps  int
		first  int // tenths of a second
		course int // −1 falling, 0 level, 1 rising
	}
	shapes := map[string]shape{}
	describe := func(name string, tone tone, list []note) {
		n := len(tone.notes)
		require.GreaterOrEqual(t, len(list), n, name)
		for i, want := range tone.notes {
			assert.InDelta(t, want.from, list[i].from-list[0].from, 0.012, name)
			assert.InDelta(t, want.long, list[i].long, 0.02, name)
			assert.InDelta(t, want.pitch, list[i].pitch, 0.6/want.long, "%s: half a cycle over the beep", name)
		}
		if tone.every > 0 {
			require.Greater(t, len(list), n, name)
			assert.InDelta(t, tone.every, list[n].from-list[0].from, 0.012, name)
		} else {
			assert.Len(t, list, n, name)
		}
		rise := list[n-1].pitch - list[0].pitch
		s := shape{n, int(10*list[0].long + 0.5), 0}
		if math.Abs(rise) > 50 {
			s.course = int(math.Copysign(1, rise))
		}
		for other, had := range shapes {
			assert.NotEqual(t, had, s, "%s and %s", name, other)
		}
		shapes[name] = s
	}
	for alarm, name := range map[Alarm]string{AlarmCaution: "caution", AlarmWarning: "warning", AlarmLostLink: "lost link"} {
		h := hover(0, 0, 0, 0)
		s := synth(h)
		h.Alarm = alarm
		s.Hear(h)
		describe(name, alarmTones[alarm], beeps(render(s, 4)))
	}
	for _, armed := range []bool{true, false} {
		h := hover(0, 0, 0, 0)
		h.Armed = !armed
		s := synth(h)
		h.Armed = armed
		s.Hear(h)
		describe(map[bool]string{true: "armed", false: "disarmed"}[armed], armingTone(armed), beeps(render(s, 3)))
	}
}

// TestAlarmsTakeTurns: goal: the worst alarm is the one that sounds; a caution
// that lasts for a frame does not.
func TestAlarmsTakeTurns(t *testing.T) {
	h := hover(0, 0, 0, 0)
	s := synth(h)
	h.Alarm = AlarmCaution
	s.Hear(h)
	assert.Empty(t, beeps(render(s, 0.2)))
	h.Alarm = AlarmNone
	s.Hear(h)
	assert.Empty(t, beeps(render(s, 1)))
	h.Alarm = AlarmLostLink
	s.Hear(h)
	assert.InDelta(t, 820, beeps(render(s, 0.5))[0].pitch, 5)
	h.Running = false
	s.Hear(h)
	assert.Empty(t, beeps(render(s, 2)), "it is silent while the world stands")
	h.Running = true
	h.Alarm = AlarmNone
	s.Hear(h)
	assert.Empty(t, beeps(render(s, 2)))
}

// TestContactIsHeard: goal: a contact is a thump that dies away, louder when
// harder, once for each.
func TestContactIsHeard(t *testing.T) {
	power := func(out []float32) (p float64) {
		for _, x := range out {
			p += float64(x) * float64(x)
		}
		return p / float64(len(out))
	}
	hit := func(feels float64, floor bool) (early, late float64) {
		h := hover(0, 0, 0, 0)
		s := synth(h)
		h.Contact, h.OnFloor, h.Blow = !floor, floor, feels
		for range 6 { // the same contact, seen in six pictures
			s.Hear(h)
			early = max(early, power(render(s, 0.03)))
		}
		render(s, 0.2)
		return early, power(render(s, 0.05))
	}
	hard, after := hit(60, false)
	soft, _ := hit(9.81, false)
	feet, _ := hit(12, true)
	assert.Greater(t, hard, 2*soft)
	assert.Greater(t, soft, 2*feet)
	assert.Positive(t, feet)
	assert.Less(t, after, hard/1e4, "40 dB down")
}

// TestCaptions: goal: what is heard is also written, in order of urgency, and goes
// again.
func TestCaptions(t *testing.T) {
	var c Captions
	still := hover(0, 0, 0, 0)
	turning := hover(300, 300, 300, 300)
	assert.Empty(t, c.See(still, 0))
	armed := still
	armed.Armed = true
	assert.Equal(t, []string{words.Say("sound.armed")}, c.See(armed, time.Second))
	turning.Armed = true
	assert.Equal(t, []string{words.Say("sound.armed"), words.Say("sound.motors-turn")}, c.See(turning, 2*time.Second))
	assert.Equal(t, []string{words.Say("sound.motors-turn")}, c.See(turning, 3500*time.Millisecond))
	assert.Empty(t, c.See(turning, 4*time.Second))
	bad := turning
	bad.Alarm, bad.Contact, bad.Odd = AlarmLostLink, true, true
	assert.Equal(t, []string{words.Say("sound.lost-link"), words.Say("sound.contact"), words.Say("sound.odd")}, c.See(bad, 5*time.Second))
	bad.Running = false
	assert.Empty(t, c.See(bad, 5*time.Second))
	for alarm, key := range map[Alarm]string{AlarmWarning: "sound.warning", AlarmCaution: "sound.caution"} {
		turning.Alarm = alarm
		assert.Equal(t, words.Of("sound", key[len("sound."):]), c.See(turning, time.Minute)[0])
	}
	down := still
	down.OnFloor, down.Armed = true, true
	assert.Contains(t, c.See(down, 2*time.Minute), words.Say("sound.floor"))
}

// TestNoAllocation: goal: the driver's thread makes no garbage.
func TestNoAllocation(t *testing.T) {
	s := synth(hover(500, 500, 500, 400))
	out := make([]float32, 480)
	assert.Zero(t, testing.AllocsPerRun(100, func() { s.Render(out) }))
}

// BenchmarkRender is 10 ms of sound of eight rotors.
func BenchmarkRender(b *testing.B) {
	s := synth(hover(500, 500, 500, 400, 500, 500, 500, 500))
	out := make([]float32, Rate/100)
	for b.Loop() {
		s.Render(out)
	}
}
