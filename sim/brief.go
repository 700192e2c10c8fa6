package sim

import (
	"lapwing/sim/control"
	"lapwing/sim/pilot"
	"lapwing/sim/safety"
)

// Brief is what a pilot is told of the craft before the flight.
func (c *Conditions) Brief() pilot.Brief {
	l, s, t := &c.Law.Limits, &c.Law.Sticks, &c.Law.Throttle
	feel := pilot.DefaultFeel()
	feel.Tilt, feel.Speed, feel.BodyRate, feel.YawRate = l.Tilt, l.Speed, l.BodyRate, l.YawRate
	feel.ClimbUp, feel.ClimbDown = l.ClimbUp, l.ClimbDown
	feel.DeadBand, feel.Expo, feel.ThrottleBand = s.DeadBand, s.Expo, t.DeadBand
	feel.ThrottleZero, feel.ThrustRate = 0, 0
	switch t.Map {
	case control.UpperHalf:
		feel.ThrottleZero = 0.5
	case control.RateOfThrust:
		feel.ThrustRate = t.Rate * c.Law.TopTotal / c.Law.Weight
	}
	b := pilot.Brief{
		Feel:          feel,
		ArmBySticks:   c.Safety.ArmBy != safety.BySwitch,
		LostLinkStops: c.Safety.LostLinkAction == safety.ActionMotorStop,
		Late:          float64(c.Link.LatencyTicks+c.Link.FrameEvery/2) / TicksPerSecond,
		Rotors:        c.Craft.RotorCount,
	}
	for i := range c.Craft.RotorCount {
		b.RotorB[i] = c.Craft.Rotors[i].PosB
	}
	return b
}

// Pilot returns the pilot called name for a run under c: see pilot.ByName.
func (c *Conditions) Pilot(name string, script *pilot.Script) (pilot.Pilot, error) {
	return pilot.ByName(name, pilot.Task{Plan: &c.Plan, Drill: &c.Drill, Brief: c.Brief(), Seed: c.Seed, Script: script})
}
