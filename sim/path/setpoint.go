// Package path is the stored path a craft can follow: where it should be, how
// fast and how hard it should move there, at each tick.
//
// It stands apart because the law follows a setpoint and does not care how the
// path was drawn.
package path

import "lapwing/dynamics/kernel"

// Setpoint is where the path wants the craft at one tick.
type Setpoint struct {
	PosW    kernel.Vec3 // m, room axes
	VelW    kernel.Vec3 // m/s, room axes
	AccW    kernel.Vec3 // m/s², room axes, without gravity
	Yaw     float64     // rad, heading of body x, −π … π
	YawRate float64     // rad/s
	Active  bool        // the path is running; the setpoint may be followed
	Done    bool        // the path's end has been reached
}
