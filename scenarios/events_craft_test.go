package scenarios_test

import (
	"lapwing/sim"
	"lapwing/sim/judge"
)

// What happens to the craft itself: motors, propellers, sensors, loops, battery,
// and the first seconds of a lift.
func init() {
	drills = append(drills,
		drillCase{
			scenario: "motor-failure-quad", follows: judge.HardTilt, lost: true,
			wrong: craftLine("{sign: odd-rotor, above_share: 0.2, for_s: 0.05}", "0.6", "{response: attitude, throttle_share: 1}"),
			as:    "raise the throttle",

			practice: [2]float64{0.1, 0.3},
			why:      "None: three rotors of four cannot hold it level and whoever acts can only stop the rest; it is over its side 0.15 s after the ear can tell.",
		},
		drillCase{
			scenario: "motor-failure-hexa", follows: judge.HardNone,
			wrong: craftLine("{sign: odd-rotor, above_share: 0.2, for_s: 0.05}", "0.6", "{cut_off: true}"),
			as:    "engage the motor cut-off",
		},
		drillCase{
			scenario: "thrust-loss", follows: judge.HardCage,
			wrong: craftLine("{sign: odd-rotor, above_share: 0.15, for_s: 0.3}", "1", "{throttle_share: 0.9}"),
			as:    "climb by more than",

			practice: [2]float64{3, 20},
		},
		drillCase{
			scenario: "inertial-sensor-fault", follows: judge.HardTilt, lost: true,
			wrong: craftLine("{sign: tilt, above_deg: 20}", "0.2", "{response: attitude}") +
				craftLine("{sign: tilt, above_deg: 20}", "0.5", "{response: position-hold}") +
				craftLine("{sign: tilt, above_deg: 20}", "0.8", "{response: attitude}"),
			as: "switch the response type more than once",

			practice: [2]float64{0.2, 1},
			why:      "None: from the height of the hover a craft whose motors are cut comes down at more than 4 m/s, so the cut-off limits harm and does not save it.",
		},
		drillCase{
			scenario: "law-oscillation", follows: judge.HardTilt,
			wrong: craftLine("{sign: swing, above_deg: 5}", "0.6", "{roll_share: 0.9}"),
			as:    "fight with the sticks",

			practice: [2]float64{1, 5},
			why:      "Longer: the loop is only a little too quick, so that each swing is only a little wider than the last, and there is time to practise leaving it.",
		},
		drillCase{
			scenario: "pilot-induced-oscillation", follows: judge.HardNone, shows: swung, avoided: true,
			wrong: craftLine("{sign: swing, above_deg: 4}", "0.3", "{roll_share: 0.8}") +
				craftLine("{sign: swing, above_deg: 4}", "0.7", "{roll_share: -0.8}") +
				craftLine("{sign: swing, above_deg: 4}", "1.1", "{roll_share: 0.8}") +
				craftLine("{sign: swing, above_deg: 4}", "1.5", "{roll_share: -0.8}") +
				craftLine("{sign: swing, above_deg: 4}", "1.9", "{roll_share: 0.8}"),
			as: "stir the sticks",

			practice: [2]float64{2, 4},
			why:      "Longer: the modelled hand is at the edge of what the late link leaves room for, its swing grows slowly and stays near ten degrees; a hand that pushes harder has less.",
		},
		drillCase{
			scenario: "battery-caution", follows: judge.HardTouchdown,
			wrong: craftLine("{sign: battery, shows: caution}", "2", "{throttle_share: 0.9}"),
			as:    "climb by more than",

			practice: [2]float64{30, 90},
		},
		drillCase{
			scenario: "voltage-sag", follows: judge.HardTouchdown,
			wrong: craftLine("{sign: battery, shows: critical}", "1", "{throttle_share: 0.9}"),
			as:    "climb by more than",

			practice: [2]float64{3, 10},
		},
		drillCase{
			scenario: "power-loss", follows: judge.HardTouchdown, lost: true,
			wrong: craftLine("{sign: motors-silent}", "3", "{step: battery-in}"),
			as:    "connected the battery again",

			practice: [2]float64{0.5, 0.5},
			why:      "None: nothing on the sticks gives it power again; the half second is the fall from the height of the hover.",
		},
		drillCase{
			scenario: "battery-shift", follows: judge.HardTouchdown,
			wrong: craftLine("{sign: slide, above_m_s: 0.15, for_s: 0.3}", "1", "{roll_share: 0.6, pitch_share: 0.6}"),
			as:    "fight with the sticks",

			practice: [2]float64{5, 20},
		},
		drillCase{
			scenario: "tip-over", follows: judge.HardTilt, lost: true,
			wrong: craftLine("{sign: tilt, above_deg: 20}", "0.2", "{throttle_share: 1}"),
			as:    "raise the throttle",

			practice: [2]float64{0.3, 0.6},
			why:      "None: with two motors crossed every correction pushes the wrong way, and from 15 degrees it is over in 0.1 s, before any hand has moved.",
		},
		drillCase{
			scenario: "slide-at-lift-off", follows: judge.HardCage,
			wrong: craftLine("{sign: slide, above_m_s: 0.2, for_s: 0.2}", "0.4", "{roll_share: 0.8, pitch_share: 0.8}"),
			as:    "fight with the sticks",

			practice: [2]float64{0.5, 1},
			why:      "Longer: the rubber feet let go of the floor before the craft leans, so it slides instead of tipping, and attitude is still open once it is up.",
		})
}

// craftLine returns the line of a script that sets something a while after a sign.
func craftLine(sign, seconds, set string) string {
	return "  - when: " + sign + "\n    after_s: " + seconds + "\n    set: " + set + "\n"
}

// swung tells whether the craft leaned by more than four degrees to and fro, and went on.
func swung(_ *sim.Conditions, w *sim.World) bool { return w.Judge.MaxTilt > 0.07 }
