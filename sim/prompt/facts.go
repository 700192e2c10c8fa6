package prompt

// Left returns how many asks are not answered or given up yet, the present one
// among them.
func (s *State) Left(p *Params) int { return p.Count - int(s.Next) }

// Complete tells whether everything was asked for and answered in time.
func (s *State) Complete(p *Params) bool {
	return p.Count > 0 && s.Next >= int64(p.Count) && s.Unanswered(p) == 0
}

// Over tells whether nothing is still to come.
func (s *State) Over(p *Params) bool { return s.Next >= int64(p.Count) }

// Unanswered returns how many asks were given up.
func (s *State) Unanswered(p *Params) int {
	n := 0
	for i := range min(int(s.Next), p.Count) {
		if s.Answered[i] == Never {
			n++
		}
	}
	return n
}

// WrongSwitches returns at how many asks another switch was moved first.
func (s *State) WrongSwitches() int {
	n := 0
	for _, wrong := range s.Wrong {
		if wrong {
			n++
		}
	}
	return n
}

// Median returns the median time (s) from an ask to its answer over those that
// were answered; of an even number the mean of the middle two. 0 without any.
func (s *State) Median() float64 {
	var times [MaxPrompts]int64
	n := 0
	for i, at := range s.Answered {
		if at == Never {
			continue
		}
		t := at - s.AskedAt[i]
		k := n
		for ; k > 0 && times[k-1] > t; k-- {
			times[k] = times[k-1]
		}
		times[k] = t
		n++
	}
	if n == 0 {
		return 0
	}
	return float64(times[(n-1)/2]+times[n/2]) / 2000
}
