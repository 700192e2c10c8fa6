package control

import (
	"errors"
	"fmt"
)

// Choice is a number that a law file may give. The zero value is not given.
type Choice struct {
	Value float64
	Given bool
}

// Chosen returns a given Choice.
func Chosen(x float64) Choice { return Choice{x, true} }

// or returns the choice, or x where none is given.
func (c Choice) or(x float64) float64 {
	if c.Given {
		return c.Value
	}
	return x
}

// Overrides is what a law file may say in place of what Design would choose.
// The zero value leaves everything to Design.
type Overrides struct {
	RateBandwidth, YawRateBandwidth       Choice // rad/s
	RateIntegralTime, YawRateIntegralTime Choice // s, 0 means no integral action

	AttitudeBandwidth, AttitudeDamping Choice // rad/s; ratio
	YawBandwidth, YawDamping           Choice // rad/s; ratio

	VelocityBandwidth, VelocityIntegralTime Choice // rad/s; s
	ClimbBandwidth, ClimbIntegralTime       Choice // rad/s; s
	PositionBandwidth, PositionDamping      Choice // rad/s; ratio
	HeightBandwidth, HeightDamping          Choice // rad/s; ratio

	TiltLimit, TiltRateLimit, BodyRateLimit, YawRateLimit Choice // rad; rad/s
	SpeedLimit, ClimbLimit, DescentLimit, LandingSpeed    Choice // m/s
	AccelerationLimit, ClimbAccelerationLimit             Choice // m/s²

	Expo, YawExpo, DeadBand, ThrottleDeadBand Choice // 0 … 1
	ThrottleCurve                             Choice // 0 … 1

	ThrottleKind  ThrottleKind // how the throttle stick behaves; the zero value holds its place
	ThrottleMap   ThrottleMap  // what it does in direct thrust; the zero value is direct
	ThrottleGiven bool         // the two above are given
}

// Key is one number of a law file.
type Key struct {
	Name      string                   // as written in the file, with its unit
	Low, High float64                  // the allowed range, both included
	Of        func(*Overrides) *Choice // where it is kept
}

// Keys lists the numbers that a law file may give.
func Keys() []Key { return keys }

var keys = []Key{
	{"rate_bandwidth_rad_s", 0.5, 200, func(o *Overrides) *Choice { return &o.RateBandwidth }},
	{"rate_integral_time_s", 0, 100, func(o *Overrides) *Choice { return &o.RateIntegralTime }},
	{"yaw_rate_bandwidth_rad_s", 0.1, 100, func(o *Overrides) *Choice { return &o.YawRateBandwidth }},
	{"yaw_rate_integral_time_s", 0, 100, func(o *Overrides) *Choice { return &o.YawRateIntegralTime }},
	{"attitude_bandwidth_rad_s", 0.2, 100, func(o *Overrides) *Choice { return &o.AttitudeBandwidth }},
	{"attitude_damping", 0.2, 3, func(o *Overrides) *Choice { return &o.AttitudeDamping }},
	{"yaw_bandwidth_rad_s", 0.05, 50, func(o *Overrides) *Choice { return &o.YawBandwidth }},
	{"yaw_damping", 0.2, 3, func(o *Overrides) *Choice { return &o.YawDamping }},
	{"velocity_bandwidth_rad_s", 0.05, 30, func(o *Overrides) *Choice { return &o.VelocityBandwidth }},
	{"velocity_integral_time_s", 0, 100, func(o *Overrides) *Choice { return &o.VelocityIntegralTime }},
	{"climb_bandwidth_rad_s", 0.05, 30, func(o *Overrides) *Choice { return &o.ClimbBandwidth }},
	{"climb_integral_time_s", 0, 100, func(o *Overrides) *Choice { return &o.ClimbIntegralTime }},
	{"position_bandwidth_rad_s", 0.02, 15, func(o *Overrides) *Choice { return &o.PositionBandwidth }},
	{"position_damping", 0.2, 3, func(o *Overrides) *Choice { return &o.PositionDamping }},
	{"height_bandwidth_rad_s", 0.02, 15, func(o *Overrides) *Choice { return &o.HeightBandwidth }},
	{"height_damping", 0.2, 3, func(o *Overrides) *Choice { return &o.HeightDamping }},
	{"tilt_limit_rad", 0.05, 1.2, func(o *Overrides) *Choice { return &o.TiltLimit }},
	{"tilt_rate_limit_rad_s", 0.1, 20, func(o *Overrides) *Choice { return &o.TiltRateLimit }},
	{"body_rate_limit_rad_s", 0.1, 20, func(o *Overrides) *Choice { return &o.BodyRateLimit }},
	{"yaw_rate_limit_rad_s", 0.05, 10, func(o *Overrides) *Choice { return &o.YawRateLimit }},
	{"speed_limit_m_s", 0.1, 15, func(o *Overrides) *Choice { return &o.SpeedLimit }},
	{"climb_limit_m_s", 0.1, 8, func(o *Overrides) *Choice { return &o.ClimbLimit }},
	{"descent_limit_m_s", 0.1, 5, func(o *Overrides) *Choice { return &o.DescentLimit }},
	{"landing_speed_m_s", 0.05, 1.5, func(o *Overrides) *Choice { return &o.LandingSpeed }},
	{"acceleration_limit_m_s2", 0.1, 15, func(o *Overrides) *Choice { return &o.AccelerationLimit }},
	{"climb_acceleration_limit_m_s2", 0.1, 8, func(o *Overrides) *Choice { return &o.ClimbAccelerationLimit }},
	{"expo", 0, 1, func(o *Overrides) *Choice { return &o.Expo }},
	{"yaw_expo", 0, 1, func(o *Overrides) *Choice { return &o.YawExpo }},
	{"dead_band", 0, 0.5, func(o *Overrides) *Choice { return &o.DeadBand }},
	{"throttle_dead_band", 0, 0.5, func(o *Overrides) *Choice { return &o.ThrottleDeadBand }},
	{"throttle_curve", 0, 1, func(o *Overrides) *Choice { return &o.ThrottleCurve }},
}

// Validate reports every given number that is out of its range. Giving both a
// bandwidth and a damping of one loop is a contradiction and reported too.
func (o *Overrides) Validate() error {
	var errs []error
	for _, k := range keys {
		if c := k.Of(o); c.Given && !(c.Value >= k.Low && c.Value <= k.High) {
			errs = append(errs, fmt.Errorf("%s: %g is not within %g to %g", k.Name, c.Value, k.Low, k.High))
		}
	}
	for _, pair := range []struct {
		loop string
		a, b Choice
	}{
		{"attitude", o.AttitudeBandwidth, o.AttitudeDamping},
		{"yaw", o.YawBandwidth, o.YawDamping},
		{"position", o.PositionBandwidth, o.PositionDamping},
		{"height", o.HeightBandwidth, o.HeightDamping},
	} {
		if pair.a.Given && pair.b.Given {
			errs = append(errs, fmt.Errorf("%s: give the bandwidth or the damping, not both", pair.loop))
		}
	}
	return errors.Join(errs...)
}
