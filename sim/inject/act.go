package inject

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// act adds what the inject does age ticks after its onset. dir is its direction
// (unit, room or body axes).
func (in *Inject) act(age int64, dir kernel.Vec3, fx *Effects) {
	now := float64(in.Severity * in.ramp(age))
	if f := fx.flag(in.Kind); f != nil {
		*f = *f || now > 0
		return
	}
	switch in.Kind {
	case EstimateDrift:
		fx.SeenOffsetW = fx.SeenOffsetW.AddScaled(in.walked(age), dir)
	case EstimateJump:
		fx.MapShiftW = fx.MapShiftW.AddScaled(now, dir)
	case EstimateRunaway:
		t := float64(age) * dynamics.DT
		fx.SeenOffsetW = fx.SeenOffsetW.AddScaled(float64(0.5*now*t*t), dir)
	case HeadingError:
		fx.MountYaw += now
	case VisionLost:
		in.blind(now, fx)
	case HeightStep:
		fx.RangeOffset += now
	case InertialFault:
		fx.GyroOffsetB = fx.GyroOffsetB.AddScaled(now, dir)
	case PathAstray:
		fx.Astray = fx.Astray || now > 0
		fx.AstrayW = fx.AstrayW.AddScaled(now, dir)
	case LinkStutter:
		fx.Stutter = max(fx.Stutter, now)
	case StuckAxis:
		if now > 0 {
			fx.StuckAxis, fx.StuckAt = int64(in.Axis), in.At
		}
	case PersonEnters:
		fx.PersonShiftW = fx.PersonShiftW.AddScaled(min(in.walked(age), in.Distance), dir)
	case HoverMarkWrong:
		fx.MarkOff += now
	default:
		in.harm(now, age, dir, fx)
	}
}

// harm adds what the inject does to the craft's motors, pack and air.
func (in *Inject) harm(now float64, age int64, dir kernel.Vec3, fx *Effects) {
	switch in.Kind {
	case MotorFailure:
		weaken(&fx.SpeedFactor, in.Rotor, 1-now)
	case ThrustLoss:
		weaken(&fx.ThrustFactor, in.Rotor, 1-now)
	case RotorsSwapped:
		if now > 0 {
			fx.SwapA, fx.SwapB = int64(in.Rotor)+1, int64(in.Partner)+1
		}
	case VoltageSag:
		fx.SagVolts += now
	case BatteryShift:
		fx.ShiftB = fx.ShiftB.AddScaled(now, dir)
	case Gust:
		fx.GustW = fx.GustW.AddScaled(float64(in.Severity*in.gust(age)), dir)
	}
}

// flag returns the effect that a kind switches on and that says nothing more,
// nil for all other kinds.
func (fx *Effects) flag(k Kind) *bool {
	switch k {
	case HeightLost:
		return &fx.RangeLost
	case ComputerDead:
		return &fx.ComputerDead
	case LostLink:
		return &fx.LinkDead
	case ActionFails:
		return &fx.ActionFails
	case TelemetryLost:
		return &fx.StationDead
	case OtherCraft:
		return &fx.OtherCraft
	case HoldDenied:
		return &fx.HoldDenied
	case LandingMissed:
		return &fx.LandingMissed
	case ArmsItself:
		return &fx.ArmsItself
	case CutOffFails:
		return &fx.CutOffDead
	case PowerLoss:
		return &fx.PowerLost
	case BatteryFire:
		return &fx.Smoke
	case NoseMistaken:
		return &fx.NoseMistaken
	case VideoFrozen:
		return &fx.PictureFrozen
	}
	return nil
}

// blind takes the camera's sight: at once, or by taking the light away.
func (in *Inject) blind(now float64, fx *Effects) {
	if in.How == Dark {
		fx.Dimmed = max(fx.Dimmed, now)
		return
	}
	fx.Covered = fx.Covered || now > 0
}

// weaken multiplies the factor of one rotor, or of all.
func weaken(factors *[dynamics.MaxRotors]float64, rotor int, factor float64) {
	for i := range factors {
		if rotor == AllRotors || rotor == i {
			factors[i] = float64(factors[i] * factor)
		}
	}
}

// ramp is the share of full severity (0 … 1) reached age ticks after onset.
func (in *Inject) ramp(age int64) float64 {
	if age >= in.RampTicks {
		return 1
	}
	return float64(age) / float64(in.RampTicks)
}

// walked is how far (m) the severity as a speed (m/s) has led by now, eased in
// over the ramp.
func (in *Inject) walked(age int64) float64 {
	ramp := float64(in.RampTicks)
	ticks := float64(age) - float64(0.5*ramp)
	if age < in.RampTicks {
		ticks = float64(0.5*float64(age)) * float64(age) / ramp
	}
	return float64(in.Severity * ticks * dynamics.DT)
}

// gust is the share of a gust's full strength (0 … 1). It rises as ½(1 − cos πx)
// over the ramp and stays (MIL-F-8785C section 3.7.2.3, from memory); a gust
// that ends falls the same way, so that one that lasts two ramps is the
// "1 − cosine" gust of 14 CFR 25.341(a) (from memory).
func (in *Inject) gust(age int64) float64 {
	nearest := min(age, in.LastsTicks-age)
	if nearest >= in.RampTicks {
		return 1
	}
	x := float64(nearest) / float64(in.RampTicks)
	return 0.5 - float64(0.5*kernel.Cos(math.Pi*x))
}
