// Package path is the stored path a craft can follow: where it should be, how
// fast and how hard it should move there, at each tick.
//
// It stands apart because the law follows a setpoint and does not care how the
// path was drawn. The way of the data:
//
//  1. Params says the shape and its limits;
//  2. each engagement starts anew: a lead-in from where the craft is to the
//     path's beginning, then leg after leg (follow.go);
//  3. a leg goes from rest to rest by the law of time with least snap (snap.go);
//     a figure-eight is one leg along a curve (eight.go).
package path

import "lapwing/dynamics/kernel"

// Setpoint is where the path wants the craft at one tick.
type Setpoint struct {
	PosW    kernel.Vec3 // m, room axes
	VelW    kernel.Vec3 // m/s, room axes
	AccW    kernel.Vec3 // m/s², room axes, without gravity
	Yaw     float64     // rad, heading of body x, −π … π
	YawRate float64     // rad/s
	Active  bool        // the path is engaged and the setpoint may be followed, at its end as well
	Done    bool        // the path's end has been reached; the setpoint rests there
}
