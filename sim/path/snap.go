package path

import "math"

// A craft's thrust is set by its acceleration and its body rates by the
// acceleration's change, so the smoothest way for a multirotor from rest to rest
// has least snap, the fourth derivative: the polynomial of degree 7 below
// (D. Mellinger and V. Kumar, "Minimum snap trajectory generation and control
// for quadrotors", ICRA 2011; boundary conditions of rest to third order).
const (
	peakRate  = 2.1875            // greatest slope of snap, at u = ½
	peakAccel = 7.513188404399293 // greatest second derivative: 84√5/25, at u = ½ − √5/10
)

// snap returns the share of the way at the share u (0 … 1) of the time,
// x = 35u⁴ − 84u⁵ + 70u⁶ − 20u⁷, with its first two derivatives by u.
func snap(u float64) (x, rate, accel float64) {
	v := 1 - u
	uv := float64(u * v)
	uv2 := float64(uv * uv)
	u2 := float64(u * u)
	accel = float64(420 * uv2 * (v - u))
	rate = float64(140 * uv2 * uv)
	x = float64(float64(u2*u2) * (35 + float64(u*(float64(u*(70-float64(20*u)))-84))))
	return x, rate, accel
}

// snapTime returns the least time (s) in which a way of length l goes from rest
// to rest below the given speed and acceleration.
func snapTime(l, speed, accel float64) float64 {
	return max(peakRate*l/speed, math.Sqrt(peakAccel*l/accel))
}
