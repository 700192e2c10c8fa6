package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/estimate"
	"lapwing/sim/hands"
)

// Goal: which response type comes into force from which, and why one does not.
func TestEngagement(t *testing.T) {
	well := func(*rig) {}
	camera := func(r *rig) { r.belief.Health = estimate.Disagrees }
	doubt := func(r *rig) { r.belief.Health = estimate.Doubtful }
	height := func(r *rig) { r.belief.HeightOK = false }
	nothing := func(r *rig) { r.in.PathStored = false }
	floor := func(r *rig) {
		r.s.Status.Landed = true
		r.belief.Height, r.in.DutyMean, r.heard.Hands.Throttle = 0, .1, 0
	}
	const rate, att, hh, ph, path = hands.Rate, hands.Attitude, hands.HeightHold, hands.PositionHold, hands.Path
	cases := []struct {
		name        string
		from, asked hands.Response
		wrong       func(r *rig)
		want        hands.Response
		why         Denial
	}{
		{"height", att, hh, well, hh, DeniedNot},
		{"no height", att, hh, height, att, DeniedHeight},
		{"height needs no camera", att, hh, camera, hh, DeniedNot},
		{"place", att, ph, well, ph, DeniedNot},
		{"place from rate", rate, ph, well, ph, DeniedNot},
		{"a doubtful camera will do", att, ph, doubt, ph, DeniedNot},
		{"camera disagrees", att, ph, camera, att, DeniedEstimate},
		{"denied from rate stays in rate", rate, ph, camera, rate, DeniedEstimate},
		{"denied from height stays there", hh, ph, camera, hh, DeniedEstimate},
		{"place without height", att, ph, height, att, DeniedHeight},
		{"path", ph, path, well, path, DeniedNot},
		{"path from attitude", att, path, well, att, DeniedPath},
		{"path from height-hold", hh, path, well, hh, DeniedPath},
		{"no path stored", ph, path, nothing, ph, DeniedPath},
		{"path from the floor", ph, path, floor, ph, DeniedPath},
		{"path on a camera that disagrees", ph, path, camera, ph, DeniedEstimate},
		{"less is always given: path to place", path, ph, camera, ph, DeniedNot},
		{"less is always given: place to height", ph, hh, height, hh, DeniedNot},
		{"the refuge", path, att, func(r *rig) { camera(r); height(r) }, att, DeniedNot},
		{"the refuge from place", ph, att, camera, att, DeniedNot},
		{"rate", att, rate, camera, rate, DeniedNot},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := flying(Default())
			for _, step := range []hands.Response{rate, att, hh, ph, path} {
				if step <= c.from && (step != rate || c.from == rate) {
					r.selects(step)
				}
			}
			assert.Equal(t, c.from, r.s.Status.Response)
			c.wrong(r)
			st := r.selects(c.asked)
			assert.Equal(t, c.want, st.Response)
			assert.Equal(t, c.why, st.Denied)
		})
	}
}

// Goal: what was denied does not set in later on its own, when its reason has
// gone, but does when the selector asks again.
func TestDeniedStaysDenied(t *testing.T) {
	r := flying(Default())
	r.belief.Health = estimate.Disagrees
	r.selects(hands.PositionHold)
	r.belief.Health = estimate.Agrees
	st := r.run(5000)
	assert.Equal(t, hands.Attitude, st.Response)
	assert.Equal(t, DeniedEstimate, st.Denied, "the reason stays shown")
	st = r.selects(hands.Attitude)
	assert.Equal(t, DeniedNot, st.Denied)
	assert.Equal(t, hands.PositionHold, r.selects(hands.PositionHold).Response)
}

// Goal: a craft in position-hold stays there when its camera disagrees, so that
// the person has to leave it; one that drops the hold goes to height-hold, or to
// attitude without height, and does not come back by itself.
func TestDropsHold(t *testing.T) {
	r := flying(Default())
	r.selects(hands.PositionHold)
	r.belief.Health, r.belief.HeightOK = estimate.Disagrees, false
	assert.Equal(t, hands.PositionHold, r.run(5000).Response)
	for _, height := range []bool{true, false} {
		r = flying(with(func(p *Params) { p.DropsHold = true }))
		r.selects(hands.PositionHold)
		r.belief.Health, r.belief.HeightOK = estimate.Disagrees, height
		want := hands.Attitude
		if height {
			want = hands.HeightHold
		}
		st := r.tick()
		assert.Equal(t, want, st.Response)
		assert.Equal(t, DeniedEstimate, st.Denied)
		r.belief.Health, r.belief.HeightOK = estimate.Agrees, true
		assert.Equal(t, want, r.run(5000).Response)
	}
}

// Goal: throttle lowest for a second lands in position-hold and at a path's end,
// raising it ends the landing; elsewhere it does not.
func TestLandingByThrottle(t *testing.T) {
	lowest := func(h *hands.Hands) { h.Throttle = 0 }
	r := flying(Default())
	r.selects(hands.PositionHold)
	r.hold(lowest)
	assert.False(t, r.run(998).Landing)
	assert.True(t, r.tick().Landing)
	assert.False(t, r.hold(func(h *hands.Hands) { h.Throttle = 500 }).Landing)
	r.selects(hands.Path)
	r.hold(lowest)
	assert.False(t, r.run(5000).Landing, "a path under way goes on")
	r.in.PathDone = true
	assert.True(t, r.run(1000).Landing)
	assert.False(t, r.selects(hands.HeightHold).Landing)
	assert.False(t, r.run(5000).Landing)
}
