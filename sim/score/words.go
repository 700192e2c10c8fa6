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
}

func deedWords(d *judge.Deed) string {
	switch d.Kind {
	case judge.DeedArrest:
		return fmt.Sprintf("stop the craft's motion (below %.1f m/s)", d.Level)
	case judge.DeedThrottleUp:
		return fmt.Sprintf("raise the throttle by more than %.0f %%", 100*d.Level)
	case judge.DeedThrottleOff:
		return fmt.Sprintf("switch with the throttle more than %.0f %% off the hover mark", 100*d.Level)
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
	return strings.ReplaceAll(word, "-", " ")
}

func demandWords(d *judge.Demand) string {
	words := make([]string, d.Count)
	for i := range words {
		words[i] = deedWords(&d.AnyOf[i])
	}
	return strings.Join(words, ", or ")
}
