package scenarios

import "lapwing/dynamics"

// Spin words, as seen from above.
const (
	clockwise     = "clockwise"
	anticlockwise = "anticlockwise"
)

// craftFormat describes a craft: what rigid body, rotors and battery are made
// of, what it senses, and what it does by itself.
func craftFormat() format {
	return format{kind: KindCraft, dir: "craft", rules: craftRules(), root: document(KindCraft,
		"A craft. Body axes: x forward, y left, z up, from the centre of gravity.",
		list("sources", 0, 16, sentence("", ""), "where the values come from"),
		number("mass", "kg", 0.01, 25, "whole craft with battery").need(),
		group("inertia", "about the centre of gravity, body axes",
			number("xx", "kg_m2", 1e-7, 10, "about x").need(),
			number("yy", "kg_m2", 1e-7, 10, "about y").need(),
			number("zz", "kg_m2", 1e-7, 10, "about z").need(),
			number("xy", "kg_m2", -10, 10, "tensor element").or(0.0),
			number("xz", "kg_m2", -10, 10, "tensor element").or(0.0),
			number("yz", "kg_m2", -10, 10, "tensor element").or(0.0)).need(),
		vector("drag_area", "m2", 0, 2, "drag coefficient times area of the frame along each body axis").need(),
		propellerField(),
		motorField(),
		list("rotors", 3, dynamics.MaxRotors, group("", "one rotor",
			reference("name", "its place, as front-left").need(),
			vector("position", "m", -1.5, 1.5, "hub").need(),
			word("spin", []string{clockwise, anticlockwise}, "as seen from above").need(),
			vector("axis", "", -1, 1, "direction of thrust, of length 1").or(dynamics.Vec3{Z: 1})),
			"the rotors; all carry the same propeller and motor").need(),
		list("feet", 3, dynamics.MaxSkids, group("", "one foot",
			vector("position", "m", -1.5, 1.5, "where it touches").need()), "the feet").need(),
		group("contact", "how feet and guards meet hard surfaces; springs left out are the stiffest that can be computed well",
			number("stiffness", "n_m", 10, 2e5, "each point"),
			number("damping", "n_s_m", 0, 500, "each point"),
			number("friction", "", 0, 2, "Coulomb coefficient").need()).need(),
		number("ground_body", "", 0, 5, "how much of the flow turned up by the ground lifts the frame").or(2.0),
		batteryField(),
		group("uncertainty", "one-sided shares by which the real craft may differ; bands of the time available come from them",
			number("mass", "share", 0, 0.3, "of the mass").need(),
			number("motor_lag", "share", 0, 0.9, "of the motor's lag").need(),
			number("drag", "share", 0, 0.9, "of the drag").need()).need(),
		sensorsField(),
		safetyField(),
	)}
}

func propellerField() field {
	return group("propeller", "measured coefficients: thrust = CT·ρ·n²·D⁴, power = CP·ρ·n³·D⁵, n in revolutions per second",
		number("diameter", "m", 0.02, 0.8, "of the disc").need(),
		list("static", 1, dynamics.MaxStatic, group("", "one row",
			number("speed", "rpm", 1, 60000, "rising from row to row").need(),
			number("ct", "", 0.01, 0.4, "thrust coefficient").need(),
			number("cp", "", 0.001, 0.4, "power coefficient").need()), "at rest in the air").need(),
		number("advance_speed", "rpm", 1, 60000, "at which the rows of advance were measured"),
		list("advance", 2, dynamics.MaxAdvance, group("", "one row",
			number("j", "", 0, 2, "advance ratio V/(n·D), rising from row to row").need(),
			number("ct", "", -0.4, 0.4, "thrust coefficient").need(),
			number("cp", "", -0.4, 0.4, "power coefficient").need()), "moving along the axis, at one speed; used relative to rest").need(),
	).need()
}

func motorField() field {
	return group("motor", "motor and speed controller of each rotor",
		number("speed_max", "rpm", 100, 60000, "at full duty and full cells").need(),
		number("lag", "s", 0.002, 0.5, "first-order lag of the speed").need(),
		number("delay", "s", 0, 0.015, "of the speed controller").need(),
		number("inertia", "kg_m2", 0, 0.01, "propeller and bell about the axis").need(),
		number("side_drag", "n_s2_m", 0, 1e-3, "in-plane drag, linear in air speed and rotor speed").need(),
		number("guard_radius", "m", 0, 0.6, "of the guard ring; left out: no guard").or(0.0),
		number("break_speed", "m_s", 0.1, 50, "closing speed at which a touching blade breaks").need(),
		number("efficiency", "", 0.2, 1, "shaft power per electrical power").need(),
	).need()
}

func batteryField() field {
	return group("battery", "equal lithium-polymer cells in series",
		integer("cells", 1, 14, "in series").need(),
		number("capacity", "ah", 0.05, 50, "of the pack").need(),
		number("resistance", "ohm", 1e-4, 0.5, "each cell, ohmic").need(),
		number("slow_resistance", "ohm", 0, 0.5, "each cell, of the slow pair").need(),
		number("slow_time", "s", 0.1, 600, "time constant of the slow pair").need(),
		number("idle", "w", 0, 100, "drawn by the electronics").need(),
		number("full", "v", 3.5, 4.4, "each cell, at which speed_max_rpm holds").need(),
		number("caution", "v", 2.5, 4.2, "each cell under load").need(),
		number("critical", "v", 2.5, 4.2, "each cell under load").need(),
		number("brown_out", "v", 1.5, 4, "each cell under load, below which the electronics stop").need(),
		number("starting_charge", "share", 0.05, 1, "at the start").or(1.0),
	).need()
}

// sensorsField describes the sensors. What is left out stands as in the
// program's small craft.
func sensorsField() field {
	return group("sensors", "what differs from the program's small craft; densities as on a data sheet",
		number("gyro_noise", "rad_sqrt_s", 0, 0.1, "white, as a density: rad/s/√Hz"),
		number("gyro_walk", "rad_s_sqrt_s", 0, 0.1, "bias walk: rad/s²/√Hz"),
		number("gyro_start", "deg_s", 0, 10, "standard deviation of each axis' bias at the start"),
		number("gyro_lag", "s", 0, 0.05, "low-pass"),
		number("accel_noise", "m_s_sqrt_s", 0, 1, "white, as a density: m/s²/√Hz"),
		number("accel_walk", "m_s2_sqrt_s", 0, 1, "bias walk: m/s³/√Hz"),
		number("accel_start", "m_s2", 0, 2, "standard deviation of each axis' bias at the start"),
		number("accel_lag", "s", 0, 0.05, "low-pass"),
		number("range_min", "m", 0, 1, "below it the range finder sees nothing"),
		number("range_max", "m", 0.5, 40, "beyond it the range finder sees nothing"),
		number("range_sigma", "m", 0, 0.5, "white"),
		number("camera_latency", "s", 0.001, 0.039, "from exposure to the picture's result, or the pose's arrival"),
		number("fix_sigma", "m", 0, 0.5, "position from outside, each axis, white"),
		number("fix_angle_sigma", "deg", 0, 10, "attitude from outside, each axis, white"),
		number("fix_wander", "m_sqrt_s", 0, 0.1, "position from outside, each axis, slow walk"),
		number("fix_yaw_wander", "deg_sqrt_s", 0, 5, "heading from outside, slow walk"),
		number("volts_sigma", "v", 0, 0.2, "each cell, white"),
		word("navigates_by", []string{byLandmarks, byFixes}, "its own camera, or poses from a tracking system outside").or(byLandmarks),
		truth("rotor_speeds", "the craft reports its rotor speeds"),
	)
}
