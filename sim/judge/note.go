package judge

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// View is what the judge looks at in one tick.
type View struct {
	Tick     int64
	Looked   bool // the percept is new in this tick
	Percept  *percept.Percept
	Hands    *hands.Hands
	Craft    *dynamics.State
	Place    *dynamics.Place
	Status   *safety.Status
	Onset    int64 // tick of the first inject's onset, Never before
	Begun    bool  // of an event that emerges: the mark from which on it is watched is passed
	PlanDone bool
	LostLink safety.Action // the craft's lost-link action
	HasEvent bool          // the drill has injects or emergent cues; false in a catch run

	PersonShiftW dynamics.Vec3 // m, by which person 0 has walked from their place

	Work Work              // what is done at the craft before a flight, as of a new percept
	Pack *dynamics.Battery // the craft's pack

	slammed bool // the first touch of the floor that counts was too hard, also after another hard outcome
}

// runningSpeed is the rotor speed above which a rotor counts as turning: below
// it a small propeller has no force left to cut or lift. A judgement.
const runningSpeed = 30 // rad/s

// Note notes one tick. Contacts are looked at every tick, what the person does
// whenever there is a new percept.
func Note(d *Drill, f *Facts, v *View) {
	noteOnset(f, v)
	noteMotors(f, v)
	notePeople(f, v)
	noteHard(d, f, v)
	noteTouch(f, v)
	v.slammed = f.FloorTouch != Never && f.Touchdown > d.Outcome.Touchdown
	if !v.Looked {
		return
	}
	noteCue(d, f, v)
	noteFlight(f, v)
	noteExceedances(d, f, v)
	noteDeeds(d, f, v)
	noteFails(d, f, v)
	noteSecured(f, v)
	f.last, f.armed = *v.Hands, v.Status.Armed
}

func noteOnset(f *Facts, v *View) {
	if f.Onset == Never && v.Onset != Never {
		f.Onset = v.Onset
	}
}

func noteMotors(f *Facts, v *View) {
	turning := false
	for _, speed := range v.Craft.RotorSpeed {
		turning = turning || speed > runningSpeed
	}
	if turning {
		f.MotorsOff, f.ran = Never, true
	} else if f.MotorsOff == Never {
		f.MotorsOff = v.Tick
	}
	if f.Airborne == Never && v.Craft.Touch.Kinds == 0 && v.Craft.PosW.Z > 0.25 && !v.Percept.Held {
		f.Airborne = v.Tick
	}
}

// noteHard notes the first hard outcome after take-off, or, where the event comes
// on the floor, once a motor has turned.
func noteHard(d *Drill, f *Facts, v *View) {
	flown := f.Airborne != Never
	if !flown && !(f.ran && f.Onset != Never) || f.Hard != Never {
		return
	}
	touch := &v.Craft.Touch
	switch {
	case flown && d.Outcome.PersonRadius && f.near != Never && f.MotorsOff == Never && avoidable(f, v):
		f.hard(HardPerson, v.Tick)
	case d.Outcome.LeaveCage && outside(v.Craft.PosW, v.Place):
		f.hard(HardCage, v.Tick)
	case d.Outcome.Contact && touch.Kinds&^dynamics.TouchSkidFloor != 0:
		f.hard(HardContact, v.Tick)
	case touch.Kinds&dynamics.TouchSkidFloor != 0 && touch.Speed > d.Outcome.Touchdown:
		f.hard(HardTouchdown, v.Tick)
	case touch.Kinds == 0 && tippedOver(v.Craft.QWB.AxisZ().Z, d.Outcome.Tilt):
		f.hard(HardTilt, v.Tick)
	}
}

// noteTouch notes the first touch of the floor, by any part of the craft, after
// the cue, also where a hard outcome came before it; in a run without an event,
// the first after take-off.
func noteTouch(f *Facts, v *View) {
	touch := &v.Craft.Touch
	onFloor := touch.Kinds&(dynamics.TouchSkidFloor|dynamics.TouchRotorFloor) != 0
	if onFloor && f.Airborne != Never && f.FloorTouch == Never && (f.Cue != Never || !v.HasEvent) {
		f.FloorTouch, f.Touchdown = v.Tick, touch.Speed
	}
}

// tippedOver tells whether a craft whose up stands at this cosine leans by more
// than tilt (rad). Within ten degrees no limit is passed, and no cosine needed.
func tippedOver(up, tilt float64) bool { return up < 0.98 && up < kernel.Cos(tilt) }

func (f *Facts) hard(kind HardKind, tick int64) { f.Hard, f.HardKind = tick, kind }

