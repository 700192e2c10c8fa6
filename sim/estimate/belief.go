// Package estimate is what the craft believes of itself: an error-state Kalman
// filter over inertial sensors, range and the camera's late pose fixes.
//
// It stands apart from the sensors, whose truth it must not see, and from the
// law, which reads nothing but Belief. One tick of readings goes through it so:
//
//  1. dead reckoning moves position, velocity and attitude   (strapdown.go)
//  2. at most 20 ticks later the covariance follows           (predict.go, block.go)
//  3. a pose that arrives is gated and taken in through the
//     clone of its exposure                                  (fix.go, update.go)
//  4. a range gives the height above the surface below       (height.go)
//  5. an exposure keeps a clone of the pose                  (clone.go)
//  6. the word on the camera is looked at                    (health.go)
//
// Predict, Expose, Drop and Update work on a covariance and know nothing of
// where their numbers come from, so another camera can use them. Rest on the
// ground is not told from a steady hover: the sensors here cannot.
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
	NIS      float64 // normalised innovation squared of the last fix, before gating; mean 6 when consistent
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
