package score

import (
	"fmt"

	"lapwing/sim/percept"
)

// signSays says a cue rule in a sentence's second half.
func signSays(r *percept.Rule) string {
	deg := r.Above * 57.29577951308232
	switch r.Sign {
	case percept.SignSlide:
		return fmt.Sprintf("it slid faster than %.2f m/s without being asked to", r.Above)
	case percept.SignAway:
		return fmt.Sprintf("it was more than %.1f m from where it should be", r.Above)
	case percept.SignTilt:
		return fmt.Sprintf("it leaned by more than %.0f degrees", deg)
	case percept.SignTipping:
		return fmt.Sprintf("it leaned by more than %.0f degrees on its feet", deg)
	case percept.SignCamera:
		return "the station said that the camera is doubtful or disagrees"
	case percept.SignLinkLost:
		return "the station showed the link as lost"
	case percept.SignDeadSticks:
		return fmt.Sprintf("a moved stick had no answer for %.1f s", r.Above)
	case percept.SignOddRotor:
		return fmt.Sprintf("one rotor sounded more than %.0f %% off the others", 100*r.Above)
	case percept.SignBattery:
		return "the station warned of the battery"
	case percept.SignSink:
		return fmt.Sprintf("it sank faster than %.1f m/s", r.Above)
	case percept.SignAccel:
		return fmt.Sprintf("it was pushed with more than %.1f m/s²", r.Above)
	case percept.SignOverPath:
		return fmt.Sprintf("it flew faster than %.1f times the briefed path", r.Above)
	case percept.SignContact:
		return "it touched something"
	case percept.SignPersonNear:
		return fmt.Sprintf("a person was nearer to it than %.1f m", 1/r.Above)
	}
	return oddSignSays(r)
}

// oddSignSays is signSays for the signs of single events.
func oddSignSays(r *percept.Rule) string {
	deg := r.Above * 57.29577951308232
	switch r.Sign {
	case percept.SignClimb:
		return fmt.Sprintf("it rose faster than %.1f m/s", r.Above)
	case percept.SignSpeed:
		return fmt.Sprintf("it flew faster than %.1f m/s", r.Above)
	case percept.SignYawRate:
		return fmt.Sprintf("it turned faster than %.0f degrees a second", deg)
	case percept.SignYawSlide:
		return fmt.Sprintf("it slid faster than %.2f m/s after a fast turn", r.Above)
	case percept.SignSwing:
		return fmt.Sprintf("it swung to and fro by more than %.0f degrees, and the swing did not die away", deg)
	case percept.SignFliesOn:
		return fmt.Sprintf("it flew on for %.1f s after it should have acted by itself", r.Above)
	case percept.SignPinned:
		return fmt.Sprintf("it lay or hung at more than %.0f degrees with its motors turning", deg)
	case percept.SignCeiling:
		return fmt.Sprintf("it was nearer than %.1f m to what is above it", 1/r.Above)
	case percept.SignLow:
		return fmt.Sprintf("it was lower than %.1f m", 1/r.Above)
	case percept.SignCutOffIgnored:
		return fmt.Sprintf("its motors had turned for %.1f s with the cut-off engaged", r.Above)
	case percept.SignLeap:
		return fmt.Sprintf("it leapt or dropped faster than %.1f m/s at the switch", r.Above)
	case percept.SignFlicker:
		return fmt.Sprintf("the station's link flag came up more than %.0f times within 5 s", r.Above)
	}
	return plainSigns[r.Sign]
}

// plainSigns are said without a figure.
var plainSigns = map[percept.Sign]string{
	percept.SignMotorsOnFloor: "its motors turned while it stood",
	percept.SignNotHolding:    "the station showed another response type than the one selected",
	percept.SignAirborne:      "it flew",
	percept.SignOnFloor:       "it stood",
	percept.SignStationSilent: "nothing came back from it, though the link was up",
	percept.SignMotorsSilent:  "its motors fell silent in the air",
	percept.SignSmoke:         "smoke came from it",
	percept.SignOtherMoves:    "another craft moved as the sticks did",
	percept.SignPictureStill:  "the picture stood still",
	percept.SignCageAlert:     "the station told that it was at the side of the cage",
	percept.SignNoseIn:        "its nose pointed at who flies",
	percept.SignPrompt:        "a switch was asked for",
	percept.SignHeld:          "it was in a hand",
	percept.SignItemBad:       "what was looked at was not sound",
}
