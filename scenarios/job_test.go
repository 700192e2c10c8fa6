package scenarios_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/score"
)

// steps are the steps of the job, in which nothing goes wrong but what a person
// does, and the runs that look like a drill and are none: each with the lines of
// a script that does the typical wrong thing, and a part of the words by which
// the report names it.
var steps = []struct{ scenario, wrong, as string }{
	{"inspection-sound", stepAt("look", 0) + stepAt("tick-bad", 0), "tick something sound as not sound"},
	{"inspection-two-found", stepAt("battery-in", 0), "battery in"},
	{"battery-and-power-up", stepAt("battery-in", 0), "connect the battery before the transmitter was on"},
	{"lost-link-proof", said("motors-safe"), "left out: transmitter off"},
	{"carry-and-return", said("go"), "left out: carry the craft through every move"},
	{"carry-wrong-way", said("go"), "call the wrong verdict"},
	{"lens-check", said("no-go"), "call the wrong verdict"},
	{"tilt-check", said("no-go"), "call the wrong verdict"},
	{"finding-switches", `
  - {when: {sign: prompt}, fly: hands, set: {response: rate}}
`, "move another switch than the one asked for"},
	{"arm-and-disarm", releasedUp, "release the motor cut-off while armed or with the throttle up"},
	{"arming-refused", `
  - {when: {tick_s: 1}, fly: hands, set: {cut_off: false}}
  - {when: {tick_s: 2}, set: {armed: true}}
  - {when: {tick_s: 3}, set: {call: refused-throttle}}
`, "name another check than the one that refused"},
	{"cut-off-at-idle", releasedUp, "release the motor cut-off while armed or with the throttle up"},
	{"cut-off-low", cutAndBack, "release the motor cut-off while armed or with the throttle up"},
	{"cut-off-in-hover", cutAndBack, "release the motor cut-off while armed or with the throttle up"},
	{"cut-off-on-the-way", cutAndBack, "release the motor cut-off while armed or with the throttle up"},
	{"cut-off-that-masks", cutAndBack, "motors restarted after a cut-off"},
	{"first-lift", cutInTheAir, "engage the motor cut-off"},
	{"hover-in-attitude", cutInTheAir, "engage the motor cut-off"},
	{"landing", cutInTheAir, "engage the motor cut-off"},
	{"hold-and-land", cutInTheAir, "engage the motor cut-off"},
	{"figure-eight", cutInTheAir, "engage the motor cut-off"},
	{"path-and-take-over", cutInTheAir, "engage the motor cut-off"},
	{"nothing-happens", cutInTheAir, "engage the motor cut-off"},
	{"quiet-eight", cutInTheAir, "engage the motor cut-off"},
	{"harmless-draught", `
  - {when: {sign: slide, above_m_s: 0.1, for_s: 0.2}, fly: hands, set: {cut_off: true}}
`, "engage the motor cut-off"},
}

const (
	cutInTheAir = `
  - {when: {after: airborne}, after_s: 4, fly: hands, set: {cut_off: true}}
`
	cutAndBack = `
  - {when: {after: airborne}, after_s: 4, fly: hands, set: {cut_off: true}}
  - {when: {after: airborne}, after_s: 6, set: {cut_off: false}}
`
	releasedUp = `
  - {when: {tick_s: 0}, fly: hands, set: {cut_off: true, throttle_share: 0.3}}
  - {when: {tick_s: 2}, set: {cut_off: false}}
`
)

// stepAt is a line that takes a step of the work at the craft and nothing else.
func stepAt(step string, item int) string {
	at := "1"
	if strings.HasPrefix(step, "tick") {
		at = "3"
	}
	return "\n  - {when: {tick_s: " + at + "}, fly: hands, set: {step: " + step + ", item: " + string(rune('0'+item)) + "}}\n"
}

// said is a line that says something and does nothing else.
func said(call string) string {
	return "\n  - {when: {tick_s: 1}, fly: hands, set: {call: " + call + "}}\n"
}

// Goal: each step of the job is GO and without an error for who does it as
// briefed, and what is typically done wrong in it is named as such and not GO.
// Method: the scenario as shipped, one seed, an ideal pilot and a script.
func TestStepsOfTheJob(t *testing.T) {
	for _, c := range steps {
		t.Run(c.scenario, func(t *testing.T) {
			t.Parallel()
			conditions := conditionsOf(t, c.scenario)
			_, a := flown(t, &conditions, "ideal", nil)
			assert.Equal(t, score.Go, a.Verdict, "%v", a.Reasons)
			assert.Equal(t, "desired", a.Band, "%v %v", a.Commissions, a.Exceedances)

			_, a = flown(t, &conditions, "script", scriptOf(t, c.wrong))
			assert.Equal(t, score.NoGo, a.Verdict)
			assert.Contains(t, named(&a), c.as)
		})
	}
}

// named lists in words everything that a report holds against a person.
func named(a *score.Assessment) string {
	var words []string
	for _, x := range a.Reasons {
		words = append(words, x.Says)
	}
	for _, x := range a.Commissions {
		words = append(words, x.Action)
	}
	for _, x := range a.HardFails {
		words = append(words, x.Says)
	}
	return strings.Join(words, "\n")
}
