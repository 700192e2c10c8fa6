package judge

// DeedKind is a kind of action that hands, station and craft show.
type DeedKind uint8

// The kinds of deed.
const (
	DeedNone              DeedKind = iota
	DeedRefuge                     // attitude or height-hold is selected
	DeedAttitude                   // attitude is selected
	DeedPositionHold               // position-hold is selected
	DeedReselect                   // a position-based response type is selected again after it was left
	DeedCutOff                     // motor cut-off is engaged
	DeedRelease                    // motor cut-off is released while armed or with the throttle above 5 %
	DeedThrottleLowest             // throttle at its lowest
	DeedThrottleUp                 // level, share of travel: throttle raised above where it was at the cue
	DeedThrottleOff                // level, share: throttle off the hover mark on entering direct thrust
	DeedDisarm                     // the craft is disarmed, by the person and not by itself
	DeedArrest                     // level, m/s: horizontal speed below it for 0.3 s
	DeedDescend                    // descent asked for by the throttle, not by a cut-off, with motors turning, and begun in the air: 0.2 m lower than at the cue, or sinking above 0.15 m/s for 0.3 s
	DeedTouchdown                  // standing on the floor, and not by coming down too hard, unless it was rightly cut off
	DeedClimb                      // level, m: higher than at the cue
	DeedCall                       // a call is made
	DeedStep                       // a step is taken
	DeedReturnSafe                 // sticks set for the link's return, as the lost-link action asks
	DeedPositionStick              // level, share: sticks deflected while a position-based response type is in force
	DeedStir                       // level, 1/s: stick reversals beyond half travel
	DeedYawOn                      // level, rad/s: turning on
	DeedStayPath                   // level, s after the cue: path is still selected
	DeedStayPositionBased          // level, s after the cue: a position-based response type is still selected
	DeedMotorsRun                  // level, s after the cue: motors still turn
	DeedPlanDone                   // the briefed plan is completed
	DeedLeaveCause                 // the response type is left without cause (catch runs)
	DeedYawStopped                 // turning slower than 10 degrees a second for 0.3 s
	DeedSticksNeutral              // roll, pitch and yaw centred for 1 s in the air after the cue
	DeedHoldLowest                 // level, s: throttle at its lowest for as long, after the cue
	DeedEaseThrottle               // level, share of travel: throttle lowered below where it was at the cue
	DeedMoveAway                   // level, m: further from the nearest person than at the nearest since the cue
	DeedMoveClear                  // level, m: further from net, wall and box than at the nearest since the cue
	DeedCorrectThrottle            // after a leap since the cue: rising or sinking slower than 0.3 m/s for 0.2 s
	DeedSwitchAbout                // level: response types selected since the cue, more than so many
	DeedInspected                  // every item of the inspection list is looked at and ticked
	DeedFoundAll                   // the same, and everything there was is found
	DeedFalseFind                  // something sound is ticked as not sound
	DeedMissed                     // something not sound is ticked as sound
	DeedVerdictRight               // go is called for a craft that may fly, or no-go for one that may not
	DeedVerdictWrong               // the other way round
	DeedPowerOrder                 // the battery goes in while the transmitter is off
	DeedPromptsAnswered            // every spoken prompt is answered in time
	DeedWrongSwitch                // another switch than the one asked for is moved
	DeedCarryDone                  // every move of the carry is made and the craft stands again
	DeedRefusalNamed               // it is said rightly which check refused to arm
	DeedRefusalMisnamed            // another check is said
	deedCount
)

var deedWords = [deedCount]string{"", "select-refuge", "select-attitude", "select-position-hold",
	"reselect-position-based", "cut-off", "release-cut-off", "throttle-lowest", "throttle-up", "throttle-mismatch",
	"disarm", "arrest", "descend", "touchdown", "climb", "call", "step", "sticks-return-safe", "position-stick",
	"stir", "yaw-on", "stay-on-path", "stay-position-based", "motors-running", "plan-completed",
	"leave-without-cause", "yaw-stopped", "sticks-neutral", "hold-throttle-lowest", "ease-throttle", "move-away",
	"move-clear", "correct-throttle", "switch-about", "inspected", "found-all", "false-find", "missed",
	"verdict-right", "verdict-wrong", "battery-before-transmitter", "prompts-answered", "wrong-switch", "carry-done",
	"refusal-named", "refusal-misnamed"}

// String returns the word for k.
func (k DeedKind) String() string {
	if k >= deedCount {
		return "unknown"
	}
	return deedWords[k]
}

// ParseDeed returns the kind called w.
func ParseDeed(w string) (DeedKind, bool) {
	for i, candidate := range deedWords {
		if candidate == w && i > 0 {
			return DeedKind(i), true
		}
	}
	return DeedNone, false
}

// DeedWords lists the kinds' words.
func DeedWords() []string { return deedWords[1:] }
