package sight

// search starts tracks on landmarks seen in the last picture, no more than fit
// into each cell of it.
func (s *State) search(p *Params, sc *Scene, seed uint64) {
	var taken [MaxLandmarks/64 + 1]uint64
	var count [cellsX * cellsY]int
	var free [MaxTracks]int
	n, live := 0, 0
	for i := range s.Tracks {
		t := &s.Tracks[i]
		if t.ID < 0 {
			free[n] = i
			n++
			continue
		}
		live++
		taken[t.ID/64] |= 1 << (t.ID % 64)
		count[cell(p, t.X, t.Y)]++
	}
	room := min(n, p.Tracked-live)
	if room <= 0 || s.Shot.Light == 0 {
		return
	}
	var v view
	s.open(p, sc, &v)
	for k := range sc.Count {
		id := s.From + k
		if id >= sc.Count {
			id -= sc.Count
		}
		if taken[id/64]>>(id%64)&1 != 0 {
			continue
		}
		x, y, ok := v.see(p, sc, &sc.Landmarks[id], p.Margin)
		if !ok {
			continue
		}
		c := cell(p, x, y)
		if count[c] >= perCell {
			continue
		}
		count[c]++
		room--
		t := &s.Tracks[free[room]]
		*t = Track{ID: int32(id), Rho: p.Guess, Rel: 1}
		s.measure(p, t, x, y, seed, s.Shot.Tick)
		t.AX, t.AY = t.X, t.Y
		if room == 0 {
			s.From = id + 1
			break
		}
	}
	if s.From >= sc.Count {
		s.From = 0
	}
}
