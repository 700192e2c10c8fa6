package percept

import (
	"math"

	"lapwing/sim/hands"
)

// Sign is something a percept can show.
type Sign uint8

// The signs. Those with a level hold while the percept's figure is above it.
const (
	SignNone          Sign = iota
	SignSlide              // m/s, uncommanded horizontal speed
	SignAway               // m, from the place it should be
	SignTilt               // rad
	SignSpeed              // m/s, horizontal
	SignSink               // m/s, downward
	SignClimb              // m/s, upward
	SignAccel              // m/s², horizontal
	SignYawRate            // rad/s
	SignOverPath           // share of the briefed path's speed
	SignOddRotor           // share off the other rotors' mean
	SignCamera             // 0.5 doubtful or worse, 1.5 disagrees
	SignLinkLost           // 0.5
	SignDeadSticks         // s
	SignBattery            // 0.5 caution or worse, 1.5 critical
	SignContact            // 0.5
	SignTipping            // rad, tilt with weight on the feet
	SignMotorsOnFloor      // 0.5, motors turn while standing
	SignPersonNear         // 1/m, the inverse of the distance to a person
	SignNotHolding         // 0.5, position-hold or path is selected and another response type is in force
	SignAirborne           // 0.5
	SignOnFloor            // 0.5
	SignLow                // 1/m, the inverse of the height of the feet's floor distance
	SignYawSlide           // m/s, slide within 2 s of turning faster than 45 degrees a second
	SignSwing              // rad, amplitude of a lean that swings to and fro and does not die away
	SignStationSilent      // 0.5, no telemetry comes though the link is up
	SignFliesOn            // s, it flies on after its lost-link action was due
	SignMotorsSilent       // 0.5, no motor turns in the air
	SignSmoke              // 0.5, smoke at the craft
	SignPinned             // rad, tilt of a craft that stands still with its motors turning
	SignCeiling            // 1/m, the inverse of the distance to what is above it
	SignOtherMoves         // 0.5, another craft moves as the sticks do
	SignPictureStill       // 0.5, the picture that is flown by stands still
	SignCageAlert          // 0.5, the station tells that the craft is at the side of the cage
	SignCutOffIgnored      // s, motors turn with the cut-off engaged
	SignLeap               // m/s, up or down, within 1 s of a change into direct thrust
	SignNoseIn             // 0.5, the nose points at who flies
	SignPrompt             // 0.5, something is asked for aloud
	SignHeld               // 0.5, the craft is in a hand
	SignItemBad            // 0.5, what is looked at on the inspection list is not sound
	SignFlicker            // times that the link flag came up in the last 5 s
	signCount
)

var signWords = [signCount]string{"", "slide_m_s", "away_m", "tilt_rad", "speed_m_s", "sink_m_s", "climb_m_s",
	"accel_m_s2", "yaw_rate_rad_s", "over_path", "odd_rotor", "camera", "link_lost", "dead_sticks_s", "battery",
	"contact", "tipping_rad", "motors_on_floor", "person_near", "not_holding", "airborne", "on_floor", "low",
	"yaw_slide_m_s", "swing_rad", "station_silent", "flies_on_s", "motors_silent", "smoke", "pinned_rad", "ceiling",
	"other_moves", "picture_still", "cage_alert", "cut_off_ignored_s", "leap_m_s", "nose_in", "prompt", "held",
	"item_looks_bad", "link_flickers"}

// String returns the word for s.
func (s Sign) String() string {
	if s >= signCount {
		return "unknown"
	}
	return signWords[s]
}

// ParseSign returns the sign called w.
func ParseSign(w string) (Sign, bool) {
	for i, candidate := range signWords {
		if candidate == w && i > 0 {
			return Sign(i), true
		}
	}
	return SignNone, false
}

// SignWords lists the signs' words.
func SignWords() []string { return signWords[1:] }

