package sim

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/path"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
	"lapwing/sim/sense"
)

// Advance moves the world on by one tick of a millisecond. The window, the
// headless runner, the tests, the forks and the replay all call this and
// nothing else.
func Advance(c *Conditions, w *World) {
	hearHands(c, w)
	inject.Due(&c.Injects, &w.Inject, &w.Marks, c.Seed, w.Tick, &w.Effects)
	readSensors(c, w)
	believe(c, w)
	watch(c, w)
	follow(c, w)
	runLaw(c, w)
	work(c, w)
	dynamics.Step(&c.Craft, &c.Place, &w.Craft, &w.Input)
	w.Eye.contact |= w.Craft.Touch.Kinds
	mark(w)
	note(c, w)
	w.checkRange()
	w.Tick++
}

// Looks tells whether the person gets a new percept at this tick.
func (w *World) Looks() bool { return w.Tick%percept.Every == 0 }

// sound is sensors without a fault.
var sound sense.Faults

func readSensors(c *Conditions, w *World) {
	if w.Inject.Neutral {
		sense.Read(&c.Sense, &w.Sense, &w.Craft, &c.Place, c.Seed, w.Tick, &sound, &w.Reading)
		return
	}
	fx := &w.Effects
	faults := sense.Faults{RangeOffset: fx.RangeOffset, RangeLost: fx.RangeLost, GyroOffsetB: fx.GyroOffsetB}
	if c.Sense.Fixes {
		faults.FixOffsetW, faults.FixYaw = fx.SeenOffsetW.Add(fx.MapShiftW), fx.MountYaw
		faults.FixesLost = fx.Covered || fx.ComputerDead
	}
	sense.Read(&c.Sense, &w.Sense, &w.Craft, &c.Place, c.Seed, w.Tick, &faults, &w.Reading)
}

// watch lets the craft's own watchman decide what is in force.
func watch(c *Conditions, w *World) {
	in := safety.Input{
		Tick:          w.Tick,
		Heard:         &w.Heard,
		Belief:        &w.Estimate.Belief,
		CellVolts:     w.Reading.CellVolts,
		SpecificForce: w.Reading.AccelB.Norm(),
		CautionVolts:  c.Craft.Battery.CautionVolts,
		CriticalVolts: c.Craft.Battery.CriticalVolts,
		PathStored:    c.Path.Kind != path.None,
		PathDone:      w.Setpoint.Done,
		DutyMean:      meanDuty(&w.Input, c.Craft.RotorCount),
		Powered:       !w.Craft.Cell.BrownOut,
	}
	failWatch(&w.Effects, &in)
	safety.Watch(&c.Safety, &w.Safety, &in)
}

func meanDuty(in *dynamics.Input, rotors int) float64 {
	sum := 0.0
	for i := range rotors {
		sum += in.Duty[i]
	}
	return sum / float64(rotors)
}

// pathEvery is the number of ticks between two path setpoints: those of the
// position loop.
const pathEvery = 40

func follow(c *Conditions, w *World) {
	if w.Tick%pathEvery != 0 {
		return
	}
	engaged := w.Safety.Status.Response == hands.Path
	if engaged || w.Path.Active {
		b := &w.Estimate.Belief
		path.Follow(&c.Path, &w.Path, engaged, b.PosW, b.QWB.Yaw(), w.Tick, &w.Setpoint)
	}
	steer(w, engaged)
}

func runLaw(c *Conditions, w *World) {
	in := control.Input{
		Tick:       w.Tick,
		Belief:     &w.Estimate.Belief,
		Hands:      w.Heard.Hands,
		Status:     &w.Safety.Status,
		CellVolts:  w.Reading.CellVolts,
		Path:       w.Steer,
		Steered:    w.Effects.Astray,
		HasSpeeds:  w.Reading.HasSpeeds,
		RotorSpeed: w.Reading.RotorSpeed,
	}
	var out control.Output
	control.LawWith(&c.Law, &w.Law, &in, &out, c.Outside)
	w.Input.Tick, w.Input.Seed = w.Tick, c.Seed
	w.Input.Duty = out.Duty
	harm(&w.Effects, &w.Input)
	switch {
	case c.outsideFailed():
		w.voidNow(VoidOutside)
	case !lawFinite(&w.Law, &out):
		w.voidNow(VoidLaw)
	}
}

