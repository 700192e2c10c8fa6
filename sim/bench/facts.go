package bench

// Complete tells whether every item was looked at and then ticked.
func (s *State) Complete(p *Params) bool {
	for i := range p.Count {
		if s.Looked[i] == Never || s.Ticked[i] < s.Looked[i] {
			return false
		}
	}
	return p.Count > 0
}

// Found returns how many discrepancies were ticked as such.
func (s *State) Found(p *Params) int { return s.count(p, true, true) }

// Missed returns how many discrepancies were ticked as sound.
func (s *State) Missed(p *Params) int { return s.count(p, true, false) }

// False returns how many sound items were ticked as not sound.
func (s *State) False(p *Params) int { return s.count(p, false, true) }

// FoundAll tells whether every discrepancy there is was found.
func (s *State) FoundAll(p *Params) bool { return s.Found(p) == p.Discrepancies() }

// count counts the ticked items that are spoilt or not, and ticked bad or not.
func (s *State) count(p *Params, spoilt, bad bool) int {
	n := 0
	for i := range p.Count {
		if s.Ticked[i] != Never && s.Bad[i] == bad && (p.Items[i].State != Sound) == spoilt {
			n++
		}
	}
	return n
}

// Open tells whether a discrepancy stands that forbids flying. Those are not
// mended where they stand, so finding one does not close it.
func (s *State) Open(p *Params) bool {
	for i := range p.Count {
		if p.Items[i].State.NoGo() {
			return true
		}
	}
	return false
}

// Unmended tells whether a discrepancy that could be mended was not found.
func (s *State) Unmended(p *Params) bool {
	for i := range p.Count {
		it := &p.Items[i]
		if it.State != Sound && !it.State.NoGo() && !s.Bad[i] {
			return true
		}
	}
	return false
}

// Discrepancies returns how many items are not sound.
func (p *Params) Discrepancies() int {
	n := 0
	for i := range p.Count {
		if p.Items[i].State != Sound {
			n++
		}
	}
	return n
}
