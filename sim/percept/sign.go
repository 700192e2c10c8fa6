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
	signCount
)

var signWords = [signCount]string{"", "slide_m_s", "away_m", "tilt_rad", "speed_m_s", "sink_m_s", "climb_m_s",
	"accel_m_s2", "yaw_rate_rad_s", "over_path", "odd_rotor", "camera", "link_lost", "dead_sticks_s", "battery",
	"contact", "tipping_rad", "motors_on_floor", "person_near", "not_holding", "airborne", "on_floor", "low"}

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
		return truth(!p.OnFloor && p.PosW.Z > 0.25)
	case SignOnFloor:
		return truth(p.OnFloor)
	case SignLow:
		return 1 / math.Abs(p.PosW.Z+1e-9)
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
