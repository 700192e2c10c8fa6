package sight

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// bearing projects an anchor bearing at inverse depth rho into a camera at
// (rot, trans) from the keyframe.
func bearing(ax, ay, rho float64, rot kernel.Quat, trans Vec3) (x, y float64) {
	v := rot.RotateInv(Vec3{X: ax, Y: ay, Z: 1}.AddScaled(-rho, trans))
	return v.X / v.Z, v.Y / v.Z
}

// Goal: how a bearing depends on turn, translation and depth is its derivative.
// Method: central differences at random poses.
func TestBearingDerivatives(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 50 {
		rot, trans := kernel.QuatExp(randomVec(r).Scale(0.2)), randomVec(r).Scale(0.4)
		ax, ay, rho := 0.4*r.NormFloat64(), 0.4*r.NormFloat64(), 0.1+0.3*r.Float64()
		y := rot.RotateInv(Vec3{X: ax, Y: ay, Z: 1}.AddScaled(-rho, trans))
		if y.Z < 0.3 {
			continue
		}
		o := seen{y: y, inv: 1 / y.Z, ux: y.X / y.Z, uy: y.Y / y.Z}
		const h = 1e-6
		for _, e := range [][2]float64{{1, 0}, {0, 1}, {0.6, -0.8}} {
			along := func(rho float64, rot kernel.Quat, trans Vec3) float64 {
				x, y := bearing(ax, ay, rho, rot, trans)
				return e[0]*x + e[1]*y
			}
			turn, move := o.lean(1, e[0], e[1], rho)
			for _, axis := range [3]Vec3{{X: 1}, {Y: 1}, {Z: 1}} {
				d := along(rho, rot.Mul(kernel.QuatExp(axis.Scale(h))), trans) - along(rho, rot.Mul(kernel.QuatExp(axis.Scale(-h))), trans)
				assert.InDelta(t, d/(2*h), turn.Dot(axis), 1e-7)
				step := rot.Rotate(axis) // translation in the present camera's axes
				d = along(rho, rot, trans.AddScaled(h, step)) - along(rho, rot, trans.AddScaled(-h, step))
				assert.InDelta(t, d/(2*h), move.Dot(axis), 1e-7)
			}
		}
	}
}

// Goal: depth is gained by parallax over the filter's own baseline and never
// better than (σρ/ρ)² = (σ_px/(f·ρ·b⊥))² + (σ_b/b)²; without a baseline nothing
// is gained, and what is measured is right.
func TestDepthByParallax(t *testing.T) {
	p := DefaultParams()
	for _, c := range []struct {
		name       string
		side, base float64 // m, baseline across the line of sight, its sigma
		known      bool
	}{
		{"no baseline", 0, 0.001, false},
		{"a hair", 0.01, 0.0001, false},
		{"good", 0.3, 0.003, true},
		{"uncertain baseline", 0.3, 0.15, false},
		{"far aside", 1, 0.01, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			const depth = 2.5
			g := estimate.Guess{Live: true, TransB: Vec3{Y: -c.side}, Turn: kernel.QuatIdentity, Sigma: c.base}
			f := newFrame(&p, &g)
			tr := Track{AX: 0.1, AY: -0.2, Rho: p.Guess, Rel: 1}
			tr.X, tr.Y = bearing(tr.AX, tr.AY, 1/depth, kernel.QuatIdentity, f.trans)
			var sum, far info
			_, known := f.compare(&p, &tr, &sum, &far)
			assert.Equal(t, c.known, known)
			if !known {
				assert.Equal(t, info{}, sum, "gives no translation")
				return
			}
			assert.InEpsilon(t, depth, 1/tr.Rho, 1e-6)
			parallax := p.DepthSigma / (p.Focal * tr.Rho * c.side)
			assert.GreaterOrEqual(t, tr.Rel*tr.Rel, parallax*parallax+(c.base/c.side)*(c.base/c.side))
			assert.InEpsilon(t, math.Sqrt(2*parallax*parallax+(c.base/c.side)*(c.base/c.side)), tr.Rel, 1e-6)
			kept := tr
			kept.X += 0.01
			f.compare(&p, &kept, &sum, &far)
			assert.Equal(t, tr.Rho, kept.Rho, "frozen once acquired")
		})
	}
}

// Goal: tracks of unknown depth, however many, say nothing of the translation.
func TestUnknownDepthsGiveTurnOnly(t *testing.T) {
	p := DefaultParams()
	g := estimate.Guess{Live: true, TransB: Vec3{X: 0.02}, Turn: kernel.QuatExp(Vec3{Z: 0.1}), Sigma: 0.02}
	var s State
	r := rand.New(rand.NewPCG(8, 8))
	for i := range s.Tracks {
		ax, ay := 0.4*r.NormFloat64(), 0.3*r.NormFloat64()
		s.Tracks[i] = Track{ID: int32(i), AX: ax, AY: ay, X: ax + 0.1, Y: ay, Rho: p.Guess, Rel: 1}
	}
	s.Searched = s.Frames
	var out estimate.Relative
	s.work(&p, &Scene{}, &g, 1, &out)
	assert.Equal(t, MaxTracks, out.Sight.Tracks)
	assert.Zero(t, out.Sight.Known)
	assert.Equal(t, estimate.Blind, out.Sight.WeakSigma)
	for i := range out.Rows {
		assert.Zero(t, out.Trans[i].Norm())
		assert.NotZero(t, out.Turn[i].Norm())
	}
	assert.Equal(t, 3, out.Rows)
}

// Goal: the search spreads tracks over the picture, takes none twice, comes no
// more often than 5 Hz, and never makes more than MaxTracks.
func TestSearchSpreadsTracks(t *testing.T) {
	p := DefaultParams()
	place := dynamics.Place{Min: Vec3{X: -4, Y: -3}, Max: Vec3{X: 4, Y: 3, Z: 3}}
	decor := RichDecor()
	var sc Scene
	Draw(&sc, &place, &decor, 5)
	s := Start(&p, 5)
	craft := dynamics.State{PosW: Vec3{X: -1, Z: 1.5}, QWB: kernel.QuatIdentity}
	var out estimate.Relative
	var none Faults
	keys, last := 0, int64(-1000)
	for tick := range int64(4000) {
		craft.QWB = kernel.QuatYaw(0.0008 * float64(tick)) // new things come into view
		g := estimate.Guess{Live: tick > 100, Turn: kernel.QuatIdentity}
		Look(&p, &sc, &s, &craft, &g, &none, 5, tick, &out)
		if !out.Rekey {
			continue
		}
		keys++
		assert.GreaterOrEqual(t, tick-last, int64(200), "5 Hz")
		last = tick
		seen := map[int32]bool{}
		var count [cellsX * cellsY]int
		for i := range s.Tracks {
			if tr := &s.Tracks[i]; tr.ID >= 0 {
				assert.False(t, seen[tr.ID])
				seen[tr.ID] = true
				count[cell(&p, tr.X, tr.Y)]++
			}
		}
		assert.Greater(t, len(seen), 30)
		if keys == 1 {
			for _, n := range count {
				assert.LessOrEqual(t, n, perCell) // later, tracks wander into full cells
			}
		}
	}
	assert.Greater(t, keys, 5)
	for i, c := range []struct{ x, y float64 }{{-0.8, -0.6}, {0.8, 0.6}, {0, 0}} {
		assert.Equal(t, []int{0, cellsX*cellsY - 1, cellsX*2 + 3}[i], cell(&p, c.x, c.y))
	}
}
