package judge

import (
	"math"

	"lapwing/dynamics"
	"lapwing/sim/hands"
)

// runOn is how long motors may turn after a crash (ticks).
const runOn = 4000

// noteFails notes the hard fails that a percept can show.
func noteFails(d *Drill, f *Facts, v *View) {
	noteCrash(f, v)
	noteRestart(d, f, v)
	powered := f.MotorsOff == Never
	flying := f.Airborne != Never && powered && !v.Percept.OnFloor
	touched := v.Craft.Touch.Kinds&dynamics.TouchPerson != 0
	f.failIf(FailPerson, (touched || flying && f.near != Never) && avoidable(f, v), v.Tick)
	f.failIf(FailCage, d.Outcome.LeaveCage && flying && v.Status.MotorsOn && outside(v.Craft.PosW, v.Place), v.Tick)
	f.failIf(FailRunning, powered && !v.Hands.CutOff && !v.Percept.LinkLost && f.crashed != Never && v.Tick-f.crashed > runOn, v.Tick)
	noteArming(f, v)
	noteSteps(d, f, v)
	again := v.Hands.Response.PositionBased() && !f.last.Response.PositionBased()
	f.failIf(FailReengage, again && f.Cue != Never && diagnosed(d, f), v.Tick)
	if v.Hands.CutOff && !f.last.CutOff && !v.Percept.OnFloor && f.Airborne != Never {
		f.failIf(FailCutOver, overAnyone(v), v.Tick)
		if f.CutInFlight == Never {
			f.CutInFlight = v.Tick
		}
	}
}

// noteArming notes what must not be so when a person arms. A craft that arms by
// itself is no fault of theirs.
func noteArming(f *Facts, v *View) {
	asks := v.Hands.Armed || v.Hands.Yaw > hands.Full/2 || f.last.Yaw > hands.Full/2 // by switch, or by the sticks' corner
	if !v.Status.Armed || f.armed || !asks {
		return
	}
	before := f.Airborne == Never
	f.failIf(FailArming, before && peopleInside(v), v.Tick)
	f.failIf(FailUnfit, before && v.Work.Open, v.Tick)
	f.failIf(FailBench, v.Work.BenchTask && !v.Work.PropsOff, v.Tick)
}

// noteSteps notes steps that must not be taken.
func noteSteps(d *Drill, f *Facts, v *View) {
	f.Smoked = f.Smoked || v.Percept.Smoke
	flown := f.Airborne != Never
	switch v.Hands.Step {
	case hands.StepApproach:
		f.failIf(FailApproach, unsafe(f, v), v.Tick)
	case hands.StepPickUp:
		f.failIf(FailApproach, unsafe(f, v), v.Tick)
		f.failIf(FailTouch, f.Smoked, v.Tick)
	case hands.StepTouch, hands.StepBatteryOut:
		f.failIf(FailTouch, f.Smoked, v.Tick)
	case hands.StepBatteryIn:
		f.failIf(FailReplug, flown && !v.Hands.CutOff, v.Tick)
	case hands.StepTransmitterOff:
		f.failIf(FailTransmitter, !d.MaySwitchOff && f.Onset != Never && f.FirstRight == Never && flown, v.Tick)
	}
}

// unsafe tells whether nobody may go near the craft: while it is armed with its
// propellers on, and after a flight until its battery is out.
func unsafe(f *Facts, v *View) bool {
	return v.Status.Armed && !v.Work.PropsOff || f.Airborne != Never && f.Secured[3] == Never
}

// diagnosed tells whether the person knows that the estimate has failed: the
// health alert was shown, or in an event of the estimator a position-based
// response type was left.
func diagnosed(d *Drill, f *Facts) bool {
	estimator := d.Event >= 1 && d.Event <= 6
	return f.warned || f.left && estimator
}

func (f *Facts) failIf(fail Fail, holds bool, tick int64) {
	if holds && f.Fail[fail] == Never {
		f.Fail[fail] = tick
	}
}

// noteCrash notes when the craft lies, hangs or is tipped so that its motors
// should stop; after a hard outcome also when it lies upright. One that flies
// upright again has not crashed.
func noteCrash(f *Facts, v *View) {
	kinds := v.Craft.Touch.Kinds
	down := kinds != 0 && (v.Percept.Tilt > math.Pi/4 || f.Hard != Never) && v.Percept.VelW.Norm() < 0.2
	if down && f.ran && f.crashed == Never {
		f.crashed = v.Tick
	}
	if f.MotorsOff != Never || kinds == 0 && v.Percept.Tilt <= math.Pi/4 {
		f.crashed = Never
	}
}

// noteRestart notes motors that start again after a cut-off without throttle
// lowest, disarmed and the area called clear. Showing just that on purpose, and
// motors without propellers, are no fails.
func noteRestart(d *Drill, f *Facts, v *View) {
	if v.Hands.CutOff && f.ran && !f.cutStop {
		f.cutStop, f.cutAt = true, v.Tick
	}
	inOrder := !v.Status.Armed && v.Hands.Throttle == 0 && f.AreaClear >= f.cutAt
	if f.cutStop && !v.Hands.CutOff && inOrder {
		f.cutStop = false
	}
	harmless := d.Demonstration || v.Work.PropsOff
	f.failIf(FailRestart, f.cutStop && !harmless && !v.Hands.CutOff && v.Status.MotorsOn, v.Tick)
}

// noteSecured notes the end of every event, in order: throttle lowest, disarm,
// cut-off held, battery out. A craft that disarms by itself, after a cut-off or
// on its own landing, has not been disarmed by the person yet.
func noteSecured(f *Facts, v *View) {
	down := v.Percept.OnFloor || v.Craft.Touch.Kinds != 0
	if f.Airborne == Never && f.Cue == Never || !down && f.MotorsOff == Never {
		return
	}
	marks := [4]bool{v.Hands.Throttle == 0, !v.Status.Armed && !v.Hands.Armed, v.Hands.CutOff, v.Hands.Step == hands.StepBatteryOut}
	for i, holds := range marks {
		if holds && f.Secured[i] == Never {
			f.Secured[i] = v.Tick
		}
	}
	if f.Safe == Never && down && f.MotorsOff != Never && v.Craft.VelW.Norm() < 0.2 {
		f.Safe = v.Tick
	}
	if f.MotorsOff == Never && !v.Percept.OnFloor {
		f.Safe = Never
	}
}
