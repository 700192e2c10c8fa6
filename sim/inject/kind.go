package inject

// Kind is what goes wrong.
type Kind uint8

// The kinds, with what Severity means for each. Where none is named it is there
// (1) or not (0).
const (
	None Kind = iota

	// What the craft believes.
	EstimateDrift   // what the camera sees moves off, and the estimate with it: m/s
	EstimateJump    // a wrong match shifts the estimate by a fixed step: m
	EstimateRunaway // what the camera sees moves off ever faster: m/s²
	HeadingError    // the camera has turned in its mount: rad, + is left
	VisionLost      // the camera sees nothing, see How
	HeightStep      // the height sensor is off by a fixed step: m, + reads too high
	HeightLost      // the height sensor gives nothing
	InertialFault   // the gyroscope reads a turning that is not there: rad/s

	// The on-board computer.
	PathAstray   // it steers off, wherever it follows or holds: m/s
	ComputerDead // it has stopped: no picture, no new setpoint, no telemetry

	// The C2 link and what answers it.
	LostLink      // no frame sent is heard
	LinkStutter   // frames are lost for a quarter of a second at a time: share of the time
	ActionFails   // the craft does not notice that the link is lost
	TelemetryLost // nothing comes back from the craft
	OtherCraft    // another craft answers the transmitter
	StuckAxis     // one stick is heard where it does not stand, see Axis and At

	// The craft's watchman.
	HoldDenied    // response types that hold a place are not given
	LandingMissed // standing is not noticed
	ArmsItself    // it arms without being asked
	CutOffFails   // the motor cut-off has no effect

	// Motors, pack and air.
	MotorFailure  // a motor reaches less speed: share lost, 1 stops it
	ThrustLoss    // a propeller gives less thrust: share lost, above 1 it pushes down
	RotorsSwapped // two motors get each other's commands
	VoltageSag    // each cell gives less: V
	PowerLoss     // the pack gives no current
	BatteryShift  // the pack has slipped, the centre of mass with it: m
	BatteryFire   // smoke comes from the pack
	Gust          // wind: m/s at its full strength

	// What only people meet.
	PersonEnters   // person 0 of the room walks: m/s
	HoverMarkWrong // the hover mark is off: share, + is too high
	NoseMistaken   // who flies takes the tail for the nose
	VideoFrozen    // the picture that is flown by stands still

	kindCount
)

// trait is what an inject of a kind has besides its severity.
type trait uint8

const (
	signed   trait = 1 << iota // severity may be negative
	switches                   // it is there or not, with nothing between
	onRotor                    // it strikes one rotor, or all
	inRoom                     // it has a direction in the room
	inBody                     // it has a direction in the craft's body
)

// kinds holds word, unit of severity, largest sensible severity and traits. The
// limits are judgements: beyond them the craft's model or the room's size says
// nothing any more.
var kinds = [kindCount]struct {
	word   string
	unit   string
	max    float64
	traits trait
}{
	None: {"none", "", 0, 0},

	EstimateDrift:   {"estimate-drift", "m/s", 10, inRoom},
	EstimateJump:    {"estimate-jump", "m", 20, inRoom},
	EstimateRunaway: {"estimate-runaway", "m/s²", 20, inRoom},
	HeadingError:    {"heading-error", "rad", 3.2, signed},
	VisionLost:      {"vision-lost", "", 1, switches},
	HeightStep:      {"height-step", "m", 5, signed},
	HeightLost:      {"height-lost", "", 1, switches},
	InertialFault:   {"inertial-fault", "rad/s", 9, inBody},

	PathAstray:   {"path-astray", "m/s", 5, inRoom},
	ComputerDead: {"computer-dead", "", 1, switches},

	LostLink:      {"lost-link", "", 1, switches},
	LinkStutter:   {"link-stutter", "share", 1, 0},
	ActionFails:   {"lost-link-action-fails", "", 1, switches},
	TelemetryLost: {"telemetry-lost", "", 1, switches},
	OtherCraft:    {"other-craft", "", 1, switches},
	StuckAxis:     {"stuck-axis", "", 1, switches},

	HoldDenied:    {"response-type-denied", "", 1, switches},
	LandingMissed: {"landing-missed", "", 1, switches},
	ArmsItself:    {"arms-itself", "", 1, switches},
	CutOffFails:   {"cut-off-fails", "", 1, switches},

	MotorFailure:  {"motor-failure", "share", 1, onRotor},
	ThrustLoss:    {"thrust-loss", "share", 1.5, onRotor},
	RotorsSwapped: {"rotors-swapped", "", 1, switches},
	VoltageSag:    {"voltage-sag", "V for each cell", 4.2, 0},
	PowerLoss:     {"power-loss", "", 1, switches},
	BatteryShift:  {"battery-shift", "m", 0.3, inBody},
	BatteryFire:   {"battery-fire", "", 1, switches},
	Gust:          {"gust", "m/s", 20, inRoom},

	PersonEnters:   {"person-enters", "m/s", 3, inRoom},
	HoverMarkWrong: {"hover-mark-wrong", "share", 0.9, signed},
	NoseMistaken:   {"nose-mistaken", "", 1, switches},
	VideoFrozen:    {"video-frozen", "", 1, switches},
}

