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

// Goal: the information of a bearing is Jᵀ·W·J with J its derivatives with
// respect to turn and translation, and that on a common error of all depths goes
// with the derivative by the depth. Method: central differences at random poses,
// taken in the plain way, one number along the epipolar line and one across it.
func TestInformationOfABearing(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	tried := 0
	for range 50 {
		rot, trans := kernel.QuatExp(randomVec(r).Scale(0.2)), randomVec(r).Scale(0.4)
		ax, ay, rho := 0.4*r.NormFloat64(), 0.4*r.NormFloat64(), 0.1+0.3*r.Float64()
		f := frame{rot: rot.Matrix(), trans: trans}
		f.back = f.rot.Transpose()
		f.away = f.back.MulVec(trans)
		tr := Track{AX: ax, AY: ay, X: 0.2 * r.NormFloat64(), Y: 0.2 * r.NormFloat64(), Rho: rho}
		var o seen
		if !f.expect(&tr, rho, &o) || o.y.Z < 0.3 {
			continue
		}
		tried++
		const h, along, across = 1e-6, 3.0, 5.0
		j := math.Hypot(o.jx, o.jy)
		var want, got info
		for i, e := range [][2]float64{{o.jx / j, o.jy / j}, {-o.jy / j, o.jx / j}} {
			w := math.Sqrt([2]float64{along, across}[i])
			number := func(rho float64, rot kernel.Quat, trans Vec3) float64 {
				x, y := bearing(ax, ay, rho, rot, trans)
				return w * (e[0]*x + e[1]*y)
			}
			slope := func(at func(h float64) float64) float64 { return (at(h) - at(-h)) / (2 * h) }
			var turn, move [3]float64
			for k, axis := range [3]Vec3{{X: 1}, {Y: 1}, {Z: 1}} {
				turn[k] = slope(func(h float64) float64 { return number(rho, rot.Mul(kernel.QuatExp(axis.Scale(h))), trans) })
				move[k] = slope(func(h float64) float64 { return number(rho, rot, trans.AddScaled(h, rot.Rotate(axis))) })
			}
			a, b := Vec3{X: turn[0], Y: turn[1], Z: turn[2]}, Vec3{X: move[0], Y: move[1], Z: move[2]}
			z := w * (e[0]*o.rx + e[1]*o.ry)
			want.row(&a, &b, z)
			deeper := slope(func(h float64) float64 { return number(rho*(1+h), rot, trans) })
			want.cross(&a, &b, z, deeper)
		}
		weight := o.weigh(along, across)
		got.point(&o, rho, &weight)
		got.shared(&o, rho, along)
		const tol = 1e-6
		for i := range want.l {
			assert.InDelta(t, want.l[i], got.l[i], tol, "%d", i)
		}
		for i := range 6 {
			assert.InDelta(t, want.eta[i], got.eta[i], tol, "%d", i)
			assert.InDelta(t, want.c[i], got.c[i], tol, "%d", i)
		}
		assert.InDelta(t, want.cc, got.cc, tol)
		assert.InDelta(t, want.cEta, got.cEta, tol)
	}
	assert.Greater(t, tried, 20)
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
