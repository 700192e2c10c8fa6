package safety

// Phase is where the motors' machine stands.
type Phase uint8

// The phases. Only in Armed may the motors turn.
const (
	Barred   Phase = iota // disarmed; arming must first be seen not asked for, with throttle lowest
	Disarmed              // disarmed and ready to be armed
	Armed                 // armed
	Masked                // armed, motors held off by a masking cut-off
	Latched               // disarmed by a latching cut-off; throttle lowest and disarm come first
	phaseCount
)

// String returns the word for p.
func (p Phase) String() string {
	return [...]string{"barred", "disarmed", "armed", "masked", "latched", "unknown"}[min(p, phaseCount)]
}

// Deed is what the craft does by itself.
type Deed uint8

// The deeds.
const (
	Obeying    Deed = iota // what the pilot commands
	Holding                // holds the place, then descends
	Descending             // goes down where it is
	deedCount
)

// String returns the word for d.
func (d Deed) String() string {
	return [...]string{"obeying", "holding", "descending", "unknown"}[min(d, deedCount)]
}

// Facts is what is so in this tick; the tables below ask for nothing else.
type Facts uint32

// The facts.
const (
	CutOff  Facts = 1 << iota // motor cut-off is heard engaged
	Latches                   // this craft's cut-off latches
	AsksArm                   // the pilot asks to arm
	Passes                    // every arming check passes
	AsksOff                   // the pilot asks to disarm
	Rests                     // a fresh frame in which arming is not asked for
	Lowest                    // throttle lowest
	Stops                     // the craft stops its motors by itself
	Powered                   // the electronics run

	Flies     // armed, whether or not masked
	WantsHold // the action due is hold-then-land
	WantsLand // the action due is controlled-landing
	CanHold   // the camera does not disagree and there is a height source
	Over      // it has held for long enough
	Taken     // a fresh frame in which the selector has moved since the deed began

	Unbidden    // a fault arms it without being asked
	CutOffFails // a fault takes the cut-off's effect away

	factCount = iota
)

// rule leads to a next state when all facts in when hold and none in unless.
type rule[S Phase | Deed] struct {
	when, unless Facts
	to           S
}

// motors is the machine that lets motors turn. The first rule that fits is
// taken; where none fits the phase stays. One step is taken each tick.
var motors = [phaseCount][]rule[Phase]{
	Barred: {
		{when: Powered | Unbidden, unless: CutOff, to: Armed},
		{when: Powered | Rests | Lowest, to: Disarmed},
	},
	Disarmed: {
		{unless: Powered, to: Barred},
		{when: Unbidden, unless: CutOff, to: Armed},
		{when: AsksArm | Passes, to: Armed},
		{when: AsksArm, to: Barred}, // refused: it does not arm later, on its own, when a check passes
	},
	Armed: {
		{unless: Powered, to: Barred}, // a restart of the electronics restarts no motor
		{when: CutOff | Latches, unless: CutOffFails, to: Latched},
		{when: AsksOff, unless: Unbidden, to: Disarmed},
		{when: Stops, unless: Unbidden, to: Barred},
		{when: CutOff, unless: CutOffFails, to: Masked},
	},
	Masked: {
		{unless: Powered, to: Barred},
		{when: AsksOff, to: Disarmed},
		{when: Stops, to: Barred},
		{unless: CutOff, to: Armed}, // the hazard: motors start at the throttle as it stands
	},
	Latched: {
		{when: Powered | AsksOff | Lowest, to: Disarmed},
	},
}

// deeds is the machine of what the craft does by itself. Once begun, a deed goes
// on when the link returns, until the pilot moves the selector: sticks may stand
// anywhere after seconds without effect, and a throttle put to lowest meanwhile
// would drop a craft that obeys it at once. Cut-off and disarm act always.
var deeds = [deedCount][]rule[Deed]{
	Obeying: {
		{when: Flies | WantsHold | CanHold, to: Holding},
		{when: Flies | WantsHold, to: Descending},
		{when: Flies | WantsLand, to: Descending},
	},
	Holding: {
		{unless: Flies, to: Obeying},
		{when: Taken, to: Obeying},
		{when: Over, to: Descending},
		{unless: CanHold, to: Descending},
	},
	Descending: {
		{unless: Flies, to: Obeying},
		{when: Taken, to: Obeying},
	},
}

// step returns the state after now, by the first rule that fits f.
func step[S Phase | Deed](rules []rule[S], now S, f Facts) S {
	for i := range rules {
		if r := &rules[i]; f&r.when == r.when && f&r.unless == 0 {
			return r.to
		}
	}
	return now
}

// NextPhase is one step of the motors' machine.
func NextPhase(p Phase, f Facts) Phase { return step(motors[p], p, f) }

// NextDeed is one step of the machine of what the craft does by itself.
func NextDeed(d Deed, f Facts) Deed { return step(deeds[d], d, f) }
