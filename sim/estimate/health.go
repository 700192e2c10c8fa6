package estimate

import (
	"math"

	"lapwing/dynamics/kernel"
)

// healthTicks is how often the word is looked at.
const healthTicks = 10

// noteNIS takes the NIS of a fix, before gating, into the running mean; one
// wild fix counts no more than twice the gate.
func (s *State) noteNIS(p *Params, nis float64) {
	nis = kernel.Clamp(nis, 0, 2*p.FixGate)
	s.MeanNIS += float64(0.1 * (nis - s.MeanNIS))
}

// judge gives the camera's word: worse at once, better by one step only when
// the better one has held for Calm.
func (s *State) judge(p *Params) {
	b := &s.Belief
	b.SigmaPos = math.Sqrt(0.5 * (s.Cov[pp][0] + s.Cov[pp][4]))
	b.HeightOK = s.Ground.Since < 200 || b.SinceFix < 500
	now := Agrees
	switch {
	case p.Disagree.passed(s):
		now = Disagrees
	case p.Doubt.passed(s):
		now = Doubtful
	}
	if now >= b.Health {
		b.Health, s.Calm = now, 0
		return
	}
	s.Calm += healthTicks
	if s.Calm >= p.Calm {
		b.Health, s.Calm = b.Health-1, 0
	}
}

// passed tells whether any limit is passed.
func (l *Limits) passed(s *State) bool {
	return s.Belief.SinceFix >= l.SinceFix || s.MeanNIS >= l.NIS || s.Belief.SigmaPos >= l.Sigma
}
