package judge

import (
	"lapwing/dynamics"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Never stands for a tick that has not come.
const Never int64 = -1

// Facts is what the judge has noted so far. It is a plain value inside the
// world, so a fork carries its own.
type Facts struct {
	Onset   int64 // tick at which the first inject began, Never before
	Cue     int64 // tick at which a person could perceive it
	CueRule int64 // which rule of the drill that was

	FirstInput  int64                 // first change of hands after onset that is not the plan's
	FirstRight  int64                 // first right action
	Done        [MaxDemands]int64     // each demand
	Began       [MaxDemands]int64     // tick at which each demand's deed was first seen, in order or not
	Committed   [MaxCommissions]int64 // each commission
	Exceeded    [MaxExceedances]int64 // each exceedance, for the first time
	OrderErrors int64
	CallMade    int64    // the drill's call-out
	Complete    int64    // every demand done
	Safe        int64    // standing with motors stopped, after having flown or at a demand to stop
	Secured     [4]int64 // throttle lowest, disarmed, cut-off held, battery out: after Safe or the cue

	CueW        dynamics.Vec3 // m, where the craft was at the cue
	CueHoldW    dynamics.Vec3 // m, where it should have been at the cue
	CueHands    hands.Hands   // hands at the cue
	Endurance   float64       // s, from the cue until the battery is critical at the draw it had then
	Margin      float64       // m, from CueHoldW to the nearest side of the cage
	MaxAway     float64       // m, greatest horizontal distance from CueHoldW after the cue
	MinWall     float64       // m, least distance to net, wall, box or ceiling in the air, after the cue or, without an event, from take-off on
	Touchdown   float64       // m/s, closing speed at the first touch of the floor, by any part, after the cue or, without an event, after take-off
	MaxTilt     float64       // rad, after the cue or, without an event, from take-off on
	FloorTouch  int64         // tick of that touch
	MotorsOff   int64         // tick since which no rotor turns, Never while any does
	Airborne    int64         // tick at which it first left the floor
	AreaClear   int64         // tick of the last area-clear call
	CutOffSince int64         // tick since which the hands hold cut-off, Never while they do not
	CutInFlight int64         // tick at which cut-off was engaged in the air
	Smoked      bool          // smoke was seen: the pack must not be touched

	Hard     int64    // tick of the hard outcome, Never before
	HardKind HardKind // what it was
	Fail     [failCount]int64

	watch    [MaxCues]percept.Watch
	limits   [MaxExceedances]percept.Watch
	quiet    int64 // tick since which the craft is slow enough for an arrest
	sinking  int64 // tick since which it sinks
	steady   int64 // tick since which it hardly turns
	level    int64 // tick since which it hardly rises or sinks
	neutral  int64 // tick since which the sticks are let go of
	lowest   int64 // tick since which the throttle is at its lowest
	switched int64 // how often the response type was changed after the cue
	left     bool  // a position-based response type was left after the cue
	warned   bool  // the health alert was shown after onset
	leaped   bool  // it rose or sank quickly on a change into direct thrust, after the cue
	freed    bool  // the cut-off was released at some time
	ran      bool  // a motor has turned
	wasArmed bool  // it was armed at some time
	armed    bool  // it was armed at the last percept
	last     hands.Hands
	reversal [2]int64 // last side of roll and pitch beyond half travel
	stirs    [8]int64 // ticks of the latest reversals
	stirNext int64
	crashed  int64 // tick of a contact or tip-over after which motors should stop
	cutStop  bool  // motors were stopped by cut-off and not yet restarted in order
	cutAt    int64 // tick of that cut-off; the area must be called clear after it

	nearest  float64       // m, least distance to a person since the cue
	tightest float64       // m, least distance to net, wall or box since the cue
	near     int64         // tick since which a person is within the radius
	walkedIn bool          // they came within it on their own feet
	shiftW   dynamics.Vec3 // m, by which person 0 had walked at the last tick
}

// HardKind is a kind of hard outcome.
type HardKind uint8

// The kinds of hard outcome.
const (
	HardNone HardKind = iota
	HardContact
	HardTouchdown
	HardCage
	HardPerson
	HardTilt
)

// Words says what k was.
func (k HardKind) Words() string {
	return [...]string{"nothing hard happened", "it hit something", "it came down too hard",
		"it left the cage", "it came within a person's radius", "it tipped over in the air"}[min(k, HardTilt)]
}

// Fail is a hard fail: any one means NO-GO, whatever else was right.
type Fail uint8

// The hard fails.
const (
	FailPerson      Fail = iota // contact with a person, or powered flight inside the person radius
	FailCage                    // left the cage under power
	FailRestart                 // motors restarted after a cut-off without throttle lowest, disarmed and area-clear
	FailRunning                 // motors still turning more than 4 s after a crash or tip-over
	FailApproach                // approached or picked up while armed or before the battery was out
	FailArming                  // armed with people inside the cage
	FailCutOver                 // cut-off directly over a person
	FailReengage                // position-based response type taken again after a diagnosed estimator failure
	FailTransmitter             // transmitter switched off as a first response
	FailUnfit                   // armed with a discrepancy that forbids flying
	FailBench                   // armed with propellers on in a task at the bench
	FailTouch                   // touched or carried a burning pack
	FailReplug                  // battery in again after a flight without the cut-off engaged
	failCount
)

// Fails is the number of hard fails.
const Fails = int(failCount)

// Words says what f is.
func (f Fail) Words() string {
	return [...]string{
		"powered flight within a person's radius, or contact with a person",
		"left the cage under power",
		"motors restarted after a cut-off without throttle lowest, disarmed and the area called clear",
		"motors still turning more than 4 seconds after the crash, with a working cut-off",
		"approached the craft while it was armed or before the battery was out",
		"armed with people inside the cage",
		"cut off directly over a person",
		"took a position-based response type again after the estimate had failed",
		"switched the transmitter off as the first response",
		"armed although something was found, or there to be found, that forbids flying",
		"armed with the propellers on in a task at the bench",
		"touched or carried a burning pack",
		"connected the battery again without the cut-off engaged",
	}[f]
}

// Start returns the facts of a run that has not begun.
func Start() Facts {
	f := Facts{Onset: Never, Cue: Never, FirstInput: Never, FirstRight: Never, CallMade: Never, Complete: Never,
		Safe: Never, FloorTouch: Never, MotorsOff: 0, Airborne: Never, AreaClear: Never, CutOffSince: Never,
		CutInFlight: Never, Hard: Never, MinWall: 1e3, quiet: Never, sinking: Never,
		steady: Never, level: Never, neutral: Never, lowest: Never, near: Never, crashed: Never}
	for i := range f.Done {
		f.Done[i], f.Began[i] = Never, Never
	}
	for i := range f.Committed {
		f.Committed[i] = Never
	}
	for i := range f.Exceeded {
		f.Exceeded[i] = Never
	}
	for i := range f.Fail {
		f.Fail[i] = Never
	}
	for i := range f.Secured {
		f.Secured[i] = Never
	}
	return f
}

// Failed tells whether any hard fail was noted.
func (f *Facts) Failed() bool {
	for _, t := range f.Fail {
		if t != Never {
			return true
		}
	}
	return false
}
