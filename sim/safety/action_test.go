package safety

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// silence lets frames stay away for ticks.
func (r *rig) silence(ticks int64) *Status {
	for range ticks {
		r.heard.Age++
		r.tick()
	}
	return &r.s.Status
}

// returns lets frames come again.
func (r *rig) returns(change func(h *hands.Hands)) *Status {
	r.heard.Age = 20
	return r.hold(change)
}

func lostLink(a Action) Params { return with(func(p *Params) { p.LostLinkAction = a }) }

// Goal: frames that stay away make the link stale, the last frame is held, and
// only after the time stated does the action begin.
func TestLinkTimes(t *testing.T) {
	r := flying(Default())
	st := r.silence(180)
	assert.Equal(t, LinkGood, st.Link)
	st = r.silence(1)
	assert.Equal(t, LinkStale, st.Link)
	assert.Equal(t, int64(201), st.LinkAge)
	st = r.silence(399)
	assert.Equal(t, LinkStale, st.Link)
	assert.True(t, st.MotorsOn && !st.Landing)
	st = r.silence(1)
	assert.Equal(t, LinkLost, st.Link)
	assert.True(t, st.Landing)
	assert.Equal(t, hands.Attitude, st.Response)
}

// Goal: motor-stop stops the motors, and the link's return restarts nothing.
func TestMotorStop(t *testing.T) {
	for _, p := range []Params{lostLink(ActionMotorStop), with(func(p *Params) { p.LostLinkAction, p.CutOffLatches = ActionMotorStop, false })} {
		r := flying(p)
		st := r.silence(581)
		assert.False(t, st.MotorsOn || st.Armed || st.Landing)
		st = r.returns(func(h *hands.Hands) { h.Response = hands.Rate })
		assert.False(t, st.Armed)
		assert.False(t, r.hold(func(h *hands.Hands) { h.Throttle = 0 }).Armed)
		r.hold(func(h *hands.Hands) { h.Armed = false })
		r.belief.Height, r.in.DutyMean = 0, 0
		r.run(1000) // until the link has been steady
		assert.True(t, r.hold(func(h *hands.Hands) { h.Armed = true }).Armed)
	}
}

// Goal: a landing goes on when the link returns with the selector where it was,
// whatever the sticks do; moving the selector takes the craft over, whether it
// moved during the loss or after; cut-off and disarm act at once.
func TestTakingOver(t *testing.T) {
	lost := func() *rig {
		r := flying(Default())
		r.selects(hands.PositionHold)
		r.silence(600)
		assert.True(t, r.s.Status.Landing)
		assert.Equal(t, hands.PositionHold, r.s.Status.Response, "it keeps the place it held")
		return r
	}
	r := lost()
	st := r.returns(func(h *hands.Hands) { h.Throttle, h.Roll = 0, 700 })
	assert.True(t, st.Landing)
	assert.Equal(t, LinkLost, st.Link, "nobody heeds the sticks yet")
	assert.True(t, r.run(3000).MotorsOn, "throttle lowest does not drop it")
	st = r.selects(hands.Attitude)
	assert.False(t, st.Landing)
	assert.Equal(t, LinkGood, st.Link)
	assert.Equal(t, hands.Attitude, st.Response)

	r = lost()
	st = r.returns(func(h *hands.Hands) { h.Response = hands.Attitude })
	assert.False(t, st.Landing)
	assert.Equal(t, hands.Attitude, st.Response)

	r = lost()
	st = r.returns(func(h *hands.Hands) { h.CutOff = true })
	assert.False(t, st.MotorsOn || st.Landing)
	r = lost()
	st = r.returns(func(h *hands.Hands) { h.Armed = false })
	assert.False(t, st.MotorsOn || st.Landing)
	assert.Equal(t, LinkGood, st.Link)

	r = lost()
	r.returns(func(h *hands.Hands) { h.Response = hands.HeightHold })
	assert.Equal(t, LinkLost, r.silence(600).Link, "lost again: it acts again")
	assert.True(t, r.s.Status.Landing)
}

// Goal: hold-then-land holds for its time where it knows its place, and lands at
// once where it does not or no longer does.
func TestHoldThenLand(t *testing.T) {
	r := flying(lostLink(ActionHoldThenLand))
	st := r.silence(581)
	assert.Equal(t, hands.PositionHold, st.Response, "more help than asked: the pilot cannot ask")
	assert.False(t, st.Landing)
	assert.Equal(t, LinkLost, st.Link)
	st = r.silence(4999)
	assert.False(t, st.Landing)
	st = r.silence(1)
	assert.True(t, st.Landing)

	r = flying(lostLink(ActionHoldThenLand))
	r.belief.Health = estimate.Disagrees
	st = r.silence(581)
	assert.True(t, st.Landing)
	assert.Equal(t, hands.Attitude, st.Response)

	r = flying(lostLink(ActionHoldThenLand))
	r.silence(1000)
	r.belief.HeightOK = false
	st = r.silence(1)
	assert.True(t, st.Landing)
	assert.Equal(t, hands.Attitude, st.Response)
}

