// Package sense is what the craft's sensors say of it: gyro, accelerometer,
// range finder, cell voltage, rotor speeds where the craft reports them, and
// poses from outside for a craft that flies by a laboratory's tracking system.
// All are made here from the truth, with the faults put in on purpose. The
// craft's own camera is package sight's.
//
// It stands apart because it is the only place where the truth turns into what
// the craft can know. Each tick of Read goes:
//
//  1. rates and specific force, lagged, biased, noisy, limited (inertial.go, white.go)
//  2. every 20 ticks the range along the body's down           (ranger.go)
//     and the cell voltage                                     (read.go)
//  3. every 40 ticks a pose from outside, which comes later   (tracker.go)
//
// All noise is a function of seed, stream and tick; State holds only what wanders
// or waits.
package sense

import "lapwing/dynamics/kernel"

// Reading is what the sensors gave in one tick.
type Reading struct {
	GyroB  kernel.Vec3 // rad/s, body axes, every tick
	AccelB kernel.Vec3 // m/s², specific force, body axes, every tick

	RangeNew bool    // a range reading arrived in this tick
	RangeOK  bool    // and it met the floor or a box within reach
	Range    float64 // m, along the body's down

	CellVolts  float64            // V for each cell, as measured
	HasSpeeds  bool               // the craft reports rotor speeds
	RotorSpeed [MaxRotors]float64 // rad/s

	Fix Fix
}

// MaxRotors is the craft's bound, repeated to keep the reading a plain value.
const MaxRotors = 8

// Fix is a pose from outside. Exposed is true in the tick in which it was
// taken; New in the tick, Latency later, in which its pose arrives.
type Fix struct {
	Exposed bool
	New     bool
	PosW    kernel.Vec3 // m
	QWB     kernel.Quat
}
