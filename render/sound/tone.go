package sound

import "math"

// note is one beep of a tone.
type note struct {
	pitch float64 // Hz
	from  float64 // s, from the start of the tone
	long  float64 // s
}

// tone is a pattern of beeps. Tones differ in number, length and course of their
// beeps, not in pitch alone, so that they are told apart by people who do not
// hear pitch well.
type tone struct {
	notes []note
	every float64 // s, after which it comes again; 0: once
}

// The tones. Pitches lie where hearing is good and age takes least; patterns and
// pitches are judgements.
var alarmTones = [...]tone{
	AlarmNone:     {},
	AlarmCaution:  {[]note{{620, 0, 0.35}}, 2.4},
	AlarmWarning:  {[]note{{980, 0, 0.11}, {980, 0.18, 0.11}, {980, 0.36, 0.11}}, 1.0},
	AlarmLostLink: {[]note{{820, 0, 0.22}, {545, 0.24, 0.42}}, 1.4},
}

var (
	armedTone    = tone{[]note{{440, 0, 0.12}, {550, 0.14, 0.12}, {660, 0.28, 0.2}}, 0}
	disarmedTone = tone{[]note{{660, 0, 0.12}, {440, 0.14, 0.26}}, 0}
)

func armingTone(armed bool) tone {
	if armed {
		return armedTone
	}
	return disarmedTone
}

// player plays a tone.
type player struct {
	tone  tone
	at    float64 // s, since its start
	phase float64 // rad
}

func (p *player) start(t tone) { *p = player{tone: t} }

const edge = 0.008 // s, over which a beep rises and falls, so that it does not click

func (p *player) next() float64 {
	if len(p.tone.notes) == 0 {
		return 0
	}
	x := 0.0
	for _, n := range p.tone.notes {
		t := p.at - n.from
		if t < 0 || t >= n.long {
			continue
		}
		p.phase += 2 * math.Pi * n.pitch / Rate
		x = math.Sin(p.phase) * math.Min(1, math.Min(t, n.long-t)/edge)
	}
	p.at += 1.0 / Rate
	last := p.tone.notes[len(p.tone.notes)-1]
	switch {
	case p.tone.every > 0 && p.at >= p.tone.every:
		p.at, p.phase = 0, 0
	case p.tone.every == 0 && p.at >= last.from+last.long:
		*p = player{}
	}
	return x
}
