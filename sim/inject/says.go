package inject

import "fmt"

// slow is how long (ticks) a ramp must be for what it brings to be said to begin.
const slow = 2000

const degrees = 57.29577951308232 // 180/π

// Says says in plain words, as the second half of a sentence, what the inject
// does to the craft.
func (in *Inject) Says() string {
	if said := sayings[min(in.Kind, kindCount-1)]; said != "" {
		return said
	}
	switch in.Kind {
	case EstimateDrift:
		return fmt.Sprintf("the position estimate began to slide away at %.2f m/s", in.Severity)
	case EstimateJump:
		return fmt.Sprintf("the position estimate jumped by %.1f m", in.Severity)
	case EstimateRunaway:
		return fmt.Sprintf("the position estimate began to run away at %.1f m/s²", in.Severity)
	case HeadingError:
		return fmt.Sprintf("the heading estimate went wrong by %.0f degrees", in.Severity*degrees)
	case VisionLost:
		if in.How == Dark {
			return "it grew too dark for the camera"
		}
		return "the camera's lens was covered"
	case HeightStep:
		return fmt.Sprintf("the height sensor went wrong by %+.1f m", in.Severity)
	case InertialFault:
		return fmt.Sprintf("the gyroscope began to read a turning of %.0f degrees a second that was not there", in.Severity*degrees)
	case PathAstray:
		return fmt.Sprintf("the on-board computer steered off at %.1f m/s", in.Severity)
	case LinkStutter:
		return fmt.Sprintf("the link to the craft began to stutter, %.0f %% of the time without a frame", 100*in.Severity)
	case StuckAxis:
		return fmt.Sprintf("the craft heard the %s stick stuck at %.0f %%", in.Axis, 100*in.At)
	case MotorFailure:
		if in.Severity >= 1 {
			return "a motor stopped"
		}
		return fmt.Sprintf("a motor lost %.0f %% of its speed", 100*in.Severity)
	case ThrustLoss:
		switch {
		case in.Severity > 1:
			return "a propeller pushed the wrong way"
		case in.RampTicks > slow:
			return fmt.Sprintf("a propeller began to lose its thrust, in the end %.0f %% of it", 100*in.Severity)
		}
		return fmt.Sprintf("a propeller lost %.0f %% of its thrust", 100*in.Severity)
	case VoltageSag:
		return fmt.Sprintf("each cell's voltage began to sag, in the end by %.1f V", in.Severity)
	case BatteryShift:
		return fmt.Sprintf("the battery slipped, and the balance with it by %.0f mm", 1000*in.Severity)
	case Gust:
		return fmt.Sprintf("a gust of %.1f m/s came", in.Severity)
	case HoverMarkWrong:
		return fmt.Sprintf("the hover mark was off by %+.0f %%", 100*in.Severity)
	}
	return "nothing was made to go wrong"
}

// sayings are what is said whatever the severity.
var sayings = [kindCount]string{
	HeightLost:    "the height sensor stopped giving heights",
	ComputerDead:  "the on-board computer stopped",
	LostLink:      "the link to the craft went dead",
	ActionFails:   "the craft could no longer notice a lost link",
	TelemetryLost: "nothing came back from the craft any more",
	OtherCraft:    "another craft answered the transmitter",
	HoldDenied:    "the craft did not give response types that hold a place",
	LandingMissed: "the craft did not notice that it stood",
	ArmsItself:    "the craft armed by itself",
	CutOffFails:   "the motor cut-off had no effect",
	RotorsSwapped: "two motors got each other's commands",
	PowerLoss:     "the battery gave no current",
	BatteryFire:   "smoke came from the battery",
	PersonEnters:  "a person walked in",
	NoseMistaken:  "the tail was taken for the nose",
	VideoFrozen:   "the picture that was flown by stood still",
}
