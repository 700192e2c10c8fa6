package inject

import (
	"math"

	"lapwing/dynamics/kernel"
)

// State is what of the injects changes. A plain value.
type State struct {
	Due       [MaxInjects]int64       // tick at which it is due by itself, Never while its mark is not passed
	Onset     [MaxInjects]int64       // tick at which it came, Never before
	Dir       [MaxInjects]kernel.Vec3 // unit, room or body axes, its direction, set as it comes
	Withdrawn [MaxInjects]bool        // by the instructor: it has no effect any more
	Held      [MaxInjects]bool        // by the instructor: it does not come by itself
	Neutral   bool                    // the effects were left neutral at the last tick
}

var (
	neutral     = NoEffects()
	streamOnset = kernel.NewStream("inject onset")
)

// Start returns the state before tick 0: nothing has come.
func Start(p *Plan) State {
	var s State
	for i := range MaxInjects {
		s.Due[i], s.Onset[i] = Never, Never
	}
	return s
}

// First returns the tick at which the first inject came, Never before.
func (s *State) First() int64 {
	first := Never
	for _, onset := range s.Onset {
		if onset != Never && (first == Never || onset < first) {
			first = onset
		}
	}
	return first
}

// Due lets come what is due at tick and leaves in fx what acts in it. m holds
// the marks passed so far.
func Due(p *Plan, s *State, m *Marks, seed uint64, tick int64, fx *Effects) {
	acting := false
	for i := range min(p.Count, MaxInjects) {
		acting = s.acts(p, i, m, seed, tick) || acting
	}
	if acting || !s.Neutral {
		s.Neutral = !acting
		*fx = neutral
	}
	if acting {
		s.add(p, tick, fx)
	}
}

// acts lets inject i come if it is due and tells whether it acts at tick.
func (s *State) acts(p *Plan, i int, m *Marks, seed uint64, tick int64) bool {
	if s.Withdrawn[i] {
		return false
	}
	in := &p.Injects[i]
	if s.Onset[i] == Never {
		if s.Due[i] == Never {
			s.Due[i] = in.Onset.tick(m, seed, i)
		}
		if s.Held[i] || s.Due[i] == Never || tick < s.Due[i] {
			return false
		}
		s.come(in, i, tick)
	}
	age := tick - s.Onset[i]
	return age >= 0 && age < in.LastsTicks
}

// tick returns the tick at which inject i comes, Never while its mark is not
// passed. The wait depends on seed and i alone, so who flies does not shift it.
func (o *Onset) tick(m *Marks, seed uint64, i int) int64 {
	at := m.At[o.After]
	if at == Never {
		return Never
	}
	wait := float64(float64(o.MeanTicks) * kernel.Exponential(seed, streamOnset, 0, uint64(i)))
	return at + o.DelayTicks + int64(min(math.Floor(wait+0.5), float64(o.CapTicks)))
}

func (s *State) come(in *Inject, i int, tick int64) {
	s.Onset[i] = tick
	if in.Kind.Directed() {
		s.Dir[i].Y, s.Dir[i].X = kernel.SinCos(in.Direction)
	}
}

// add adds the effects of all injects that act at tick.
func (s *State) add(p *Plan, tick int64, fx *Effects) {
	for i := range min(p.Count, MaxInjects) {
		in := &p.Injects[i]
		if age := tick - s.Onset[i]; s.Onset[i] != Never && !s.Withdrawn[i] && age >= 0 && age < in.LastsTicks {
			in.act(age, s.Dir[i], fx)
		}
	}
}
