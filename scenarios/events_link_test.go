package scenarios_test

import (
	"lapwing/sim"
	"lapwing/sim/judge"
)

// What happens to link, switches and people, and on the floor.
func init() {
	drills = append(drills,
		drillCase{
			scenario: "lost-link-in-hold", follows: judge.HardNone, shows: cameDownByItself,
			wrong: craftLine("{sign: link-lost}", "1", "{step: transmitter-off}"),
			as:    "switched the transmitter off as the first response",
		},
		drillCase{
			scenario: "intermittent-link", follows: judge.HardNone, shows: cameDownByItself,
			wrong: craftLine("{sign: link-flickers, above: 2}", "1", "{throttle_share: 0.9}"),
			as:    "climb by more than",

			practice: [2]float64{5, 20},
			why:      "Longer: what it turns into is a lost link, and this craft then comes down by itself, softly.",
		},
		drillCase{
			scenario: "fly-away", follows: judge.HardCage, lost: true,
			wrong: craftLine("{sign: flies-on, above_s: 0.5}", "1", "{step: approach}"),
			as:    "approached the craft",
		},
		drillCase{
			scenario: "telemetry-lost", follows: judge.HardNone, shows: silent,
			wrong: craftLine("{sign: station-silent, for_s: 0.5}", "1", "{cut_off: true}"),
			as:    "engage the motor cut-off",
		},
		drillCase{
			scenario: "battery-fire", follows: judge.HardNone, shows: failed(judge.FailTouch),
			wrong: "  - {when: {sign: smoke}, after_s: 1, fly: land}\n" +
				craftLine("{sign: smoke}", "9", "{step: touch-pack}"),
			as: "touched or carried a burning pack",
		},
		drillCase{
			scenario: "net-contact", follows: judge.HardNone, shows: failed(judge.FailRunning),
			wrong: craftLine("{sign: contact}", "0.5", "{response: attitude, throttle_share: 1}"),
			as:    "raise the throttle",

			practice: [2]float64{0.5, 2},
			why:      "Longer: a craft that hangs in the modelled net burns no motor and does not break loose; what runs out is the four seconds in which motors must stop.",
		},
		drillCase{
			scenario: "ceiling-contact", follows: judge.HardNone, shows: touchedAbove,
			wrong: craftLine("{sign: ceiling, within_m: 0.3}", "0.5", "{response: attitude, throttle_share: 0}"),
			as:    "hold the throttle at its lowest",

			practice: [2]float64{1, 3},
			why:      "Longer: under the roof of the shed hangs a net, which takes the craft up softly and does not suck it on.",
		},
		drillCase{
			scenario: "crashed-motors-turning", follows: judge.HardNone, shows: failed(judge.FailRunning),
			wrong: craftLine("{sign: pinned, above_deg: 90}", "1", "{throttle_share: 1}"),
			as:    "raise the throttle",

			practice: [2]float64{1, 2},
			why:      "Longer: heat and loose blades are not modelled, so nothing more happens to it; what runs out is the four seconds in which motors must stop.",
		},
		drillCase{
			scenario: "motors-run-after-landing", follows: judge.HardNone, shows: committed(judge.DeedMotorsRun),
			wrong: craftLine("{after: landed}", "2", "{step: approach}"),
			as:    "approached the craft",

			practice: [2]float64{1, 3},
			why:      "Longer: with the throttle held lowest it stays down, and only a stick in the middle would lift it again; what runs out is the four seconds in which motors must stop.",
		},
		drillCase{
			scenario: "cut-off-released", follows: judge.HardNone, shows: actedLate,
			wrong: craftLine("{after: armed}", "6", "{step: pick-up}"),
			as:    "approached the craft",

			practice: [2]float64{0.3, 0.3},
			why:      "Longer: no hand is near it here, and standing with motors running harms nothing else.",
		},
		drillCase{
			scenario: "spin-on-bench", follows: judge.HardNone, shows: committed(judge.DeedMotorsRun),
			wrong: craftLine("{sign: motors-on-floor}", "1", "{step: pick-up}"),
			as:    "pick up",
		},
		drillCase{
			scenario: "person-enters", follows: judge.HardPerson,
			wrong: craftLine("{sign: person-near, within_m: 2.5}", "1", "{call: person}"),
			as:    "within a person's radius",

			practice: [2]float64{1, 3},
		},
		drillCase{
			scenario: "response-type-not-engaged", follows: judge.HardCage,
			wrong: craftLine("{sign: not-holding, for_s: 0.5}", "1", "{response: attitude}") +
				craftLine("{sign: not-holding, for_s: 0.5}", "1.6", "{response: position-hold}"),
			as: "select a position-based response type again",

			practice: [2]float64{1, 4},
		},
		drillCase{
			scenario: "throttle-mismatch", follows: judge.HardCage,
			wrong: craftLine("{sign: leap, above_m_s: 0.2}", "0.5", "{response: position-hold}") +
				craftLine("{sign: leap, above_m_s: 0.2}", "2", "{response: attitude}"),
			as: "switch the response type more than",

			practice: [2]float64{0.3, 0.7},
			why:      "Longer: the mark is only a fifth too high and the bay is high, and any hand that hovers by eye checks part of the leap at once.",
		},
		drillCase{
			scenario: "stuck-axis", follows: judge.HardCage,
			wrong: craftLine("{sign: slide, above_m_s: 0.15, for_s: 0.3}", "1", "{roll_share: -0.9}"),
			as:    "fight with the sticks",

			practice: [2]float64{1, 3},
		},
		drillCase{
			scenario: "wrong-craft-answers", follows: judge.HardNone, shows: stoodStill,
			wrong: craftLine("{sign: other-moves}", "0.5", "{roll_share: 0.8}") +
				craftLine("{sign: other-moves}", "0.9", "{roll_share: -0.8}") +
				craftLine("{sign: other-moves}", "1.3", "{roll_share: 0.8}") +
				craftLine("{sign: other-moves}", "1.7", "{roll_share: -0.8}"),
			as: "stir the sticks",
		},
		drillCase{
			scenario: "cage-alert", follows: judge.HardCage,
			wrong: craftLine("{sign: cage-alert}", "1", "{pitch_share: -0.8}"),
			as:    "stay in a position-based response type",

			practice: [2]float64{1, 2},
			why:      "Longer: it creeps at five centimetres a second, slow enough that whoever heeds the warning can answer it.",
		},
		drillCase{
			scenario: "air-disturbance", follows: judge.HardNone, shows: leaned,
			wrong: craftLine("{sign: tilt, above_deg: 6, for_s: 0.5}", "1", "{cut_off: true}"),
			as:    "engage the motor cut-off",

			practice: [2]float64{3, 10},
			why:      "Longer: in position-hold the craft leans against a draught of this strength by itself and touches nothing.",
		},
		drillCase{
			scenario: "cut-off-fails", follows: judge.HardNone, shows: stillTurning,
			wrong: craftLine("{sign: cut-off-ignored, above_s: 0.7}", "1", "{step: approach}"),
			as:    "approached the craft",
		},
	)
}

