package sight_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/estimate"
	"lapwing/sim/sight"
)

// blinded follows a flight that goes blind at a time (s): the word gets worse
// within a second, and the estimate slides.
func blinded(t *testing.T, f *flight, at int) {
	t.Helper()
	from := f.off()
	assert.Equal(t, estimate.Agrees, f.belief.Belief.Health, "before")
	f.fly(1000*at - int(f.tick))
	f.fly(1000)
	assert.NotEqual(t, estimate.Agrees, f.belief.Belief.Health, "a second after")
	assert.Zero(t, f.belief.Sight.Known)
	f.fly(9000)
	assert.Greater(t, f.off().Sub(from).Norm(), 0.1, "after ten seconds")
	assert.Equal(t, estimate.Disagrees, f.belief.Belief.Health)
}

// Goal: lights out, the lens covered, and blank glass each blind the camera.
func TestBlind(t *testing.T) {
	t.Run("lens covered", func(t *testing.T) {
		f := rich(hover, 1)
		f.fly(10_000)
		f.faults.Covered = true
		blinded(t, f, 10)
	})
	t.Run("lights out", func(t *testing.T) {
		decor := sight.RichDecor()
		decor.Ambient = 0
		decor.LampCount = 1
		decor.Lamps[0] = sight.Lamp{PosW: vec{Z: 3.3}, Strength: 8, Count: 2,
			At: [sight.MaxLevels]float64{10, 10.2}, Level: [sight.MaxLevels]float64{1, 0}}
		f := newFlight(hover, hall(8, 6, 3.5), decor, 1)
		f.fly(9500)
		blinded(t, f, 10)
	})
	t.Run("dimmed", func(t *testing.T) {
		f := rich(hover, 1)
		f.fly(10_000)
		f.faults.Dimmed = 0.95
		blinded(t, f, 10)
	})
	t.Run("blank glass", func(t *testing.T) {
		decor := sight.RichDecor()
		decor.Texture[sight.FaceXMax].Density = 0
		toGlass := func(t float64) (vec, float64) {
			p := sway(t)
			p.X += 3.4 * ease((t-8)/6)
			p.Z += rise(t)
			return p, 0
		}
		f := newFlight(toGlass, hall(8, 6, 3.5), decor, 1)
		f.fly(8000)
		blinded(t, f, 14)
	})
}

// Goal: after a short darkness the camera comes back by itself once the craft
// moves enough to measure depth over a baseline that the filter knows: up and
// down, where the range finder gives it, or briskly ahead. A craft that only
// hovers stays blind: it has no way to tell how far things are.
func TestSightComesBack(t *testing.T) {
	moved := func(along vec) course {
		return func(t float64) (vec, float64) {
			k := ease((t-13)/2) - ease((t-16)/2)
			p := sway(t).AddScaled(k, along)
			p.Z += rise(t)
			return p, 0
		}
	}
	for _, c := range []struct {
		name  string
		along vec
		back  bool
	}{
		{"up and down", vec{Z: 0.4}, true},
		{"ahead and back", vec{X: 1.5}, true},
		{"hover", vec{}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := rich(moved(c.along), 2)
			f.fly(10_000)
			f.faults.Covered = true
			f.fly(2000)
			assert.NotEqual(t, estimate.Agrees, f.belief.Belief.Health)
			f.faults.Covered = false
			f.fly(12_000)
			assert.Equal(t, c.back, f.belief.Belief.Health == estimate.Agrees)
			assert.Equal(t, c.back, f.belief.Sight.Known > 15)
			assert.Equal(t, c.back, f.belief.Belief.VelW.Sub(f.craft.VelW).Norm() < 0.06)
		})
	}
}
