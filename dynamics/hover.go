package dynamics

// What the craft needs to hover far from any surface in still air: where a
// start, a control law's design and a report begin. Not for the tick.

// Linear returns thrust per Ω² (N per (rad/s)²) and torque per Ω² (N·m per
// (rad/s)²) of rotor i at rest in the air, at the given density (kg/m³) and
// speed (rad/s). They hold exactly at that speed and vary by a few per cent over
// the table.
func Linear(c *Craft, density, speed float64, i int) (kT, kQ float64) {
	r := &c.Rotors[i]
	n := speed / twoPi
	return float64(density * r.Prop.CT(n, 0) * r.fixed.thrustK),
		float64(density * r.Prop.CP(n, 0) * r.fixed.torqueK)
}

// HoverSpeed returns the speed, the same for all rotors, at which the thrust of
// the craft at level attitude carries its weight, rad/s. It is at most ten times
// the greatest SpeedMax: a craft that cannot hover gives that.
func HoverSpeed(c *Craft, p *Place) float64 {
	weight := float64(c.Mass * p.Air.Gravity)
	low, high := 0.0, 0.0
	for i := range c.RotorCount {
		high = max(high, 10*c.Rotors[i].SpeedMax)
	}
	for range 80 { // halves to the last digit of a float64
		mid := float64(0.5 * (low + high))
		lift := 0.0
		for i := range c.RotorCount {
			kT, _ := Linear(c, p.Air.Density, mid, i)
			lift += float64(float64(kT*mid) * mid * c.Rotors[i].AxisB.Z)
		}
		if lift < weight {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// HoverDuty returns the duty that turns rotor 0 at the hover speed with the
// given volts under load for each cell. Above 1 the craft cannot hover.
func HoverDuty(c *Craft, p *Place, volts float64) float64 {
	return HoverSpeed(c, p) * c.Battery.FullVolts / (c.Rotors[0].SpeedMax * volts)
}

// HoverPower returns the electrical power (W) of the motors at the hover speed.
func HoverPower(c *Craft, p *Place) float64 {
	speed := HoverSpeed(c, p)
	power := 0.0
	for i := range c.RotorCount {
		_, kQ := Linear(c, p.Air.Density, speed, i)
		power += float64(kQ * speed * speed * speed * c.Rotors[i].fixed.electric)
	}
	return power
}
