// Package devices turns what a game controller, a transmitter or the keyboard
// does into hands.
//
// It stands apart because it knows no window and no driver: a device is a
// Reading, a key is an event, so all of it is tested without either. The way of
// the data:
//
//  1. a Reading comes in at every poll, 250 times a second or more   (Mapper.Poll)
//  2. its axes become stick positions by their calibration          (travel.go)
//  3. the stick layout says which stick does what                   (layout.go)
//  4. dead-band and expo shape it                                   (travel.go)
//  5. buttons and axes become switches; a press shorter than the
//     time to the next look is kept until then                      (latch.go, switch.go)
//  6. every 20 ms the hands are taken                               (Mapper.Act)
//
// What a device is like stands in its Profile, how a person likes to fly in a
// Taste. Both are plain values; package settings keeps them in files.
package devices

import "time"

// LeastRate is how often a device should be read, in Hz: a person's quickest
// flick of a switch takes longer than two readings.
const LeastRate = 250

// Reading is a device as it stood at one poll.
type Reading struct {
	GUID    string        // stands for make and model
	Name    string        // as the driver says
	Gamepad bool          // axes and buttons are in the standard order (profile.go)
	Axes    []float32     // −1 … 1, the driver's order and signs
	Buttons []bool        // down or not, the driver's order
	At      time.Duration // when it was read
}

// axis returns axis i, 0 where the device has none.
func (r *Reading) axis(i int) float64 {
	if i < 0 || i >= len(r.Axes) {
		return 0
	}
	return float64(r.Axes[i])
}

// button returns whether button i is down.
func (r *Reading) button(i int) bool { return i >= 0 && i < len(r.Buttons) && r.Buttons[i] }

// Flyable tells whether a device has the four axes that flying needs.
func (r *Reading) Flyable() bool { return len(r.Axes) >= int(Places) }
