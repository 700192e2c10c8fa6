// Package hands is what a person does at the pilot's place: where the sticks
// and switches of the transmitter stand, what is called aloud, which step of a
// procedure is taken. Script, modelled pilot, game controller and recording all
// end in this one value, and a recording keeps nothing else of the person.
//
// It stands apart because every stage of the tick speaks of it and none owns it.
package hands

// Full is the full travel of a stick: sticks stand in thousandths, so that a
// recording holds exactly what was flown.
const Full = 1000

// Hands is the state of everything a person works, at one percept (every 20 ms).
type Hands struct {
	Throttle int16 // 0 lowest … Full highest
	Roll     int16 // −Full left … Full right
	Pitch    int16 // −Full back … Full forward
	Yaw      int16 // −Full left … Full right

	Response Response // what the selector asks for
	Armed    bool     // the arming switch, where the craft has one
	CutOff   bool     // motor cut-off engaged

	Call Call  // called aloud now, else CallNone
	Step Step  // step taken now, else StepNone
	Item uint8 // what the step is about: a place of the inspection list, a move of the carry
}

// Rest is hands off: throttle lowest, sticks centred, attitude selected,
// cut-off engaged.
func Rest() Hands { return Hands{Response: Attitude, CutOff: true} }

// Stick rounds x (−1 … 1, or 0 … 1 for the throttle) to a stick position.
func Stick(x float64) int16 {
	switch {
	case x >= 1:
		return Full
	case x <= -1:
		return -Full
	case x < 0:
		return int16(float64(x*Full) - 0.5)
	}
	return int16(float64(x*Full) + 0.5)
}

// Share is the inverse of Stick: −1 … 1.
func Share(stick int16) float64 { return float64(stick) / Full }

// Response is a response type: what the sticks command. The words are those of
// rotorcraft handling qualities (ADS-33E-PRF, 2000, section 3.2, from memory)
// or plain English.
type Response uint8

// The response types, from the least help to the most.
const (
	Rate         Response = iota // sticks set body rates; throttle is thrust
	Attitude                     // sticks set tilt, centred is level; throttle is thrust
	HeightHold                   // as Attitude; throttle sets climb rate
	PositionHold                 // sticks set velocity, centred holds the place
	Path                         // follows the stored path
	responseCount
)

var responseWords = [responseCount]string{"rate", "attitude", "height-hold", "position-hold", "path"}

// String returns the word for r.
func (r Response) String() string { return word(int(r), responseWords[:]) }

// ParseResponse returns the response type called w.
func ParseResponse(w string) (Response, bool) {
	i := index(w, responseWords[:])
	return Response(i), i >= 0
}

// ResponseWords lists the response types' words.
func ResponseWords() []string { return responseWords[:] }

// PositionBased tells whether r steers by the position estimate.
func (r Response) PositionBased() bool { return r == PositionHold || r == Path }

// HoldsHeight tells whether the throttle stick sets climb rate under r.
func (r Response) HoldsHeight() bool { return r >= HeightHold }

// Call is something said aloud.
type Call uint8

// The calls.
const (
	CallNone Call = iota
	CallAreaClear
	CallLinkLost   // "link lost, stand clear"
	CallMotorsSafe // "motors safe"
	CallPerson     // "person in the area"
	CallTakingOver // "taking over"
	CallStandClear // "stand clear"
	CallStop       // the stop word: ends a drill at once, without penalty
	CallRealWorld  // "real world, stop": a real emergency
	CallGo         // the verdict of an inspection or a check: fit to fly
	CallNoGo       // the verdict: not fit to fly
	CallStopClass  // "stop, all craft": every transmitter to cut-off
	CallClearRoom  // "clear the room": everybody out

	CallRefusedCutOff   // "arming refused, cut-off": which check refused, in the order in which they are asked
	CallRefusedThrottle // "arming refused, throttle"
	CallRefusedResponse
	CallRefusedEstimate
	CallRefusedBattery
	CallRefusedTilt
	CallRefusedLink
	callCount
)

var callWords = [callCount]string{"", "area-clear", "link-lost-stand-clear", "motors-safe", "person",
	"taking-over", "stand-clear", "stop", "real-world-stop", "go", "no-go", "stop-all-craft", "clear-the-room",
	"refused-cut-off", "refused-throttle", "refused-response-type", "refused-estimate", "refused-battery", "refused-tilt", "refused-link"}

// String returns the word for c.
func (c Call) String() string { return word(int(c), callWords[:]) }

// Refused tells whether c says which arming check refused.
func (c Call) Refused() bool { return c >= CallRefusedCutOff && c <= CallRefusedLink }

// ParseCall returns the call named w.
func ParseCall(w string) (Call, bool) {
	i := index(w, callWords[1:])
	return Call(i + 1), i >= 0
}

// CallWords lists the calls' words.
func CallWords() []string { return callWords[1:] }

// Step is a step of a procedure at or near the craft.
type Step uint8

// The steps.
const (
	StepNone Step = iota
	StepBatteryIn
	StepBatteryOut
	StepApproach
	StepPickUp
	StepTransmitterOff
	StepTransmitterOn
	StepLook      // look closely at Item of the inspection list
	StepTickGood  // tick Item as sound
	StepTickBad   // tick Item as not sound
	StepCarry     // with the craft in the hand: make move Item of the carry
	StepSetDown   // set the craft down
	StepCoverLens // cover the camera's lens with a hand
	StepUncover   // uncover it
	StepTouch     // touch a hot, smoking or swollen pack
	stepCount
)

var stepWords = [stepCount]string{"", "battery-in", "battery-out", "approach", "pick-up",
	"transmitter-off", "transmitter-on", "look", "tick-good", "tick-bad", "carry", "set-down", "cover-lens",
	"uncover-lens", "touch-pack"}

// String returns the word for s.
func (s Step) String() string { return word(int(s), stepWords[:]) }

// ParseStep returns the step named w.
func ParseStep(w string) (Step, bool) {
	i := index(w, stepWords[1:])
	return Step(i + 1), i >= 0
}

// StepWords lists the steps' words.
func StepWords() []string { return stepWords[1:] }

func word(i int, words []string) string {
	if i < 0 || i >= len(words) {
		return "unknown"
	}
	return words[i]
}

func index(w string, words []string) int {
	for i, candidate := range words {
		if candidate == w {
			return i
		}
	}
	return -1
}