// failed tells whether a hard fail was noted.
func failed(fail judge.Fail) func(*sim.Conditions, *sim.World) bool {
	return func(_ *sim.Conditions, w *sim.World) bool { return w.Judge.Fail[fail] != judge.Never }
}

// committed tells whether what should not be done was done.
func committed(kind judge.DeedKind) func(*sim.Conditions, *sim.World) bool {
	return func(c *sim.Conditions, w *sim.World) bool {
		for i := range c.Drill.CommissionCount {
			if c.Drill.Commissions[i].Deed.Kind == kind && w.Judge.Committed[i] != judge.Never {
				return true
			}
		}
		return false
	}
}

// cameDownByItself tells whether the craft landed though nobody asked it to.
func cameDownByItself(_ *sim.Conditions, w *sim.World) bool {
	return w.Judge.FloorTouch != judge.Never && w.Judge.Done[0] == judge.Never
}

// silent tells whether nothing came back from the craft to the end.
func silent(_ *sim.Conditions, w *sim.World) bool { return w.Effects.StationDead }

func touchedAbove(_ *sim.Conditions, w *sim.World) bool { return w.Judge.MinWall < 0 }

func actedLate(_ *sim.Conditions, w *sim.World) bool { return w.Judge.FirstRight-w.Judge.Cue > 4000 }

// stoodStill tells whether the craft never rose, whatever the throttle did.
func stoodStill(_ *sim.Conditions, w *sim.World) bool { return w.Judge.Airborne == judge.Never }

func leaned(_ *sim.Conditions, w *sim.World) bool { return w.Judge.MaxTilt > 0.1 } // rad, 6 degrees

func stillTurning(_ *sim.Conditions, w *sim.World) bool { return w.Judge.MotorsOff == judge.Never }
