package dynamics

// Reach returns the radius (m) of the sphere round the centre of gravity that
// holds every part that can touch. The craft must have been prepared.
func (c *Craft) Reach() float64 { return c.touchReach }
