// Package safety is the craft's own watchman between link and law: it decides
// whether the motors may turn, which response type is in force, and what
// happens when the link or the battery goes.
//
// It stands apart because craft differ here more than in flight, and because
// what must never happen is easier to show on a small machine. The way of the
// data, each tick (watch.go):
//
//  1. signs are watched for as long as they must last: standing, stick corners,
//     low voltage, frames that stay away (signs.go);
//  2. they become facts, yes or no, and two tables of rules lead on from facts:
//     whether motors may turn, and what the craft does by itself (table.go);
//  3. the response type asked for is given or denied (respond.go);
//  4. all of it is told in a Status, the one thing that others read.
package safety

import "lapwing/sim/hands"

// Status is what the watchman has decided for this tick.
type Status struct {
	MotorsOn bool           // the law may turn the motors
	Armed    bool           // armed, whether or not cut off
	CutOff   bool           // motor cut-off as heard, or latched; in force unless it fails
	Response hands.Response // the response type in force (actual)
	Refused  Refusal        // why arming was last refused
	Denied   Denial         // why the response type asked for is not in force

	Link    Link  // what the craft makes of the C2 link
	LinkAge int64 // ticks since the newest frame heard was sent
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
	RefusedLink             // frames were not fresh all through the last second
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
	DeniedUnsaid          // no reason is given
)

// String returns the word for d.
func (d Denial) String() string {
	return [...]string{"", "estimate", "height", "path", "no reason given"}[min(d, DeniedUnsaid)]
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