func outside(p dynamics.Vec3, place *dynamics.Place) bool {
	lo, hi := place.CageMin, place.CageMax
	return p.X < lo.X || p.X > hi.X || p.Y < lo.Y || p.Y > hi.Y || p.Z > hi.Z
}

// noteCue starts the clock. Signs before the onset of the first inject, or before
// the mark from which an event that emerges is watched, do not count, so that a
// bumpy lift is no cue.
func noteCue(d *Drill, f *Facts, v *View) {
	if v.Percept.Camera > 0 && f.Onset != Never {
		f.warned = true
	}
	if f.Cue != Never || f.Onset == Never && !(d.Emerges && v.Begun) {
		return
	}
	for i := range d.CueCount {
		if d.Cues[i].Holds(&f.watch[i], v.Percept) && f.Cue == Never {
			f.Cue, f.CueRule = v.Tick, int64(i)
			f.cued(v)
			forget(d, f, v)
		}
	}
}

// cued keeps how everything stood at the cue. An event that emerges begins there.
func (f *Facts) cued(v *View) {
	if f.Onset == Never {
		f.Onset = v.Tick
	}
	f.CueW, f.CueHoldW, f.CueHands = v.Craft.PosW, v.Percept.HoldW, *v.Hands
	f.Margin = cageMargin(v.Percept.HoldW, v.Place)
	f.Endurance = endurance(v.Pack, &v.Craft.Cell)
	f.nearest, f.tightest = v.Percept.Person, v.Percept.Wall
}

// cageMargin returns the horizontal distance (m) from p to the nearest side of
// the cage.
func cageMargin(p dynamics.Vec3, place *dynamics.Place) float64 {
	return min(p.X-place.CageMin.X, place.CageMax.X-p.X, p.Y-place.CageMin.Y, place.CageMax.Y-p.Y)
}

// noteFlight keeps the extremes that the score's control part asks for.
func noteFlight(f *Facts, v *View) {
	p := v.Percept
	noteHands(f, v)
	f.quiet = since(f.quiet, p.VelW.NormXY() < quietSpeed, v.Tick)
	f.sinking = since(f.sinking, p.VelW.Z < -sinkSpeed, v.Tick)
	f.steady = since(f.steady, math.Abs(p.YawRate) < steadyRate, v.Tick)
	f.level = since(f.level, math.Abs(p.VelW.Z) < levelSpeed, v.Tick)
	if f.Cue != Never {
		f.nearest, f.tightest = min(f.nearest, p.Person), min(f.tightest, p.Wall)
		f.leaped = f.leaped || p.Leap > levelSpeed
	}
	watched := f.Cue != Never || !v.HasEvent && f.Airborne != Never
	if !watched || f.FloorTouch != Never {
		return
	}
	if f.Cue != Never {
		f.MaxAway = max(f.MaxAway, v.Craft.PosW.Sub(f.CueHoldW).NormXY())
	}
	f.MaxTilt = max(f.MaxTilt, p.Tilt)
	if !p.OnFloor {
		f.MinWall = min(f.MinWall, p.Wall)
	}
}

// noteHands keeps since when hands have stood as some deeds ask, and how often
// the response type was changed.
func noteHands(f *Facts, v *View) {
	h := v.Hands
	f.CutOffSince = since(f.CutOffSince, h.CutOff, v.Tick)
	f.neutral = since(f.neutral, centred(h.Roll) && centred(h.Pitch) && centred(h.Yaw), v.Tick)
	f.lowest = since(f.lowest, h.Throttle == 0, v.Tick)
	f.freed = f.freed || !h.CutOff
	f.wasArmed = f.wasArmed || v.Status.Armed
	if f.Cue != Never && h.Response != f.last.Response {
		f.switched++
	}
}

// centred tells whether a stick is let go of: within a tenth of its travel.
func centred(stick int16) bool { return stick <= hands.Full/10 && stick >= -hands.Full/10 }

// noteExceedances notes when a limit of the flight is passed, in the air.
func noteExceedances(d *Drill, f *Facts, v *View) {
	if f.Airborne == Never || v.Percept.OnFloor {
		return
	}
	for i := range d.ExceedanceCount {
		if d.Exceedances[i].Rule.Holds(&f.limits[i], v.Percept) && f.Exceeded[i] == Never {
			f.Exceeded[i] = v.Tick
		}
	}
}

// since keeps the tick since which a condition holds.
func since(t int64, holds bool, now int64) int64 {
	if !holds {
		return Never
	}
	if t == Never {
		return now
	}
	return t
}
