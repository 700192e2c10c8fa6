package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/hands"
)

// Goal: a craft that does not notice its lost link holds the last frame for
// ever, whatever its action, and acts once it does notice.
func TestActionFails(t *testing.T) {
	for _, a := range []Action{ActionMotorStop, ActionControlledLanding, ActionHoldThenLand} {
		r := flying(lostLink(a))
		r.in.ActionFails = true
		st := r.silence(60_000)
		assert.True(t, st.MotorsOn && st.Armed && !st.Landing, a)
		assert.Equal(t, LinkStale, st.Link, a)
		assert.Equal(t, hands.Attitude, st.Response, a)
		r.in.ActionFails = false
		st = r.silence(1)
		assert.Equal(t, LinkLost, st.Link, a)
		assert.True(t, !st.MotorsOn || st.Landing || st.Response == hands.PositionHold, a)
	}
}

// Goal: response types that hold a place are denied without a reason, all others
// are given, and one that is in force stays.
func TestHoldDenied(t *testing.T) {
	r := flying(Default())
	r.in.HoldDenied = true
	st := r.selects(hands.PositionHold)
	assert.Equal(t, hands.Attitude, st.Response)
	assert.Equal(t, "no reason given", st.Denied.String())
	assert.Equal(t, hands.Attitude, r.run(5000).Response, "nor later")
	st = r.selects(hands.HeightHold)
	assert.Equal(t, hands.HeightHold, st.Response)
	assert.Equal(t, DeniedNot, st.Denied)
	assert.Equal(t, hands.HeightHold, r.selects(hands.Path).Response)
	assert.Equal(t, hands.Attitude, r.selects(hands.Attitude).Response, "the refuge is always there")

	r = flying(Default())
	r.selects(hands.PositionHold)
	r.in.HoldDenied = true
	assert.Equal(t, hands.PositionHold, r.run(5000).Response)
	r.selects(hands.Attitude)
	assert.Equal(t, hands.Attitude, r.selects(hands.PositionHold).Response)
}

// Goal: a craft that misses its landing goes on landing for ever, motors on, also
// after a lost link; disarming stops it.
func TestLandingMissed(t *testing.T) {
	r := flying(Default())
	r.in.LandingMissed = true
	r.silence(700)
	r.belief.Height, r.in.DutyMean = 0.05, 0.3
	st := r.silence(30_000)
	assert.True(t, st.MotorsOn && st.Landing && !st.Landed)

	r = flying(Default())
	r.in.LandingMissed = true
	r.selects(hands.PositionHold)
	r.belief.Height, r.in.DutyMean = 0.05, 0.3
	r.hold(func(h *hands.Hands) { h.Throttle = 0 })
	st = r.run(30_000)
	assert.True(t, st.MotorsOn && st.Landing && !st.Landed)
	assert.False(t, r.hold(func(h *hands.Hands) { h.Armed = false }).MotorsOn)
}

// Goal: a craft that arms by itself does so from power-up on, with nobody's
// hands on anything but the cut-off released; it idles where it stands, takes no
// heed of the arming switch, and cut-off or a battery out stops it.
func TestArmsItself(t *testing.T) {
	for _, p := range []Params{Default(), masking(), cornered()} {
		r := newRig(p)
		r.in.ArmsItself = true
		assert.False(t, r.run(2000).Armed, "cut-off is engaged")
		st := r.hold(func(h *hands.Hands) { h.CutOff = false })
		assert.True(t, st.MotorsOn && st.Armed)
		assert.True(t, r.run(2000).Landed, "so that the law lets the motors idle")
		st = r.hold(func(h *hands.Hands) { h.Armed = false })
		assert.True(t, st.MotorsOn)
		st = r.hold(func(h *hands.Hands) { h.CutOff = true })
		assert.False(t, st.MotorsOn)
		assert.False(t, r.run(5000).MotorsOn)
		st = r.hold(func(h *hands.Hands) { h.CutOff = false })
		assert.Equal(t, p.ArmBy == BySwitch, st.MotorsOn, "a switch at off unlatches, and the fault is still there")
		r.in.Powered = false
		assert.False(t, r.run(3).MotorsOn)
		assert.False(t, r.s.Status.Armed)
	}
}

// Goal: where the cut-off has no effect motors run on with it engaged, and the
// station tells that it was heard all the same; disarming still stops them,
// arming is still refused, and a cut-off that came before the fault is not undone
// by it.
func TestCutOffFails(t *testing.T) {
	for _, p := range []Params{Default(), masking()} {
		r := flying(p)
		r.in.CutOffDead = true
		r.hold(func(h *hands.Hands) { h.CutOff = true })
		st := r.run(5000)
		assert.True(t, st.MotorsOn && st.CutOff)
		assert.False(t, r.hold(func(h *hands.Hands) { h.Armed = false }).MotorsOn)
		r.heard.Hands.Throttle = 0
		r.run(2000)
		st = r.hold(func(h *hands.Hands) { h.Armed = true })
		assert.False(t, st.Armed)
		assert.Equal(t, RefusedCutOff, st.Refused)

		r = flying(p)
		r.hold(func(h *hands.Hands) { h.CutOff = true })
		r.in.CutOffDead = true
		st = r.run(5000)
		assert.False(t, st.MotorsOn)
		assert.True(t, st.CutOff)
	}
}
