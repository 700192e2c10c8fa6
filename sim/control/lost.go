package control

import "math"

// When a rotor counts as lost: its speed is off by more than this share of what
// it should be, for this many attitude steps (60 ms).
const (
	speedOff  = 0.4
	offSteps  = 15
	leastSeen = 0.03 // share of SpeedMax below which a speed is not judged
)

// watchRotors compares reported rotor speeds with what was commanded and, once
// one is off for long enough, rebuilds the mixer without that rotor.
func (s *State) watchRotors(p *Params, in *Input) {
	if !s.Watching { // the law may begin in the air
		s.Watching, s.Expect = true, in.RotorSpeed
	}
	for i := range p.RotorCount {
		if s.Gone[i] {
			continue
		}
		r := &p.Rotors[i]
		target := float64(s.Duty[i] * s.Volts * r.SpeedMax)
		s.Expect[i] += float64(r.Follow * (target - s.Expect[i]))
		miss := math.Abs(in.RotorSpeed[i] - s.Expect[i])
		if s.Expect[i] < leastSeen*r.SpeedMax || miss <= speedOff*s.Expect[i] {
			s.Off[i] = 0
			continue
		}
		s.Off[i]++
		if s.Off[i] >= offSteps {
			s.lose(p, i)
		}
	}
}

// lose rebuilds the mixer without rotor i.
func (s *State) lose(p *Params, i int) {
	s.Gone[i] = true
	s.GoneCount++
	s.Top[i] = 0
	s.Mix = NewMixer(p, &s.Gone)
}

// hasYaw tells whether the rotors that are left can yaw the craft.
func (s *State) hasYaw(p *Params) bool {
	if s.GoneCount > 0 {
		return s.Mix.HasYaw
	}
	return p.Mix.HasYaw
}
