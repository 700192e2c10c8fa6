package sight

// LevelAt returns the lamp's level, 0 … 1, at time t (s), for whoever draws it.
func (l *Lamp) LevelAt(t float64) float64 { return l.level(t) }
