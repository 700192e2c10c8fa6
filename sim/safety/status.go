// Package safety is the craft's own watchman between link and law: it decides
// whether the motors may turn, which response type is in force, and what
// happens when the link or the battery goes.
package safety

import "lapwing/sim/hands"

// Status is what the watchman has decided for this tick.
type Status struct {
	MotorsOn bool           // the law may turn the motors
	Armed    bool           // armed, whether or not cut off
	CutOff   bool           // motor cut-off in force (as heard, or latched)
	Response hands.Response // the response type in force (actual)
	Refused  Refusal        // why arming was last refused
	Denied   Denial         // why the response type asked for is not in force

	Link    Link  // what the craft makes of the C2 link
	LinkAge int64 // ticks since the last frame was heard
	Battery Battery
	Landed  bool // standing on the floor with the throttle lowest, as the craft sees it
	Landing bool // descending by itself, or by throttle held lowest in position-hold
}

// Refusal says which arming check refused.
type Refusal uint8

// The arming checks, in the order in which they are asked.
const (
	RefusedNot      Refusal = iota
	RefusedCutOff           // motor cut-off is engaged
	RefusedThrottle         // throttle is not lowest
	RefusedResponse         // response type is not rate or attitude
	RefusedEstimate         // the camera disagrees
	RefusedBattery          // cell voltage is below the caution limit
	RefusedTilt             // tilt above 10 degrees
	RefusedLink             // no fresh frames
)

// String returns the word for r.
func (r Refusal) String() string {
	return [...]string{"", "cut-off", "throttle", "response type", "estimate", "battery", "tilt", "link"}[min(r, RefusedLink)]
}

// Denial says why a response type was not engaged.
type Denial uint8

// The reasons.
const (
	DeniedNot      Denial = iota
	DeniedEstimate        // the camera disagrees, or there is no position
	DeniedHeight          // no healthy height source
	DeniedPath            // no path is stored, or the craft does not hold a position yet
)

// String returns the word for d.
func (d Denial) String() string {
	return [...]string{"", "estimate", "height", "path"}[min(d, DeniedPath)]
}

// Link is what the craft makes of the C2 link.
type Link uint8

// The states of the link.
const (
	LinkGood  Link = iota // frames are fresh
	LinkStale             // the last frame is held
	LinkLost              // the lost-link action is under way
)

// String returns the word for l.
func (l Link) String() string { return [...]string{"good", "stale", "lost"}[min(l, LinkLost)] }

// Battery is the pack's state for the operator.
type Battery uint8

// The states of the pack.
const (
	BatteryGood Battery = iota
	BatteryCaution
	BatteryCritical
)

// String returns the word for b.
func (b Battery) String() string {
	return [...]string{"good", "caution", "critical"}[min(b, BatteryCritical)]
}

// Action is what the craft does by itself.
type Action uint8

// The lost-link and low-battery actions.
const (
	ActionNone              Action = iota // carry on; for low battery only
	ActionMotorStop                       // motors off
	ActionControlledLanding               // level, down at a steady rate, motors off on the floor
	ActionHoldThenLand                    // hold the place for a time, then controlled landing
)

// String returns the word for a.
func (a Action) String() string {
	return [...]string{"none", "motor-stop", "controlled-landing", "hold-then-land"}[min(a, ActionHoldThenLand)]
}
