package safety

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// refusals are the arming checks in the order in which they are asked, each with
// the one thing wrong.
var refusals = []struct {
	word  string
	wrong func(r *rig)
}{
	{"cut-off", func(r *rig) { r.heard.Hands.CutOff = true }},
	{"throttle", func(r *rig) { r.heard.Hands.Throttle = 1 }},
	{"response type", func(r *rig) { r.heard.Hands.Response = hands.HeightHold }},
	{"estimate", func(r *rig) { r.belief.Health = estimate.Disagrees }},
	{"battery", func(r *rig) { r.in.CellVolts = 3.49 }},
	{"tilt", func(r *rig) { r.belief.QWB = kernel.QuatEuler(10.1*math.Pi/180, 0, 0) }},
	{"link", func(r *rig) { r.heard.Age = 201; r.tick(); r.heard.Age = 20 }},
}

// Goal: each check refuses with its own word, in order, and what was refused
// does not arm later on its own: the switch must go off and on again.
func TestRefusals(t *testing.T) {
	for i, c := range refusals {
		t.Run(c.word, func(t *testing.T) {
			ready := func() *rig {
				r := newRig(Default())
				r.heard.Hands.CutOff = false
				r.tick()
				return r
			}
			r := ready()
			good, goodIn, goodBelief := r.heard, r.in, r.belief
			c.wrong(r)
			st := r.hold(func(h *hands.Hands) { h.Armed = true })
			assert.False(t, st.Armed || st.MotorsOn)
			assert.Equal(t, c.word, st.Refused.String())

			tick := r.in.Tick
			r.heard, r.in, r.belief = good, goodIn, goodBelief
			r.in.Tick = tick
			r.heard.Hands.Armed = true
			st = r.run(3000)
			assert.False(t, st.Armed, "it does not arm by itself when all is well")
			r.hold(func(h *hands.Hands) { h.Armed = false })
			st = r.hold(func(h *hands.Hands) { h.Armed = true })
			assert.True(t, st.Armed && st.MotorsOn)
			assert.Equal(t, RefusedNot, st.Refused)

			all := ready()
			for _, later := range refusals[i:] {
				later.wrong(all)
			}
			st = all.hold(func(h *hands.Hands) { h.Armed = true })
			assert.Equal(t, c.word, st.Refused.String(), "the first that fails is named")
		})
	}
}

// Goal: a doubtful camera, rate, 9.9 degrees and a voltage at the limit pass; a
// voltage or an attitude that is not a number does not.
func TestRefusalLimits(t *testing.T) {
	at := func(change func(r *rig)) Refusal {
		r := newRig(Default())
		r.heard.Hands.CutOff = false
		change(r)
		return refusal(&r.p, &r.in, true)
	}
	assert.Equal(t, RefusedNot, at(func(r *rig) { r.belief.Health = estimate.Doubtful }))
	assert.Equal(t, RefusedNot, at(func(r *rig) { r.heard.Hands.Response = hands.Rate }))
	assert.Equal(t, RefusedNot, at(func(r *rig) { r.belief.QWB = kernel.QuatEuler(0, 9.9*math.Pi/180, 2) }))
	assert.Equal(t, RefusedNot, at(func(r *rig) { r.in.CellVolts = 3.5 }))
	assert.Equal(t, RefusedBattery, at(func(r *rig) { r.in.CellVolts = math.NaN() }))
	assert.Equal(t, RefusedTilt, at(func(r *rig) { r.belief.QWB.X = math.NaN() }))
}

// Goal: at power-up nothing arms until the arming switch was heard off.
func TestPowerUp(t *testing.T) {
	r := newRig(Default())
	r.heard.Hands = hands.Hands{Response: hands.Attitude, Armed: true}
	assert.False(t, r.run(5000).Armed)
	r.hold(func(h *hands.Hands) { h.Armed = false })
	assert.True(t, r.hold(func(h *hands.Hands) { h.Armed = true }).Armed)

	deaf := newRig(Default())
	deaf.heard.Any, deaf.heard.Age = false, 0
	st := deaf.run(50)
	assert.True(t, st.CutOff)
	assert.Equal(t, Barred, deaf.s.Phase)
	assert.NotEqual(t, LinkLost, st.Link, "no alarm before the first frame is due")
	assert.True(t, st.Landed)
}