// Goal: the craft disarms itself two seconds after it has landed for a lost
// link, and then only.
func TestDisarmsAfterLostLinkLanding(t *testing.T) {
	r := flying(Default())
	r.silence(700)
	r.belief.Height, r.in.DutyMean = 0.05, 0.3
	st := r.silence(499)
	assert.False(t, st.Landed)
	st = r.silence(1)
	assert.True(t, st.Landed && st.MotorsOn)
	st = r.silence(1999)
	assert.True(t, st.MotorsOn)
	st = r.silence(1)
	assert.False(t, st.MotorsOn || st.Armed || st.Landing)
	assert.True(t, st.Landed)
	st = r.returns(func(h *hands.Hands) { h.Throttle = 0 })
	assert.False(t, st.Armed, "the arming switch still stands at on")

	r = flying(Default())
	r.selects(hands.PositionHold)
	r.hold(func(h *hands.Hands) { h.Throttle = 0 })
	r.run(1000)
	r.belief.Height, r.in.DutyMean = 0.05, 0.3
	assert.True(t, r.run(20_000).MotorsOn, "landed by the pilot: the pilot disarms")
	assert.True(t, r.s.Status.Landed)
}

// Goal: standing is believed only when all signs agree for half a second, and
// no longer when one goes.
func TestLanded(t *testing.T) {
	standing := func() *rig {
		r := flying(Default())
		assert.False(t, r.s.Status.Landed)
		r.heard.Hands.Throttle, r.belief.Height, r.in.DutyMean = 0, 0.05, 0.1
		return r
	}
	r := standing()
	assert.False(t, r.run(499).Landed)
	assert.True(t, r.tick().Landed)
	assert.False(t, r.hold(func(h *hands.Hands) { h.Throttle = 1 }).Landed, "the throttle asks to fly")
	for name, wrong := range map[string]func(r *rig){
		"falling":        func(r *rig) { r.in.SpecificForce = 0.5 },
		"high":           func(r *rig) { r.belief.Height = 0.4 },
		"sinking":        func(r *rig) { r.belief.VelW.Z = -0.4 },
		"carried":        func(r *rig) { r.in.DutyMean = 0.5 },
		"not a number":   func(r *rig) { r.in.SpecificForce = math.NaN() },
		"blind, falling": func(r *rig) { r.belief.Health, r.belief.HeightOK, r.in.SpecificForce = estimate.Disagrees, false, 1 },
	} {
		r = standing()
		wrong(r)
		assert.False(t, r.run(2000).Landed, name)
	}
	r = standing()
	r.belief.Health, r.belief.HeightOK, r.belief.Height, r.belief.VelW.Z = estimate.Disagrees, false, 3, -2
	assert.True(t, r.run(500).Landed, "without height and camera the other signs do")
}

// Goal: low battery counts after its time, goes only above its margin, and the
// actions set begin once; a pilot who takes over keeps the craft.
func TestLowBattery(t *testing.T) {
	r := flying(Default())
	r.in.CellVolts = 3.45
	assert.Equal(t, BatteryGood, r.run(999).Battery)
	assert.Equal(t, BatteryCaution, r.tick().Battery)
	r.in.CellVolts = 3.2
	assert.Equal(t, BatteryCaution, r.run(499).Battery)
	st := r.tick()
	assert.Equal(t, BatteryCritical, st.Battery)
	assert.False(t, st.Landing, "by default the pilot acts")
	r.in.CellVolts = 3.55
	assert.Equal(t, BatteryCaution, r.run(1000).Battery, "above 3.3 + 0.1 but not above 3.5 + 0.1")
	r.in.CellVolts = 3.61
	assert.Equal(t, BatteryGood, r.run(1000).Battery)
	for range 100 { // dips shorter than its time
		r.in.CellVolts = 3.2
		r.run(400)
		r.in.CellVolts = 3.7
		assert.Equal(t, BatteryGood, r.run(10).Battery)
	}

	r = flying(with(func(p *Params) { p.CautionAction, p.CriticalAction = ActionHoldThenLand, ActionControlledLanding }))
	r.in.CellVolts = 3.4
	st = r.run(1000)
	assert.Equal(t, hands.PositionHold, st.Response)
	assert.Equal(t, LinkGood, st.Link)
	r.selects(hands.HeightHold)
	st = r.run(5000)
	assert.Equal(t, hands.HeightHold, st.Response)
	assert.False(t, st.Landing)
	r.in.CellVolts = 3.2
	assert.True(t, r.run(500).Landing)
	r.belief.Height, r.in.DutyMean = 0.05, 0.2
	assert.True(t, r.run(20_000).MotorsOn, "it does not disarm: the pilot is there")
}

func TestValidate(t *testing.T) {
	p := Default()
	assert.NoError(t, p.Validate())
	assert.Contains(t, p.String(), "cut-off latches; armed by switch; last frame held 400 ms once 200 ms old, then controlled-landing")
	assert.InDelta(t, .35, p.ForHover(.5).LandedDuty, 1e-15)
	zero := Params{}
	for _, part := range []string{"stick corner", "fresh frame", "tilt limit", "landed duty", "gravity", "lost-link action"} {
		assert.ErrorContains(t, zero.Validate(), part)
	}
	p.CriticalAction, p.RecoverVolts, p.ArmBy, p.HoldTicks = ActionMotorStop, -1, 9, -1
	for _, part := range []string{"motor-stop in the air", "recovery", "way to arm", "hold of the last frame"} {
		assert.ErrorContains(t, p.Validate(), part)
	}
	for _, w := range ActionWords() {
		a, ok := ParseAction(w)
		assert.True(t, ok)
		assert.Equal(t, w, a.String())
	}
	for _, w := range ArmByWords() {
		a, ok := ParseArmBy(w)
		assert.True(t, ok)
		assert.Equal(t, w, a.String())
	}
}
