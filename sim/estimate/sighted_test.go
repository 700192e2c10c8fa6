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
	for _, name := range []string{"Gate", "Reaccept", "FixSigma", "FixTracks", "StillMotion", "StillSigma"} {
		assert.ErrorContains(t, err, name)
	}
}