// Goal: a latching cut-off stops the motors in its tick, disarms, and only
// throttle lowest, disarm, release and arm, each of them, start them again.
func TestLatchingCutOff(t *testing.T) {
	r := flying(Default())
	st := r.hold(func(h *hands.Hands) { h.CutOff = true })
	assert.False(t, st.MotorsOn || st.Armed)
	assert.True(t, st.CutOff)
	st = r.hold(func(h *hands.Hands) { h.CutOff = false })
	assert.False(t, st.MotorsOn || st.Armed, "released with the throttle up: nothing starts")
	assert.True(t, st.CutOff, "it stays in force")
	r.hold(func(h *hands.Hands) { h.Throttle = 0 })
	st = r.run(1000)
	assert.True(t, st.CutOff, "throttle lowest alone does not unlatch")
	r.hold(func(h *hands.Hands) { h.Throttle, h.Armed = 500, false })
	st = r.hold(func(h *hands.Hands) { h.Armed = true })
	assert.False(t, st.Armed, "nor disarming alone")
	r.hold(func(h *hands.Hands) { h.Throttle, h.Armed = 0, false })
	assert.False(t, r.s.Status.CutOff)
	assert.True(t, r.hold(func(h *hands.Hands) { h.Armed = true }).MotorsOn)
}

// Goal: a masking cut-off stops the motors in its tick but stays armed, and
// releasing it with the throttle up starts the motors at once: the hazard that
// this program must be able to show. Disarming while it is engaged ends it.
func TestMaskingCutOff(t *testing.T) {
	r := flying(masking())
	st := r.hold(func(h *hands.Hands) { h.CutOff = true })
	assert.False(t, st.MotorsOn)
	assert.True(t, st.Armed && st.CutOff)
	r.run(3000)
	st = r.hold(func(h *hands.Hands) { h.CutOff = false })
	assert.True(t, st.MotorsOn, "released with the throttle up: the motors start")

	r = flying(masking())
	r.hold(func(h *hands.Hands) { h.CutOff = true })
	st = r.hold(func(h *hands.Hands) { h.Armed = false })
	assert.False(t, st.Armed)
	st = r.hold(func(h *hands.Hands) { h.CutOff = false })
	assert.False(t, st.MotorsOn || st.Armed, "disarmed first: releasing starts nothing")
}

// Goal: the arming switch stops motors in its tick; power that comes back
// restarts nothing.
func TestDisarmAndPower(t *testing.T) {
	r := flying(Default())
	assert.False(t, r.hold(func(h *hands.Hands) { h.Armed = false }).MotorsOn)
	for _, p := range []Params{Default(), masking()} {
		r = flying(p)
		r.in.Powered = false
		assert.False(t, r.tick().MotorsOn)
		r.in.Powered = true
		r.heard.Hands.Throttle = 0
		assert.False(t, r.run(2000).Armed)
	}
}

// Goal: stick corners arm and disarm after a second in fresh frames, not
// earlier; in a response type that holds height the disarming corner counts on
// the floor only.
func TestStickCorners(t *testing.T) {
	start := func() *rig {
		r := newRig(cornered())
		r.heard.Hands.CutOff = false
		r.tick()
		r.hold(func(h *hands.Hands) { h.Yaw = 950 })
		return r
	}
	r := start()
	assert.False(t, r.run(998).Armed)
	assert.True(t, r.tick().Armed)
	r.hold(func(h *hands.Hands) { h.Yaw = -950 })
	assert.True(t, r.run(998).Armed)
	assert.False(t, r.tick().Armed)

	r = start()
	r.run(500)
	r.heard.Age = 300
	r.tick()
	r.heard.Age = 20
	assert.False(t, r.run(999).Armed, "a gap in the frames starts the second anew")
	assert.True(t, r.tick().Armed)
	assert.Equal(t, RefusedNot, r.s.Status.Refused)

	r = start()
	r.belief.Health = estimate.Disagrees
	assert.Equal(t, RefusedEstimate, r.run(1000).Refused)
	r.belief.Health = estimate.Agrees
	assert.False(t, r.run(3000).Armed, "refused: let go and do it again")
	r.hold(func(h *hands.Hands) { h.Yaw = 0 })
	r.hold(func(h *hands.Hands) { h.Yaw = 950 })
	assert.True(t, r.run(1000).Armed)

	r.lift()
	r.selects(hands.PositionHold)
	r.hold(func(h *hands.Hands) { h.Throttle, h.Yaw = 0, -1000 })
	assert.True(t, r.run(3000).MotorsOn, "coming down while turning left")
	r.selects(hands.Attitude)
	assert.False(t, r.run(1000).MotorsOn)
}

// Goal: with stick corners a latching cut-off wants the disarming corner.
func TestStickCornersLatched(t *testing.T) {
	r := newRig(cornered())
	r.heard.Hands.CutOff = false
	r.tick()
	r.hold(func(h *hands.Hands) { h.Yaw = 1000 })
	r.run(1000)
	r.lift()
	r.hold(func(h *hands.Hands) { h.CutOff, h.Yaw = true, 0 })
	r.hold(func(h *hands.Hands) { h.CutOff, h.Throttle = false, 0 })
	r.hold(func(h *hands.Hands) { h.Yaw = 1000 })
	assert.False(t, r.run(3000).Armed)
	r.hold(func(h *hands.Hands) { h.Yaw = -1000 })
	assert.False(t, r.run(1000).CutOff)
	r.hold(func(h *hands.Hands) { h.Yaw = 1000 })
	assert.True(t, r.run(1000).Armed)
}
