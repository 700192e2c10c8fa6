package conform

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/margins"
)

const (
	flightHeight = 20   // m, far above the ground
	nudgeTicks   = 300  // a quarter of stick forward and to the right
	flightTicks  = 9000 // of each flight
	leanAtRest   = 0.10 // rad, at its end
	rateAtRest   = 0.5  // rad/s
	speedAtRest  = 0.4  // m/s, where a place is held
	climbAtRest  = 0.3  // m/s, where a height is held
)

// checkFlights flies the craft in each response type, nudges the sticks, and
// looks whether it comes to rest. Belief is truth.
func checkFlights(b *Bench, r *Report) error {
	for _, response := range []hands.Response{hands.Attitude, hands.HeightHold, hands.PositionHold} {
		says, err := b.flight(response)
		if err != nil {
			return err
		}
		r.Checks++
		if says != "" {
			r.find(true, "in a flight in %s, without noise or wind, after a nudge of the sticks, %s", response, says)
		}
	}
	return nil
}

// flight says what is wrong at the end of a flight.
func (b *Bench) flight(response hands.Response) (string, error) {
	t, err := newTrial(b)
	if err != nil {
		return "", err
	}
	defer t.end()
	t.set(response, 0)
	place := margins.Open(b.Place)
	craft := dynamics.Airborne(b.Craft, &place, kernel.Vec3{Z: flightHeight}, 0)
	in := dynamics.DefaultInput()
	in.Duty = craft.HoverDuties()
	for tick := range flightTicks {
		t.in.Hands.Roll, t.in.Hands.Pitch = 0, 0
		if tick < nudgeTicks {
			t.in.Hands.Roll, t.in.Hands.Pitch = 250, 250
		}
		if err := t.fly(&craft, &in, &place); err != nil {
			return "", err
		}
		if !craft.QWB.Finite() || craft.QWB.Tilt() > 1.5 || craft.PosW.Z < 2 {
			return "it went over, or fell", nil
		}
	}
	switch {
	case craft.QWB.Tilt() > leanAtRest || craft.OmegaB.Norm() > rateAtRest:
		return "it did not come to rest: its loops swing, or run away slowly", nil
	case response.HoldsHeight() && size(craft.VelW.Z) > climbAtRest:
		return "it did not hold its height", nil
	case response.PositionBased() && craft.VelW.Norm() > speedAtRest:
		return "it did not hold its place", nil
	}
	return "", nil
}
