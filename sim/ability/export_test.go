package ability

import "lapwing/dynamics"

// Level is level, for tests from outside.
func Level(c *dynamics.Craft, p *dynamics.Place, tilt float64) float64 {
	speed, _ := level(c, p, tilt)
	return speed
}
