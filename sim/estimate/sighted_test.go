package estimate

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// sightedFlight flies a filter without camera for a while.
func sightedFlight(ticks int) (*flight, Params, Sighted) {
	p, sp := DefaultSightedParams(), DefaultSightParams()
	f := newFlight(sense.DefaultParams(), 5, true)
	f.faults.FixesLost = true
	s := StartSighted(&p, f.craft.PosW, 0)
	s.Belief.VelW = f.craft.VelW
	var rel Relative
	for range ticks {
		f.step()
		rel.Exposed = f.tick%40 == 0
		FuseSighted(&p, &sp, &s, &f.r, &rel, false, f.tick)
		f.tick++
	}
	return f, p, s
}

// Goal: a keyframe made of an exposure 30 ms ago, by carrying the present error
// back, is the clone that would have been taken then. Method: the same filter
// with a clone since the exposure, predicted over the 30 ms. What differs is the
// noise of those 30 ms, small against what is known.
func TestKeyframeIsTheCloneOfThen(t *testing.T) {
	_, _, s := sightedFlight(2001) // the last tick, 2000, was an exposure
	assert.EqualValues(t, 0, s.Shot.Age)
	then := s
	Expose(&then.Cov, &then.Clone, then.Shot.PosW, then.Shot.QWB)
	p := DefaultSightedParams()
	f := newFlight(sense.DefaultParams(), 5, true)
	for range 30 {
		f.step()
		for _, x := range []*Sighted{&s, &then} {
			advance(&x.State, f.r.GyroB, f.r.AccelB, p.Gravity)
			x.Shot.Age++
		}
		f.tick++
	}
	catchUp(&p, &s.State)
	catchUp(&p, &then.State)
	s.rekey()
	assert.InDelta(t, 0, s.Clone.PosW.Sub(then.Clone.PosW).Norm(), 1e-15)
	for i := range Size {
		for j := range Size {
			scale := math.Sqrt(then.Cov.At(i, i) * then.Cov.At(j, j))
			assert.InDelta(t, then.Cov.At(i, j)/scale, s.Cov.At(i, j)/scale, 1e-2, "%d %d", i, j)
		}
	}
}

// Goal: at the instant of the exposure the two are the same.
func TestKeyframeAtOnceIsAClone(t *testing.T) {
	_, _, s := sightedFlight(2001)
	want := s
	Expose(&want.Cov, &want.Clone, want.Shot.PosW, want.Shot.QWB)
	s.rekey()
	for k := range s.Cov {
		for i := range s.Cov[k] {
			assert.InDelta(t, want.Cov[k][i], s.Cov[k][i], 1e-15)
		}
	}
	g := s.Guess(&SightParams{Reaccept: 8})
	assert.True(t, g.Live)
	assert.InDelta(t, 0, g.Sigma, 1e-7, "a baseline of nothing is known")
	assert.InDelta(t, 0, g.TurnSigma, 1e-7)
}

// Goal: a parked craft whose picture stands does not slide while it waits, and a
// carried one, whose picture moves, is not held.
func TestParkedCraftIsHeld(t *testing.T) {
	p, sp := DefaultSightedParams(), DefaultSightParams()
	for _, c := range []struct {
		name   string
		parked bool
		motion float64 // px
		held   bool
	}{
		{"at rest", true, 0.6, true},
		{"carried", true, 5, false},
		{"flying", false, 0.6, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := StartSighted(&p, kernel.Vec3{}, 0)
			r := sense.Reading{AccelB: kernel.Vec3{X: 0.05, Z: g0}} // a bias
			for tick := range int64(20_000) {
				rel := Relative{Exposed: tick%40 == 0, New: tick%40 == 30}
				rel.Sight = Sight{Tracks: 50, Motion: c.motion}
				FuseSighted(&p, &sp, &s, &r, &rel, c.parked, tick)
			}
			assert.Equal(t, c.held, s.Belief.PosW.Norm() < 0.1)
			assert.Equal(t, c.held, s.Belief.VelW.Norm() < 0.01)
		})
	}
}

func TestValidateSight(t *testing.T) {
	p, sp := DefaultSightedParams(), DefaultSightParams()
	assert.NoError(t, p.Validate())
	assert.NoError(t, sp.Validate())
	sp = SightParams{Gate: math.NaN()}
	err := sp.Validate()
	for _, name := range []string{"Gate", "Reaccept", "OpenVel", "OpenPos", "OpenYaw", "FixSigma", "FixTracks", "StillMotion", "StillTracks", "StillTurn", "StillForce", "StillTicks", "StillSigma"} {
		assert.ErrorContains(t, err, name)
	}
}

