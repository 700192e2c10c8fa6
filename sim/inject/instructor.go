package inject

// What an instructor does with an inject. Each returns whether it changed
// anything; the caller records it with its tick, for a replay needs it. i is the
// index in the plan; one outside it changes nothing.

// Now lets inject i come at tick, whether or not it is held or its mark is
// passed. One that has come or is withdrawn stays as it is.
func Now(p *Plan, s *State, i int, tick int64) bool {
	if !planned(p, i) || s.Onset[i] != Never || s.Withdrawn[i] {
		return false
	}
	s.come(&p.Injects[i], i, tick)
	return true
}

// Withdraw takes inject i out of the run: one still to come never comes, one
// that acts ends with this tick.
func Withdraw(p *Plan, s *State, i int) bool {
	if !planned(p, i) || s.Withdrawn[i] {
		return false
	}
	s.Withdrawn[i] = true
	return true
}

// Hold keeps inject i back: it does not come by itself until it is made ready.
func Hold(p *Plan, s *State, i int) bool {
	if !planned(p, i) || s.Held[i] || s.Onset[i] != Never {
		return false
	}
	s.Held[i] = true
	return true
}

// MakeReady ends a hold. Where its time has passed meanwhile, the inject comes
// at the next tick.
func MakeReady(p *Plan, s *State, i int) bool {
	if !planned(p, i) || !s.Held[i] {
		return false
	}
	s.Held[i] = false
	return true
}

func planned(p *Plan, i int) bool { return i >= 0 && i < p.Count }
