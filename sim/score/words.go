package score

import (
	"fmt"
	"math"
	"strings"

	"lapwing/sim/judge"
)

var deedSays = map[judge.DeedKind]string{
	judge.DeedRefuge:            "select attitude or height-hold",
	judge.DeedAttitude:          "select attitude",
	judge.DeedPositionHold:      "select position-hold",
	judge.DeedReselect:          "select a position-based response type again",
	judge.DeedCutOff:            "engage the motor cut-off",
	judge.DeedRelease:           "release the motor cut-off while armed or with the throttle up",
	judge.DeedThrottleLowest:    "bring the throttle to its lowest",
	judge.DeedDisarm:            "disarm",
	judge.DeedDescend:           "begin the descent",
	judge.DeedTouchdown:         "land",
	judge.DeedReturnSafe:        "set the sticks for the link's return",
	judge.DeedPlanDone:          "complete the plan",
	judge.DeedLeaveCause:        "leave the response type without cause",
	judge.DeedStir:              "stir the sticks",
	judge.DeedPositionStick:     "fight with the sticks while the position is held",
	judge.DeedStayPath:          "stay on the path",
	judge.DeedStayPositionBased: "stay in a position-based response type",
	judge.DeedMotorsRun:         "leave the motors running",
	judge.DeedYawOn:             "turn on",
	judge.DeedYawStopped:        "stop turning",
	judge.DeedSticksNeutral:     "let the sticks go to their middle and hold still for a second",
	judge.DeedMoveClear:         "move away from net, wall and box",
	judge.DeedCorrectThrottle:   "correct the throttle so that it neither rises nor sinks",
	judge.DeedInspected:         "look at every place of the inspection list and tick it",
	judge.DeedFoundAll:          "find everything that was not sound",
	judge.DeedFalseFind:         "tick something sound as not sound",
	judge.DeedMissed:            "tick something as sound that was not",
	judge.DeedVerdictRight:      "call the right verdict, go or no-go",
	judge.DeedVerdictWrong:      "call the wrong verdict",
	judge.DeedPowerOrder:        "connect the battery before the transmitter was on",
	judge.DeedPromptsAnswered:   "answer every prompt in time",
	judge.DeedWrongSwitch:       "move another switch than the one asked for",
	judge.DeedCarryDone:         "carry the craft through every move and set it down",
	judge.DeedRefusalNamed:      "say which check refused to arm",
	judge.DeedRefusalMisnamed:   "name another check than the one that refused",
}

func deedWords(d *judge.Deed) string {
	switch d.Kind {
	case judge.DeedArrest:
		return fmt.Sprintf("stop the craft's motion (below %.1f m/s)", d.Level)
	case judge.DeedThrottleUp:
		return fmt.Sprintf("raise the throttle by more than %.0f %%", 100*d.Level)
	case judge.DeedThrottleOff:
		return fmt.Sprintf("switch with the throttle more than %.0f %% off the hover mark", 100*d.Level)
	case judge.DeedEaseThrottle:
		return fmt.Sprintf("ease the throttle by more than %.0f %%", 100*d.Level)
	case judge.DeedHoldLowest:
		return fmt.Sprintf("hold the throttle at its lowest for %.1f s", d.Level)
	case judge.DeedSwitchAbout:
		if d.Level == 1 {
			return "switch the response type more than once"
		}
		return fmt.Sprintf("switch the response type more than %.0f times", d.Level)
	case judge.DeedMoveAway:
		return fmt.Sprintf("move away from the person by more than %.2g m", d.Level)
	case judge.DeedClimb:
		return fmt.Sprintf("climb by more than %.1f m", d.Level)
	case judge.DeedCall:
		return "call \"" + callWords(d.Call.String()) + "\""
	case judge.DeedStep:
		return strings.ReplaceAll(d.Step.String(), "-", " ")
	case judge.DeedYawOn:
		return fmt.Sprintf("keep turning faster than %.0f degrees a second", d.Level*180/math.Pi)
	case judge.DeedStayPath, judge.DeedStayPositionBased, judge.DeedMotorsRun:
		return fmt.Sprintf("%s %.0f s after the cue", deedSays[d.Kind], d.Level)
	}
	return deedSays[d.Kind]
}

func callWords(word string) string {
	if word == "link-lost-stand-clear" {
		return "link lost, stand clear"
	}
	if check, refused := strings.CutPrefix(word, "refused-"); refused {
		return "arming refused, " + strings.Replace(check, "response-", "response ", 1)
	}
	return strings.ReplaceAll(word, "-", " ")
}

func demandWords(d *judge.Demand) string {
	words := make([]string, d.Count)
	for i := range words {
		words[i] = deedWords(&d.AnyOf[i])
	}
	return strings.Join(words, ", or ")
}
