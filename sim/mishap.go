package sim

import (
	"lapwing/dynamics"
	"lapwing/sim/inject"
	"lapwing/sim/link"
	"lapwing/sim/path"
	"lapwing/sim/safety"
)

// How the effects of injects reach link, watchman, on-board computer and craft.
// Each function is one stage's part; without an effect it changes no bit.

// hearHands lets the craft hear the hands. Where another craft answers the
// transmitter this one hears nothing.
func hearHands(c *Conditions, w *World) {
	fx := &w.Effects
	faults := link.Faults{Dead: fx.LinkDead || fx.OtherCraft, Stutter: fx.Stutter, StuckAxis: fx.StuckAxis, StuckAt: fx.StuckAt}
	link.Carry(&c.Link, &w.Link, &w.Hands, c.Seed, w.Tick, &faults, &w.Heard)
}

// failWatch tells the watchman what fails in it.
func failWatch(fx *inject.Effects, in *safety.Input) {
	in.ActionFails, in.HoldDenied, in.LandingMissed = fx.ActionFails, fx.HoldDenied, fx.LandingMissed
	in.ArmsItself, in.CutOffDead = fx.ArmsItself, fx.CutOffDead
}

// steer decides what the on-board computer asks of the law: the briefed path's
// setpoint. Gone astray, it steers by a velocity of its own wherever the craft
// follows or holds; dead, it leaves the last setpoint standing, whose velocity
// goes on, and begins no path.
func steer(w *World, engaged bool) {
	fx, last := &w.Effects, w.Steer
	w.Steer = path.Setpoint{}
	switch {
	case fx.Astray && w.Safety.Status.Response.PositionBased():
		w.Steer = astray(w, &last)
	case fx.ComputerDead && engaged:
		last.PosW = last.PosW.AddScaled(pathEvery*dynamics.DT, last.VelW)
		last.AccW, last.YawRate = dynamics.Vec3{}, 0
		w.Steer = last
	case engaged:
		w.Steer = w.Setpoint
	}
}

// astray is a setpoint that runs along with the craft at the velocity of the
// effect, at the height where it began.
func astray(w *World, last *path.Setpoint) path.Setpoint {
	b := &w.Estimate.Belief
	s := path.Setpoint{PosW: b.PosW, VelW: w.Effects.AstrayW, Yaw: b.QWB.Yaw(), Active: true}
	if last.Active {
		s.PosW.Z, s.Yaw = last.PosW.Z, last.Yaw
	}
	return s
}

// harm writes what acts on motors, pack and air. It comes after the law, which
// does not know that two motors got each other's commands.
func harm(fx *inject.Effects, in *dynamics.Input) {
	in.SpeedFactor, in.ThrustFactor = fx.SpeedFactor, fx.ThrustFactor
	in.SagVolts, in.GustW = fx.SagVolts, fx.GustW
	in.ShiftB, in.PersonShiftW = fx.ShiftB, fx.PersonShiftW
	if fx.SwapA != 0 {
		a, b := fx.SwapA-1, fx.SwapB-1
		in.Duty[a], in.Duty[b] = in.Duty[b], in.Duty[a]
	}
}