var kindWords = func() (words [kindCount]string) {
	for i := range kinds {
		words[i] = kinds[i].word
	}
	return words
}()

// String returns the word for k.
func (k Kind) String() string { return wordOf(int(k), kindWords[:]) }

// ParseKind returns the kind called w; none cannot be asked for.
func ParseKind(w string) (Kind, bool) { i := indexOf(w, kindWords[1:]); return Kind(i + 1), i >= 0 }

// KindWords lists the kinds' words.
func KindWords() []string { return kindWords[1:] }

func (k Kind) has(t trait) bool { return k < kindCount && kinds[k].traits&t != 0 }

// Unit is the unit of severity, "" where it is 0 or 1.
func (k Kind) Unit() string { return kinds[min(k, kindCount-1)].unit }

// OnRotor tells whether Rotor matters, and may be AllRotors.
func (k Kind) OnRotor() bool { return k.has(onRotor) }

// Directed tells whether Direction matters.
func (k Kind) Directed() bool { return k.has(inRoom | inBody) }

// InBody tells whether Direction is one in the craft's body.
func (k Kind) InBody() bool { return k.has(inBody) }

// Switches tells whether the inject is there or not, with nothing between.
func (k Kind) Switches() bool { return k.has(switches) }

// Stays tells whether the inject cannot end: a person who has walked in is not
// back at once.
func (k Kind) Stays() bool { return k == PersonEnters }

// How is the way in which the camera comes to see nothing.
type How uint8

// The ways.
const (
	Covered How = iota // something lies over the lens
	Dark               // the light goes, over the ramp
	howCount
)

var howWords = [howCount]string{"covered", "dark"}

// String returns the word for h.
func (h How) String() string { return wordOf(int(h), howWords[:]) }

// ParseHow returns the way called w.
func ParseHow(w string) (How, bool) { i := indexOf(w, howWords[:]); return How(i), i >= 0 }

// HowWords lists the ways' words.
func HowWords() []string { return howWords[:] }

// Axis is one of the four things that the sticks set.
type Axis uint8

// The axes.
const (
	AxisRoll Axis = iota + 1
	AxisPitch
	AxisYaw
	AxisThrottle
	axisEnd
)

var axisWords = [axisEnd]string{"none", "roll", "pitch", "yaw", "throttle"}

// String returns the word for a.
func (a Axis) String() string { return wordOf(int(a), axisWords[:]) }

// ParseAxis returns the axis called w.
func ParseAxis(w string) (Axis, bool) { i := indexOf(w, axisWords[1:]); return Axis(i + 1), i >= 0 }

// AxisWords lists the axes' words.
func AxisWords() []string { return axisWords[1:] }

func wordOf(i int, words []string) string {
	if i < 0 || i >= len(words) {
		return "unknown"
	}
	return words[i]
}

func indexOf(w string, words []string) int {
	for i, candidate := range words {
		if candidate == w {
			return i
		}
	}
	return -1
}