// Figure returns the figure that s compares with its level.
func (p *Percept) Figure(s Sign) float64 {
	switch s {
	case SignSlide:
		return p.Uncommanded
	case SignAway:
		return p.Away
	case SignTilt:
		return p.Tilt
	case SignSpeed:
		return p.VelW.NormXY()
	case SignSink:
		return -p.VelW.Z
	case SignClimb:
		return p.VelW.Z
	case SignAccel:
		return p.AccelW.NormXY()
	case SignYawRate:
		return math.Abs(p.YawRate)
	case SignOverPath:
		if p.PathSpeed <= 0.2 {
			return 0
		}
		return p.VelW.NormXY() / p.PathSpeed
	case SignOddRotor:
		return p.OddRotor
	case SignCamera:
		return float64(p.Camera)
	case SignLinkLost:
		return truth(p.LinkLost)
	case SignDeadSticks:
		return p.DeadSticks
	case SignBattery:
		return float64(p.Battery)
	case SignContact:
		return truth(p.Contact)
	case SignTipping:
		if !p.OnFloor {
			return 0
		}
		return p.Tilt
	case SignMotorsOnFloor:
		return truth(p.OnFloor && p.MotorsTurn)
	case SignPersonNear:
		return 1 / math.Abs(p.Person+1e-9)
	case SignNotHolding:
		return truth(p.Commanded.PositionBased() && p.Actual != p.Commanded)
	case SignAirborne:
		return truth(!p.OnFloor && p.PosW.Z > inAir)
	case SignOnFloor:
		return truth(p.OnFloor)
	case SignLow:
		return 1 / math.Abs(p.PosW.Z+1e-9)
	}
	return p.oddFigure(s)
}

// Levels inside signs that are made of two things at once.
const (
	turnedFast = 0.7853981633974483 // rad/s, 45 degrees a second: turning that a single camera's estimate may not stand (a judgement)
	standsBy   = 0.2                // m/s, slower than which a craft is pinned (a judgement)
	inAir      = 0.25               // m, above which it flies, wherever the feet stand
)

// oddFigure is Figure for the signs of single events.
func (p *Percept) oddFigure(s Sign) float64 {
	switch s {
	case SignYawSlide:
		if p.Turned <= turnedFast {
			return 0
		}
		return p.Uncommanded
	case SignSwing:
		return p.Swing
	case SignStationSilent:
		return truth(p.Silent)
	case SignFliesOn:
		return p.DeadFly
	case SignMotorsSilent:
		return truth(!p.MotorsTurn && !p.OnFloor && !p.Held && p.PosW.Z > inAir)
	case SignSmoke:
		return truth(p.Smoke)
	case SignPinned:
		if !p.MotorsTurn || p.VelW.Norm() >= standsBy {
			return 0
		}
		return p.Tilt
	case SignCeiling:
		return 1 / max(p.Above, 1e-9)
	case SignOtherMoves:
		return truth(p.OtherMoves)
	case SignPictureStill:
		return truth(p.Frozen)
	case SignCageAlert:
		return truth(p.CageAlert)
	case SignCutOffIgnored:
		return p.CutRuns
	case SignLeap:
		return p.Leap
	case SignNoseIn:
		return truth(p.NoseIn)
	case SignPrompt:
		return truth(p.Prompt != 0)
	case SignHeld:
		return truth(p.Held)
	case SignItemBad:
		return truth(p.ItemState != 0)
	case SignFlicker:
		return p.Flicker
	}
	return 0
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// Rule holds once its sign's figure has been above its level for a time.
type Rule struct {
	Sign  Sign
	Above float64 // in the sign's unit
	For   int64   // ticks, ≥ 0
}

// Watch is the state of a rule: the tick since which its figure is above its
// level; 0 while it is not.
type Watch struct{ Since int64 }

// Holds moves w on by one percept and tells whether r holds.
func (r *Rule) Holds(w *Watch, p *Percept) bool {
	if !(p.Figure(r.Sign) > r.Above) {
		w.Since = 0
		return false
	}
	if w.Since == 0 {
		w.Since = max(p.Tick, 1)
	}
	return p.Tick-w.Since >= r.For
}

// CommandsNothing tells whether sticks other than the throttle are centred.
func CommandsNothing(h *hands.Hands) bool { return h.Roll == 0 && h.Pitch == 0 && h.Yaw == 0 }
