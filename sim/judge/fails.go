package judge

import (
	"math"

	"lapwing/dynamics"
	"lapwing/sim/hands"
)

// runOn is how long motors may turn after a crash (ticks).
const runOn = 4000

// overPerson is how near above a person counts as directly over (m).
const overPerson = 0.6

// noteFails notes the hard fails that a percept can show.
func noteFails(d *Drill, f *Facts, v *View) {
	noteCrash(f, v)
	noteRestart(f, v)
	powered := f.MotorsOff == Never
	flying := f.Airborne != Never && powered && !v.Percept.OnFloor
	f.failIf(FailPerson, v.Craft.Touch.Kinds&dynamics.TouchPerson != 0 || flying && inPersonRadius(v), v.Tick)
	f.failIf(FailCage, flying && v.Status.MotorsOn && outside(v.Craft.PosW, v.Place), v.Tick)
	f.failIf(FailRunning, powered && f.crashed != Never && v.Tick-f.crashed > runOn, v.Tick)
	f.failIf(FailArming, v.Status.Armed && f.Airborne == Never && peopleInside(v.Place), v.Tick)
	again := v.Hands.Response.PositionBased() && !f.last.Response.PositionBased()
	f.failIf(FailReengage, again && f.Cue != Never && diagnosed(d, f), v.Tick)
	near := v.Hands.Step == hands.StepApproach || v.Hands.Step == hands.StepPickUp
	f.failIf(FailApproach, near && (v.Status.Armed || f.Secured[3] == Never) && f.Airborne != Never, v.Tick)
	f.failIf(FailTransmitter, v.Hands.Step == hands.StepTransmitterOff && f.Onset != Never &&
		f.FirstRight == Never && f.Airborne != Never, v.Tick)
	if v.Hands.CutOff && !f.last.CutOff && !v.Percept.OnFloor && f.Airborne != Never {
		f.failIf(FailCutOver, overAnyone(v), v.Tick)
		if f.CutInFlight == Never {
			f.CutInFlight = v.Tick
		}
	}
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
	if down && f.Airborne != Never && f.crashed == Never {
		f.crashed = v.Tick
	}
	if f.MotorsOff != Never || kinds == 0 && v.Percept.Tilt <= math.Pi/4 {
		f.crashed = Never
	}
}

// noteRestart notes motors that start again after a cut-off without throttle
// lowest, disarmed and the area called clear.
func noteRestart(f *Facts, v *View) {
	if v.Hands.CutOff && f.Airborne != Never && !f.cutStop {
		f.cutStop, f.cutAt = true, v.Tick
	}
	inOrder := !v.Status.Armed && v.Hands.Throttle == 0 && f.AreaClear >= f.cutAt
	if f.cutStop && !v.Hands.CutOff && inOrder {
		f.cutStop = false
	}
	f.failIf(FailRestart, f.cutStop && !v.Hands.CutOff && v.Status.MotorsOn, v.Tick)
}

func peopleInside(place *dynamics.Place) bool {
	for i := range place.PersonCount {
		if !outside(place.People[i].PosW, place) {
			return true
		}
	}
	return false
}

func overAnyone(v *View) bool {
	for i := range v.Place.PersonCount {
		if v.Craft.PosW.Sub(v.Place.People[i].PosW).NormXY() < overPerson {
			return true
		}
	}
	return false
}

// noteSecured notes the end of every event, in order: throttle lowest, disarm,
// cut-off held, battery out. A craft that disarms by itself, after a cut-off or
// on its own landing, has not been disarmed by the person yet.
func noteSecured(f *Facts, v *View) {
	down := v.Percept.OnFloor || v.Craft.Touch.Kinds != 0
	if f.Airborne == Never || !down && f.MotorsOff == Never {
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
