package sound

import (
	"math"

	"lapwing/dynamics"
)

// Synth makes samples. It is a plain value: copying it forks the sound. The zero
// value is silent and ready.
type Synth struct {
	heard  Heard
	known  bool // heard has been set once
	rotors [dynamics.MaxRotors]voice
	hiss   hiss
	thump  thump
	tone   player // of the alarm
	told   player // of arming and disarming
	alarm  Alarm  // that tone plays
	since  int    // samples for which the alarm has stood
	volume float64
}

// SetVolume sets the volume, 0 … 1.
func (s *Synth) SetVolume(v float64) { s.volume = math.Min(math.Max(v, 0), 1) }

// Hear sets what is to be heard from the next sample on.
func (s *Synth) Hear(h Heard) {
	if s.known && h.Running {
		if h.Armed != s.heard.Armed {
			s.told.start(armingTone(h.Armed))
		}
		switch {
		case h.Contact && !s.heard.Contact:
			s.thump.hit(hardBlow(h.Blow))
		case h.OnFloor && !s.heard.OnFloor:
			s.thump.hit(softBlow(h.Blow))
		}
	}
	if h.Alarm != s.heard.Alarm {
		s.since = 0
	}
	s.heard, s.known = h, true
}

// Levels of the parts against full scale. Judgements, made so that a tone is
// heard over four motors near by.
const (
	motorLevel = 0.5
	thumpLevel = 0.5
	toneLevel  = 0.28
)

// cautionAfter keeps the tone of a caution back until it has stood for a while: a
// response type is in force only some frames after it was selected.
const cautionAfter = Rate * 4 / 10 // samples

// Render fills out with samples, −1 … 1.
func (s *Synth) Render(out []float32) {
	const block = Rate / 100
	for len(out) > block {
		s.render(out[:block])
		out = out[block:]
	}
	s.render(out)
}

func (s *Synth) render(out []float32) {
	s.chooseTone()
	room := gain(s.heard.Distance)
	for i := range out {
		x := room * motorLevel * s.motors()
		x += room * thumpLevel * s.thump.next()
		x += toneLevel * (s.tone.next() + s.told.next())
		out[i] = float32(s.volume * math.Tanh(x))
	}
	s.since += len(out)
}

func (s *Synth) chooseTone() {
	want := s.heard.Alarm
	if !s.heard.Running || want == AlarmCaution && s.since < cautionAfter {
		want = AlarmNone
	}
	if want != s.alarm {
		s.alarm = want
		s.tone.start(alarmTones[want])
	}
}

// motors is the next sample of all rotors at 1 m, about −1 … 1.
func (s *Synth) motors() float64 {
	sum, rush := 0.0, 0.0
	for i := range s.heard.Rotors {
		speed, share := s.heard.Speed[i], s.heard.Share[i]
		if !s.heard.Running {
			share = 0
		}
		sum += s.rotors[i].next(speed, share, s.heard.Broken[i])
		rush += s.rotors[i].loud
	}
	n := math.Max(float64(s.heard.Rotors), 1)
	return (sum + hissShare*rush*s.hiss.next()) / n
}

// critical is the distance (m) beyond which a room gives back more sound than
// comes straight (H. Kuttruff, Room Acoustics, from memory: 1 to 2 m in a bare
// room of this size).
const critical = 1.5

// gain is the loudness at distance d (m) against that at 1 m without a room: the
// straight sound falls as 1/d, what the room gives back does not fall.
func gain(d float64) float64 {
	d = math.Max(d, 0.5)
	return math.Sqrt(1/(d*d) + 1/(critical*critical))
}
