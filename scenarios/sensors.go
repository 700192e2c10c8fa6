package scenarios

import "lapwing/sim/sense"

// Words for what a craft knows its place by.
const (
	byLandmarks = "landmarks"
	byFixes     = "external-fixes"
)

// sensorsOf returns a small craft's sensors with what the craft file says in
// their place.
func sensorsOf(v *value) sense.Params {
	p := sense.DefaultParams()
	s := v.at("sensors")
	take := func(key string, to *float64) {
		if s.has(key) {
			*to = s.num(key)
		}
	}
	take("gyro_noise_rad_sqrt_s", &p.Gyro.Noise)
	take("gyro_walk_rad_s_sqrt_s", &p.Gyro.Walk)
	take("gyro_start_deg_s", &p.Gyro.Start)
	take("gyro_lag_s", &p.Gyro.Lag)
	take("accel_noise_m_s_sqrt_s", &p.Accel.Noise)
	take("accel_walk_m_s2_sqrt_s", &p.Accel.Walk)
	take("accel_start_m_s2", &p.Accel.Start)
	take("accel_lag_s", &p.Accel.Lag)
	take("range_min_m", &p.RangeMin)
	take("range_max_m", &p.RangeMax)
	take("range_sigma_m", &p.RangeSigma)
	take("fix_sigma_m", &p.FixPosSigma)
	take("fix_angle_sigma_deg", &p.FixAngSigma)
	take("fix_wander_m_sqrt_s", &p.FixPosWalk)
	take("fix_yaw_wander_deg_sqrt_s", &p.FixYawWalk)
	take("volts_sigma_v", &p.VoltsSigma)
	p.Fixes = s.str("navigates_by") == byFixes
	if s.has("camera_latency_s") {
		p.LatencyTicks = s.ticks("camera_latency_s")
	}
	if s.has("rotor_speeds") {
		p.Speeds = s.is("rotor_speeds")
	}
	return p
}
