package conform

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// extremes are hovers in which much is wrong at once.
var extremes = []struct {
	response hands.Response
	change   func(t *trial)
	what     string
}{
	{hands.PositionHold, func(t *trial) { t.belief.PosW = kernel.Vec3{X: 40, Y: -40, Z: 20}; t.belief.Height = 20 }, "a place 57 m away"},
	{hands.PositionHold, func(t *trial) { t.belief.VelW = kernel.Vec3{X: 8, Y: -6, Z: -5} }, "a velocity of 11 m/s"},
	{hands.Attitude, func(t *trial) { t.tilt(2, 0) }, "a lean of 90°"},
	{hands.Attitude, func(t *trial) { t.belief.QWB = kernel.Quat{X: 1} }, "hanging upside down"},
	{hands.Rate, func(t *trial) { t.belief.OmegaB = kernel.Vec3{X: 15, Y: -15, Z: 8} }, "turning at 23 rad/s"},
	{hands.Attitude, func(t *trial) {
		t.in.Hands.Throttle, t.in.Hands.Roll, t.in.Hands.Pitch, t.in.Hands.Yaw = 1000, 1000, 1000, -1000
	}, "all sticks at their ends"},
	{hands.HeightHold, func(t *trial) { t.in.CellVolts = 0 }, "a cell voltage of nothing"},
}

// over is how far an answer may exceed what the craft's design allows.
const over = 3.0

// checkLimits holds the answers to great errors to what a craft can do.
func checkLimits(b *Bench, r *Report) error {
	t, err := newTrial(b)
	if err != nil {
		return err
	}
	defer t.end()
	for i := range extremes {
		e := &extremes[i]
		err := t.hover(e.response, 0)
		e.change(t)
		said := ""
		for tick := 0; tick < probeTicks && err == nil && said == ""; tick++ {
			err = t.ask(1)
			said = t.beyond()
		}
		if err != nil {
			return err
		}
		r.Checks++
		if said != "" {
			r.find(true, "%s was answered by %s", e.what, said)
		}
	}
	return nil
}

// beyond says what of the latest answer is beyond what a craft can do.
func (t *trial) beyond() string {
	a, l := t.answer, &t.bench.Law.Limits
	switch t.bench.Stage {
	case control.Whole:
		for _, d := range a.Duty {
			if d < -1e-9 || d > 1+1e-9 {
				return "a duty outside 0 … 1: it is cut off there, which upsets what the other rotors do; share out thrust within its limits"
			}
		}
	case control.Position:
		if a.VelW.Norm() > over*(l.Speed+l.ClimbUp) {
			return "a velocity of more than three times the speed limit: bound what the position error asks for"
		}
	case control.Velocity:
		if a.ZW.NormXY() > 0.98 || a.Lift > over*t.bench.Law.TopTotal {
			return "a lean of more than 78° or a lift of more than three times full thrust: bound what the velocity error asks for"
		}
	case control.Attitude:
		if a.RateB.Norm() > over*(2*l.BodyRate+l.YawRate) || a.Thrust > over*t.bench.Law.TopTotal {
			return "body rates of more than three times their limit, or such a thrust: bound what the attitude error asks for"
		}
	}
	return ""
}

// checkFloor looks at what only a whole law can do wrong: motors off, standing
// on the floor, and sticks that no longer count.
func checkFloor(b *Bench, r *Report) error {
	if b.Stage != control.Whole && b.Stage != control.BuiltIn {
		return nil
	}
	t, err := newTrial(b)
	if err != nil {
		return err
	}
	defer t.end()
	after := func(change func()) (now push) {
		if err == nil {
			err = t.hover(hands.Attitude, 0)
		}
		change()
		if err == nil {
			now, err = t.meanPush(probeTicks)
		}
		return now
	}
	lost := func(stick int16) func() {
		return func() { t.status.Link, t.in.Hands.Roll = safety.LinkLost, stick }
	}
	off := after(func() { t.status.MotorsOn = false })
	standing := after(func() { t.status.Landed, t.in.Hands.Throttle = true, 0 })
	follows := after(lost(1000))[roll] - after(lost(0))[roll]
	r.Checks += 3
	if off[lift] != 0 {
		r.find(true, "with the motors off it still gave thrust")
	}
	if standing[lift] > 0.3*b.Law.Weight {
		r.find(true, "standing on the floor with the throttle lowest it gave %.0f %% of the weight as thrust", 100*standing[lift]/b.Law.Weight)
	}
	if size(follows) > leastAnswer {
		r.find(true, "with the link lost it still follows the sticks, which only stand as last heard")
	}
	return err
}
