// Package estimate is what the craft believes of itself: an error-state Kalman
// filter over inertial sensors, range and the camera's late pose fixes.
package estimate

import "lapwing/dynamics/kernel"

// Belief is the state estimate that laws, pilots' instruments and safety checks
// read.
type Belief struct {
	PosW   kernel.Vec3 // m
	VelW   kernel.Vec3 // m/s
	QWB    kernel.Quat // body → room
	OmegaB kernel.Vec3 // rad/s, gyro less its estimated bias
	AccelW kernel.Vec3 // m/s², without gravity, room axes

	Height   float64 // m above the floor, from range and filter
	HeightOK bool    // a height source is healthy

	Health   Health  // what the operator is told of the camera
	SinceFix int64   // ticks since the last accepted fix
	NIS      float64 // normalised innovation squared of the last fix, mean 6 when consistent
	SigmaPos float64 // m, one standard deviation of horizontal position
}

// Health is the camera's word to the operator.
type Health uint8

// The words, from best to worst.
const (
	Agrees    Health = iota // the camera agrees
	Doubtful                // the camera is doubtful
	Disagrees               // the camera disagrees
)

// String returns the operator's word.
func (h Health) String() string {
	return [...]string{"agrees", "is doubtful", "disagrees"}[min(h, Disagrees)]
}