// Goal: under a lens cap a parked craft is held by what its inertial sensors
// feel, also with biases, and that is no word for the camera; one that is shaken
// or flies is not held.
func TestBlindParkedCraftIsHeld(t *testing.T) {
	p, sp := DefaultSightedParams(), DefaultSightParams()
	for _, c := range []struct {
		name   string
		parked bool
		shake  float64 // m/s²
		held   bool
	}{
		{"at rest", true, 0, true},
		{"shaken in a hand", true, 2, false},
		{"flying", false, 0, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := StartSighted(&p, kernel.Vec3{}, 0)
			for tick := range int64(60_000) {
				r := sense.Reading{AccelB: kernel.Vec3{X: 0.05, Z: g0 + c.shake*math.Sin(float64(tick)*5e-3)}}
				FuseSighted(&p, &sp, &s, &r, &Relative{Exposed: tick%40 == 0, New: tick%40 == 30}, c.parked, tick)
			}
			assert.Equal(t, c.held, s.Belief.PosW.NormXY() < 0.1)
			assert.Equal(t, Disagrees, s.Belief.Health)
		})
	}
}

// Goal: pictures that stay outside the gate are believed after Reaccept of them,
// so a filter that did not feel a motion follows the camera from then on. Method:
// pictures that move at 0.5 m/s past a filter that feels rest.
func TestRefusedPicturesAreBelievedInTheEnd(t *testing.T) {
	p, sp := DefaultSightedParams(), DefaultSightParams()
	s := StartSighted(&p, kernel.Vec3{}, 0)
	s.Belief.PosW.Z, s.Belief.Height = 1, 1
	const from, sigma, speed = 2000, 0.005, 0.5 // tick, m, m/s
	r := sense.Reading{AccelB: kernel.Vec3{Z: g0}}
	refused := int64(0)
	var key float64 // m, where the keyframe is
	for tick := range int64(5000) {
		rel := Relative{Exposed: tick%40 == 0, New: tick%40 == 30 && tick > 40}
		if rel.New {
			at := max(0, float64(tick-30-from)*1e-3*speed)
			g := s.Guess(&sp)
			rel.Rows, rel.Rekey = 6, !g.Live
			for i, axis := range [3]kernel.Vec3{{X: 1}, {Y: 1}, {Z: 1}} {
				moved := kernel.Vec3{X: at - key}
				rel.Trans[i], rel.Z[i] = axis.Scale(1/sigma), axis.Dot(moved.Sub(g.TransB))/sigma
				rel.Turn[i+3], rel.Z[i+3] = axis.Scale(1/sigma), axis.Dot(g.Turn.Log().Neg())/sigma
			}
			rel.Sight = Sight{Tracks: 40, Known: 40, WeakSigma: 0.01}
			if rel.Rekey {
				key = at
			}
		}
		FuseSighted(&p, &sp, &s, &r, &rel, false, tick)
		refused = max(refused, s.Rejected)
	}
	assert.Equal(t, sp.Reaccept, refused)
	assert.InDelta(t, speed, s.Belief.VelW.X, 0.02)
	assert.InDelta(t, 1.5, s.Belief.PosW.X, 0.05, "m, after three seconds")
}

// Goal: a wrong match moves position, exposure and keyframe together, so that the
// next pictures agree; taken back, all is as before.
func TestShiftMovesAllTogether(t *testing.T) {
	_, _, s := sightedFlight(2001)
	s.rekey()
	before, to := s, kernel.Vec3{X: 4, Y: -1}
	sp := DefaultSightParams()
	guess := s.Guess(&sp)
	s.Shift(to)
	assert.InDelta(t, 0, s.Belief.PosW.Sub(before.Belief.PosW).Sub(to).Norm(), 1e-12)
	assert.InDelta(t, 0, s.Guess(&sp).TransB.Sub(guess.TransB).Norm(), 1e-12)
	s.Shift(to)
	assert.InDelta(t, 4, s.Belief.PosW.X-before.Belief.PosW.X, 1e-12, "once")
	s.Shift(kernel.Vec3{})
	assert.InDelta(t, 0, s.Belief.PosW.Sub(before.Belief.PosW).Norm(), 1e-12)
}
