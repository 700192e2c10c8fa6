package sound

import "math"

// voice is the sound of one rotor: blade passage and its overtones.
type voice struct {
	phase float64 // rad, of the shaft
	speed float64 // rad/s, smoothed
	loud  float64 // 0 … 1, smoothed
}

// overtones are the strengths of blade passage and its multiples. That they fall
// is common to all propellers; how fast is a judgement.
var overtones = [4]float64{1, 0.45, 0.2, 0.1}

const (
	smooth     = 1.0 / (0.012 * Rate) // a sample's share of the way to what is heard: no steps between pictures
	hissShare  = 0.5                  // of the rush of air against blade passage; a judgement
	brokenBeat = 0.8                  // strength of the shaft's own note once a blade is gone: it is out of balance
)

// next is the next sample. Loudness goes with the square of the speed, as thrust
// does (a judgement).
func (v *voice) next(speed, share float64, broken bool) float64 {
	v.speed += smooth * (speed - v.speed)
	v.loud += smooth * (share*share - v.loud)
	if v.loud < 1e-7 {
		v.loud = 0
		return 0
	}
	v.phase += v.speed / Rate
	if v.phase > 2*math.Pi {
		v.phase -= 2 * math.Pi
	}
	blades := float64(Blades)
	sum := 0.0
	if broken {
		blades, sum = Blades-1, brokenBeat*math.Sin(v.phase)
	}
	// sin kx for k = 1 … 4 by sin (k+1)x = 2·cos x·sin kx − sin (k−1)x
	before, now := 0.0, math.Sin(blades*v.phase)
	twice := 2 * math.Cos(blades*v.phase)
	for _, strength := range overtones {
		sum += strength * now
		before, now = now, twice*now-before
	}
	return v.loud * sum
}

// hiss is the rush of air: noise with its highs taken off.
type hiss struct {
	state uint64
	low   float64
}

// next is the next sample, about −1 … 1. The generator is xorshift64 (G.
// Marsaglia, Xorshift RNGs, 2003, shifts 13, 7, 17).
func (h *hiss) next() float64 {
	if h.state == 0 {
		h.state = 88172645463325252 // Marsaglia's example; any number but 0 will do
	}
	h.state ^= h.state << 13
	h.state ^= h.state >> 7
	h.state ^= h.state << 17
	white := float64(int64(h.state)) / (1 << 63)
	h.low += 0.3 * (white - h.low)
	return h.low
}
