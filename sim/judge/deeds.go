package judge

import (
	"math"

	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// Thresholds of deeds that have no level of their own. Judgements.
const (
	quietSpeed   = 0.3 // m/s, "stopped" for an arrest without a level
	sinkSpeed    = 0.15
	sinkFor      = 300             // ticks
	quietFor     = 300             // ticks
	steadyRate   = 0.1745          // rad/s, 10 degrees a second: not turning
	steadyFor    = 300             // ticks
	levelSpeed   = 0.3             // m/s, neither rising nor sinking
	levelFor     = 200             // ticks
	neutralFor   = 1000            // ticks
	throttleTop  = hands.Full / 20 // 5 % of travel counts as up
	mismatchSafe = 0.3             // share of the hover mark within which sticks are safe for the link's return
)

// noteDeeds notes demands, commissions, the call-out and the first input.
func noteDeeds(d *Drill, f *Facts, v *View) {
	noteStir(f, v.Hands, v.Tick)
	noteCalls(d, f, v)
	begun := f.Onset != Never || !v.HasEvent
	if begun {
		noteDemands(d, f, v)
	}
	if f.Cue != Never || !v.HasEvent {
		noteCommissions(d, f, v)
	}
	if f.Cue != Never && leavesPositionBased(v.Hands, &f.CueHands) {
		f.left = true
	}
	if f.Cue != Never && f.FirstInput == Never && differs(v.Hands, &f.CueHands) {
		f.FirstInput = v.Tick
	}
}

// differs tells whether hands show an answer: a switch, a call, or a stick
// moved by more than a tenth of its travel.
func differs(h, was *hands.Hands) bool {
	moved := func(a, b int16) bool { return a-b > hands.Full/10 || b-a > hands.Full/10 }
	return h.Response != was.Response || h.CutOff != was.CutOff || h.Armed != was.Armed ||
		h.Call != hands.CallNone || h.Step != hands.StepNone ||
		moved(h.Throttle, was.Throttle) || moved(h.Roll, was.Roll) || moved(h.Pitch, was.Pitch) || moved(h.Yaw, was.Yaw)
}

func leavesPositionBased(h, was *hands.Hands) bool {
	return was.Response.PositionBased() && !h.Response.PositionBased()
}

func noteCalls(d *Drill, f *Facts, v *View) {
	if v.Hands.Call == hands.CallAreaClear {
		f.AreaClear = v.Tick
	}
	if d.Call != hands.CallNone && v.Hands.Call == d.Call && (f.Onset != Never || !v.HasEvent) && f.CallMade == Never {
		f.CallMade = v.Tick
	}
}

// noteDemands notes each demand once; one that must follow another waits for
// it, and having been done before it counts as an error of order.
func noteDemands(d *Drill, f *Facts, v *View) {
	all := true
	for i := range d.DemandCount {
		demand := &d.Demands[i]
		if f.Done[i] != Never {
			continue
		}
		if !demandMet(demand, f, v) {
			all = false
			continue
		}
		if f.Began[i] == Never {
			f.Began[i] = v.Tick
		}
		if demand.Ordered && i > 0 && f.Done[i-1] == Never {
			all = false
			continue
		}
		f.Done[i] = v.Tick
		if demand.Ordered && i > 0 && f.Began[i] < f.Done[i-1] && demand.IsAct() {
			f.OrderErrors++
		}
		if demand.First && f.FirstRight == Never {
			f.FirstRight = v.Tick
		}
	}
	if all && f.Complete == Never && d.DemandCount > 0 {
		f.Complete = v.Tick
	}
}

// IsAct tells whether the demand is an act whose order says something, and not a
// condition that may hold by itself.
func (d *Demand) IsAct() bool {
	switch d.AnyOf[0].Kind {
	case DeedArrest, DeedDescend, DeedThrottleLowest, DeedTouchdown, DeedYawStopped, DeedSticksNeutral,
		DeedHoldLowest, DeedMoveAway, DeedMoveClear, DeedCorrectThrottle:
		return false
	}
	return true
}

func demandMet(demand *Demand, f *Facts, v *View) bool {
	for i := range demand.Count {
		if deedDone(&demand.AnyOf[i], f, v) {
			return true
		}
	}
	return false
}

func noteCommissions(d *Drill, f *Facts, v *View) {
	for i := range d.CommissionCount {
		deed := &d.Commissions[i].Deed
		if f.Committed[i] == Never && !excused(deed.Kind, f, v) && deedDone(deed, f, v) && v.Tick != f.Cue {
			f.Committed[i] = v.Tick
		}
	}
}

// excused tells whether a deed cannot be wrong now: holding the cut-off, and the
// throttle at its lowest, are how every event ends, and once it has ended hard
// there is no refuge left.
func excused(kind DeedKind, f *Facts, v *View) bool {
	switch kind {
	case DeedCutOff:
		return v.Percept.OnFloor || f.MotorsOff != Never || f.Hard != Never
	case DeedThrottleLowest, DeedHoldLowest:
		return v.Percept.OnFloor || f.Hard != Never
	}
	return false
}

// deedDone tells whether deed is seen in this percept. Four files tell: what the
// switches show (here), what the sticks show, what the craft shows, and what is
// done before a flight (work.go).
func deedDone(deed *Deed, f *Facts, v *View) bool {
	h := v.Hands
	switch deed.Kind {
	case DeedRefuge:
		return h.Response == hands.Attitude || h.Response == hands.HeightHold
	case DeedAttitude:
		return h.Response == hands.Attitude
	case DeedPositionHold:
		return h.Response == hands.PositionHold
	case DeedReselect:
		return f.left && h.Response.PositionBased()
	case DeedSwitchAbout:
		return float64(f.switched) > deed.Level
	case DeedCutOff:
		return h.CutOff && f.freed
	case DeedRelease:
		return !h.CutOff && f.last.CutOff && (h.Throttle > throttleTop || v.Percept.Armed)
	case DeedDisarm:
		return !v.Status.Armed && !h.Armed && f.wasArmed
	case DeedCall:
		return h.Call == deed.Call
	case DeedRefusalNamed:
		return h.Call.Refused() && h.Call == v.Percept.Refused
	case DeedRefusalMisnamed:
		return h.Call.Refused() && h.Call != v.Percept.Refused
	case DeedStep:
		return h.Step == deed.Step
	case DeedPlanDone:
		return v.PlanDone
	case DeedLeaveCause:
		return f.last.Response.PositionBased() && h.Response < f.last.Response && !v.Percept.OnFloor
	}
	return sticksDone(deed, f, v) || craftDone(deed, f, v) || v.Work.done(deed, v)
}

// sticksDone tells whether a deed of the sticks is seen.
func sticksDone(deed *Deed, f *Facts, v *View) bool {
	h, mark := v.Hands, v.Percept.HoverStick
	afterCue := f.Cue != Never
	switch deed.Kind {
	case DeedThrottleLowest:
		return h.Throttle == 0
	case DeedHoldLowest:
		return afterCue && f.lowest != Never && float64(v.Tick-max(f.lowest, f.Cue)) >= deed.Level*1000
	case DeedThrottleUp:
		return afterCue && hands.Share(h.Throttle-f.CueHands.Throttle) > deed.Level && !h.Response.HoldsHeight()
	case DeedEaseThrottle:
		return afterCue && hands.Share(f.CueHands.Throttle-h.Throttle) > deed.Level
	case DeedThrottleOff:
		return f.last.Response.HoldsHeight() && !h.Response.HoldsHeight() && mismatch(h, mark) > deed.Level
	case DeedReturnSafe:
		return returnSafe(h, mark, v.LostLink)
	case DeedPositionStick:
		return afterCue && h.Response.PositionBased() && deflection(h) > deed.Level
	case DeedStir:
		return stirRate(f, v.Tick) > deed.Level
	case DeedSticksNeutral:
		return afterCue && !v.Percept.OnFloor && f.neutral != Never && v.Tick-max(f.neutral, f.Cue) >= neutralFor
	case DeedStayPath:
		return late(deed, f, v) && h.Response == hands.Path
	case DeedStayPositionBased:
		return late(deed, f, v) && h.Response.PositionBased()
	}
	return false
}

// craftDone tells whether a deed that the craft shows is seen.
func craftDone(deed *Deed, f *Facts, v *View) bool {
	h, p := v.Hands, v.Percept
	afterCue := f.Cue != Never
	switch deed.Kind {
	case DeedArrest:
		return p.VelW.NormXY() < max(deed.Level, 0.01) && v.lasts(f.quiet, quietFor)
	case DeedDescend:
		return asksDown(h, p.HoverStick) && !h.CutOff && f.MotorsOff == Never && v.Status.Link != safety.LinkLost && (p.PosW.Z < f.CueW.Z-0.2 && afterCue && !p.OnFloor || v.lasts(f.sinking, sinkFor))
	case DeedTouchdown:
		return p.OnFloor && f.Airborne != Never && (f.HardKind != HardTouchdown && !v.slammed || f.rightlyCut())
	case DeedClimb:
		return afterCue && p.PosW.Z > f.CueW.Z+deed.Level
	case DeedYawOn:
		return math.Abs(p.YawRate) > deed.Level
	case DeedYawStopped:
		return v.lasts(f.steady, steadyFor)
	case DeedMoveAway:
		return afterCue && p.Person > f.nearest+deed.Level
	case DeedMoveClear:
		return afterCue && p.Wall > f.tightest+deed.Level
	case DeedCorrectThrottle:
		return f.leaped && v.lasts(f.level, levelFor)
	case DeedMotorsRun:
		return late(deed, f, v) && f.MotorsOff == Never
	}
	return false
}

// rightlyCut tells whether the first right action was to cut the motors in the
// air: then coming down hard is how it lands.
func (f *Facts) rightlyCut() bool { return f.CutInFlight != Never && f.CutInFlight == f.FirstRight }

// late tells whether the time of deed after the cue (Level, s) is over.
func late(deed *Deed, f *Facts, v *View) bool {
	return f.Cue != Never && float64(v.Tick-f.Cue) > deed.Level*1000
}

// lasts tells whether a condition that has held since a tick has lasted for some.
func (v *View) lasts(since, ticks int64) bool { return since != Never && v.Tick-since >= ticks }

// mismatch returns |stick − hover mark| / hover mark.
func mismatch(h *hands.Hands, mark float64) float64 {
	if mark <= 0 {
		return 0
	}
	return math.Abs(hands.Share(h.Throttle)-mark) / mark
}

// asksDown tells whether the throttle asks for a descent; a craft that only
// sinks is not being landed.
func asksDown(h *hands.Hands, mark float64) bool {
	if h.Response.HoldsHeight() {
		return hands.Share(h.Throttle) < 0.45
	}
	return hands.Share(h.Throttle) < mark
}

// returnSafe tells whether the sticks suit the moment at which the link comes
// back: cut-off and throttle lowest where the craft stops its motors, attitude
// with the throttle at the hover mark where it lands or holds.
func returnSafe(h *hands.Hands, mark float64, action safety.Action) bool {
	if action == safety.ActionMotorStop {
		return h.CutOff && h.Throttle == 0
	}
	return h.Response == hands.Attitude && mismatch(h, mark) < mismatchSafe
}

func deflection(h *hands.Hands) float64 {
	return math.Sqrt(float64(hands.Share(h.Roll)*hands.Share(h.Roll)) + float64(hands.Share(h.Pitch)*hands.Share(h.Pitch)))
}

// noteStir remembers when roll or pitch went from one side to the other.
func noteStir(f *Facts, h *hands.Hands, tick int64) {
	for axis, stick := range [2]int16{h.Roll, h.Pitch} {
		side := int64(0)
		if stick > hands.Full/2 {
			side = 1
		} else if stick < -hands.Full/2 {
			side = -1
		}
		if side == 0 || side == f.reversal[axis] {
			continue
		}
		if f.reversal[axis] != 0 {
			f.stirs[f.stirNext%int64(len(f.stirs))] = tick
			f.stirNext++
		}
		f.reversal[axis] = side
	}
}

// stirRate returns the stick reversals per second over the last two seconds.
func stirRate(f *Facts, tick int64) float64 {
	n := 0.0
	for _, t := range f.stirs {
		if t > 0 && tick-t < 2000 {
			n++
		}
	}
	return n / 2
}
