package scenarios_test

import (
	"lapwing/sim"
	"lapwing/sim/judge"
)

// Scripts of typical wrong actions. What begins at a sign is a second after it.
const (
	// Back to position-hold once it stands.
	takesHoldAgain = `
  - when: {sign: slide, above_m_s: 0.15, for_s: 0.5}
    after_s: 1
    fly: hover
    set: {response: attitude}
  - when: {sign: slide, above_m_s: 0.15, for_s: 0.5}
    after_s: 5
    set: {response: position-hold}
`
	// Full stick in position-hold.
	fightsInHold = `
  - when: {sign: slide, above_m_s: 0.15, for_s: 0.5}
    after_s: 1
    fly: hands
    set: {roll_share: 0.9, pitch_share: 0.6}
`
)

func init() {
	drills = append(drills,
		drillCase{
			scenario: "drift-in-hold", follows: judge.HardCage, practice: [2]float64{4, 15},
			wrong: takesHoldAgain, as: "position-based response type again",
		},
		drillCase{
			scenario: "estimate-runaway", follows: judge.HardCage, practice: [2]float64{0.8, 1.5},
			why:   "the bay is larger and the run slower, so that there is time to answer; runaway-in-the-shed is the usual one",
			wrong: fightsInHold, as: "stick",
		},
		drillCase{
			scenario: "runaway-in-the-shed", follows: judge.HardCage, practice: [2]float64{0.8, 1.5}, lost: true,
			wrong: fightsInHold, as: "stick",
		},
		drillCase{
			scenario: "jump-on-path", follows: judge.HardCage, practice: [2]float64{1, 2},
			why: "the bay is larger than the shed, and the craft makes up for the jump at no more than the law's speed",
			wrong: `
  - when: {sign: away, above_m: 0.5}
    after_s: 1
    set: {response: position-hold}
`, as: "stay in a position-based response type",
		},
		drillCase{
			scenario: "vision-lost", follows: judge.HardCage, practice: [2]float64{3, 8},
			why: "blind, the craft is carried by inertial sensors whose biases are well known by then, and takes some 15 s for two metres; the station says so after 0.7 s",
			wrong: `
  - when: {sign: camera, shows: doubtful}
    after_s: 1
    fly: hands
    set: {throttle_share: 0.8, yaw_share: 0.9}
`, as: "climb",
		},
		drillCase{
			scenario: "lights-out", follows: judge.HardCage, practice: [2]float64{3, 8},
			why: "as with a covered lens",
			wrong: `
  - when: {sign: camera, shows: doubtful}
    after_s: 1
    fly: hands
    set: {throttle_share: 0.8, yaw_share: 0.9}
`, as: "turn",
		},
		drillCase{
			scenario: "yaw-breaks-estimate", follows: judge.HardCage, practice: [2]float64{2, 6},
			why: "the slide grows from nothing after the turn, so the noise of the run decides: 3.7 s to more than 8.9 s over six seeds",
			wrong: `
  - when: {sign: slide, above_m_s: 0.2, for_s: 0.5}
    after_s: 1
    fly: hands
    set: {yaw_share: 1}
`, as: "turn",
		},
		drillCase{
			scenario: "heading-wrong", follows: judge.HardCage, practice: [2]float64{3, 6},
			why:   "the circle begins small, and the station doubts the camera as soon as it has turned",
			wrong: fightsInHold, as: "stick",
		},
		drillCase{
			scenario: "height-lost", follows: judge.HardCage, practice: [2]float64{0.5, 2},
			why: "the height read walks off slowly below a high net; a step at once is taken for a box below, or sinks the craft softly",
			wrong: `
  - when: {sign: ceiling, within_m: 2}
    fly: hands
    set: {response: attitude, throttle_share: 0.8}
`, as: "hover mark",
		},
		drillCase{
			scenario: "uncommanded-path", follows: judge.HardCage, practice: [2]float64{1, 4},
			wrong: `
  - when: {sign: slide, above_m_s: 0.3, for_s: 0.4}
    after_s: 1
    set: {response: position-hold, roll_share: 0.9}
`, as: "stick",
		},
		drillCase{
			scenario: "on-board-computer-dies", follows: judge.HardCage, practice: [2]float64{2, 10},
			wrong: `
  - when: {sign: station-silent}
    fly: hands
`, as: "stay on the path",
		},
		drillCase{
			scenario: "orientation-lost", follows: judge.HardCage, practice: [2]float64{2, 4},
			why: "the bay is larger than the shed, and in position-hold a wrong stick gives a speed and no lean",
			wrong: `
  - when: {sign: slide, above_m_s: 0.4, for_s: 0.3}
    after_s: 0.5
    fly: hands
    set: {roll_share: 0.9, pitch_share: 0.9}
`, as: "stick",
		},
		drillCase{
			scenario: "video-frozen", follows: judge.HardNone,
			shows: stillFlies,
			wrong: `
  - when: {sign: picture-still, for_s: 0.5}
    after_s: 1
    fly: hands
    set: {cut_off: true}
`, as: "cut-off",
		},
	)
}

// stillFlies tells that who flew went on by a picture that stood still.
func stillFlies(_ *sim.Conditions, w *sim.World) bool {
	return w.Percept.Frozen && w.Judge.FirstRight-w.Judge.Cue > 4000
}