// lawFinite tells whether what the law commands is made of numbers. Duties alone
// do not tell: the mixer holds them to 0 … 1, also where what it is asked for is
// not a number.
func lawFinite(l *control.State, out *control.Output) bool {
	d := &out.Duty
	law := (l.MomentB.X + l.MomentB.Y) + (l.MomentB.Z + l.Thrust) + l.Volts
	duty := ((d[0] + d[1]) + (d[2] + d[3])) + ((d[4] + d[5]) + (d[6] + d[7])) // in pairs, which takes half as long
	return kernel.IsFinite(law + duty)
}

// mark notes the moments after which an inject may be set.
func mark(w *World) {
	status := &w.Safety.Status
	flying := w.Craft.Touch.Kinds == 0 && w.Judge.Airborne != judge.Never
	w.Marks.Note(inject.MarkArmed, status.Armed, w.Tick)
	w.Marks.Note(inject.MarkAirborne, flying, w.Tick)
	w.Marks.Note(inject.MarkPositionHold, flying && status.Response == hands.PositionHold, w.Tick)
	w.Marks.Note(inject.MarkPath, flying && w.Setpoint.Active, w.Tick)
	w.Marks.Note(inject.MarkLanded, w.Judge.Airborne != judge.Never && status.Landed, w.Tick)
	w.Marks.Note(inject.MarkEvent, w.Inject.First() != inject.Never, w.Tick)
	w.Marks.Note(inject.MarkHover, flying && w.Progress.Leg > 0 && w.Judge.Airborne+hoverAfter < w.Tick, w.Tick)
}

// hoverAfter is how long after leaving the floor a craft counts as hovering.
const hoverAfter = 5000 // ticks

func note(c *Conditions, w *World) {
	v := judge.View{
		Tick:     w.Tick,
		Looked:   w.Looks(),
		Percept:  &w.Percept,
		Hands:    &w.Hands,
		Craft:    &w.Craft,
		Place:    &c.Place,
		Status:   &w.Safety.Status,
		Onset:    w.Inject.First(),
		PlanDone: w.Progress.Leg >= int64(c.Plan.Count),
		LostLink: c.Safety.LostLinkAction,
		HasEvent: c.Drill.Class != judge.ClassN,
		Begun:    c.Drill.Emerges && w.Marks.At[c.Drill.From] != inject.Never,

		PersonShiftW: w.Effects.PersonShiftW,
		Pack:         &c.Craft.Battery,
	}
	if v.Looked {
		v.Work = workDone(c, w)
	}
	judge.Note(&c.Drill, &w.Judge, &v)
	if v.Looked {
		w.Progress.Advance(&c.Plan, &w.Percept, &w.Hands)
		w.heedStop()
	}
}

// heedStop ends the run at the stop word or in a real emergency: at once, for
// no reason given and without penalty.
func (w *World) heedStop() {
	if w.Hands.Call == hands.CallStop || w.Hands.Call == hands.CallRealWorld {
		w.voidNow(VoidWithdrawn)
	}
}

// Limits of the model: outside them a run is void, never scored.
const (
	maxPosition = 1e3 // m
	maxSpeed    = 1e2 // m/s
	maxRate     = 2e2 // rad/s
)

// checkRange makes the run void once a figure is not finite or out of range. A
// comparison with a number that is not one is false, so these catch it.
func (w *World) checkRange() {
	s := &w.Craft
	craft := s.PosW.NormSq() < maxPosition*maxPosition && s.VelW.NormSq() < maxSpeed*maxSpeed &&
		s.OmegaB.NormSq() < maxRate*maxRate && s.QWB.Finite() && s.Cell.Volts >= 0 && kernel.IsFinite(s.Cell.Charge)
	if !craft {
		w.voidNow(VoidCraft)
	}
	if !w.believable() && w.Judge.Hard == judge.Never {
		w.voidNow(VoidEstimate)
	}
}

// believable tells whether the estimate is within the model's range. After a hard
// outcome it may well leave it, in a craft that lies in the net; then the run
// ends, and is judged by what was done before.
func (w *World) believable() bool {
	b := &w.Estimate.Belief
	return b.PosW.NormSq() < maxPosition*maxPosition && b.VelW.NormSq() < maxSpeed*maxSpeed && b.QWB.Finite() &&
		kernel.IsFinite(w.Estimate.Sight.Motion+w.Estimate.Sight.Parallax)
}

func (w *World) voidNow(reason VoidReason) {
	if w.Void.Reason == VoidNot {
		w.Void = Void{Tick: w.Tick, Reason: reason}
	}
}
