package sight

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// picture returns the view of a craft at rest.
func picture(p *Params, sc *Scene, posW Vec3, qWB kernel.Quat, velW, omegaB Vec3) view {
	s := State{Shot: Shot{PosW: posW, QWB: qWB, VelW: velW, OmegaB: omegaB, Light: 1}}
	var v view
	s.open(p, sc, &v)
	return v
}

// bright is an empty scene with light.
func bright() *Scene { return &Scene{Decor: Decor{Ambient: 1}} }

// Goal: each reason for which a landmark is not seen, one at a time. Method: a
// camera at the origin of a level craft, looking along x, and one landmark that
// is seen.
func TestWhatIsSeen(t *testing.T) {
	base := Landmark{PosW: Vec3{X: 3}, NormalW: Vec3{X: -1}, Contrast: 0.5}
	for _, c := range []struct {
		name string
		set  func(p *Params, sc *Scene, l *Landmark, vel, omega *Vec3)
		want bool
	}{
		{"seen", func(*Params, *Scene, *Landmark, *Vec3, *Vec3) {}, true},
		{"too near", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.PosW.X = 0.1 }, false},
		{"too far", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.PosW.X = 16 }, false},
		{"behind", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.PosW.X = -3; l.NormalW.X = 1 }, false},
		{"inside the right border", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.PosW.Y = -3 * 0.79 }, true},
		{"outside the right border", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.PosW.Y = -3 * 0.81 }, false},
		{"above", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.PosW.Z = 3 * 0.61 }, false},
		{"from behind", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.NormalW.X = 1 }, false},
		{"grazing", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.NormalW = Vec3{X: -0.1, Y: 0.995} }, false},
		{"dark", func(_ *Params, sc *Scene, _ *Landmark, _, _ *Vec3) { sc.Decor.Ambient = 0.15 }, false},
		{"pale", func(_ *Params, _ *Scene, l *Landmark, _, _ *Vec3) { l.Contrast = 0.05 }, false},
		{"behind a box", func(_ *Params, sc *Scene, _ *Landmark, _, _ *Vec3) {
			sc.Boxes[0] = dynamics.Box{Min: Vec3{X: 1, Y: -1, Z: -1}, Max: Vec3{X: 2, Y: 1, Z: 1}}
			sc.BoxCount = 1
		}, false},
		{"on a box", func(_ *Params, sc *Scene, _ *Landmark, _, _ *Vec3) {
			sc.Boxes[0] = dynamics.Box{Min: Vec3{X: 3, Y: -1, Z: -1}, Max: Vec3{X: 4, Y: 1, Z: 1}}
			sc.BoxCount = 1
		}, true},
		// 400 px · 0.004 s · 1.8 rad/s = 2.9 px; 2 rad/s = 3.2 px; limit 3.
		{"slow turn", func(_ *Params, _ *Scene, _ *Landmark, _, omega *Vec3) { omega.Z = 1.8 }, true},
		{"fast turn", func(_ *Params, _ *Scene, _ *Landmark, _, omega *Vec3) { omega.Z = 2 }, false},
		// 400 px · 0.004 s · 6 m/s / 3 m = 3.2 px.
		{"fast pass", func(_ *Params, _ *Scene, _ *Landmark, vel, _ *Vec3) { vel.Y = 6 }, false},
		{"fast approach", func(_ *Params, _ *Scene, _ *Landmark, vel, _ *Vec3) { vel.X = 6 }, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, sc, l := DefaultParams(), bright(), base
			p.Tilt = 0
			var vel, omega Vec3
			c.set(&p, sc, &l, &vel, &omega)
			v := picture(&p, sc, Vec3{}, kernel.QuatIdentity, vel, omega)
			_, _, ok := v.see(&p, sc, &l, 0)
			assert.Equal(t, c.want, ok)
		})
	}
}

// Goal: the mounting: looking level, right in the picture is the craft's right,
// down is down; a tilt looks down by as much.
func TestMount(t *testing.T) {
	for _, tilt := range []float64{0, 0.35, 1.2} {
		m := mount(tilt)
		assert.InDelta(t, 1, m.Det(), 1e-15)
		right, ahead := m.MulVec(Vec3{X: 1}), m.MulVec(Vec3{Z: 1})
		assert.InDelta(t, 0, right.Sub(Vec3{Y: -1}).Norm(), 1e-15)
		assert.InDelta(t, 0, ahead.Sub(Vec3{X: math.Cos(tilt), Z: -math.Sin(tilt)}).Norm(), 1e-15)
	}
}

// Goal: the smear is how far the image moves in the exposure. Method: the
// landmark's bearing half an exposure before and after.
func TestBlurIsImageMotion(t *testing.T) {
	p, sc := DefaultParams(), bright()
	r := rand.New(rand.NewPCG(1, 1))
	for range 30 {
		pos, q := randomVec(r).Scale(0.3), kernel.QuatExp(randomVec(r).Scale(0.3))
		vel, omega := randomVec(r), randomVec(r).Scale(0.5)
		l := Landmark{PosW: Vec3{X: 4, Y: r.Float64(), Z: -r.Float64()}}
		v := picture(&p, sc, pos, q, vel, omega)
		at := func(dt float64) (x, y float64) {
			w := picture(&p, sc, pos.AddScaled(dt, vel), q.Mul(kernel.QuatExp(omega.Scale(dt))), vel, omega)
			c := w.rot.MulVec(l.PosW.Sub(w.posW))
			return c.X / c.Z, c.Y / c.Z
		}
		x0, y0 := at(-p.Exposure / 2)
		x1, y1 := at(p.Exposure / 2)
		c := v.rot.MulVec(l.PosW.Sub(v.posW))
		assert.InDelta(t, p.Focal*math.Hypot(x1-x0, y1-y0), math.Sqrt(v.blurSq(&p, &c, c.X/c.Z, c.Y/c.Z)), 1e-3)
	}
}

// Goal: a box hides what lies behind it and nothing else. Reference: points
// along the line, one by one.
func TestHiddenByBox(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	sc := bright()
	sc.BoxCount = 1
	sc.Boxes[0] = dynamics.Box{Min: Vec3{X: -0.5, Y: -0.4, Z: -0.3}, Max: Vec3{X: 0.5, Y: 0.4, Z: 0.3}}
	outside := func() Vec3 {
		for {
			v := randomVec(r)
			if math.Abs(v.X) > 0.55 || math.Abs(v.Y) > 0.45 || math.Abs(v.Z) > 0.35 {
				return v
			}
		}
	}
	hidden := 0
	for range 2000 {
		a, b := outside(), outside()
		inside := 0
		for k := range 2000 {
			q := a.AddScaled(float64(k)/2000, b.Sub(a))
			if math.Abs(q.X) < 0.5 && math.Abs(q.Y) < 0.4 && math.Abs(q.Z) < 0.3 {
				inside++
			}
		}
		if inside == 1 || inside == 0 && sc.hidden(a, b, &Vec3{}) {
			continue // a graze, finer than the steps
		}
		assert.Equal(t, inside > 0, sc.hidden(a, b, &Vec3{}))
		if inside > 0 {
			hidden++
		}
	}
	assert.Greater(t, hidden, 200)
}

// Goal: landmarks stand on their surfaces, as many as texture and area ask for,
// facing the room; a seed gives its own; blank surfaces have none; what finds no
// room is told.
func TestDraw(t *testing.T) {
	place := dynamics.Place{Min: Vec3{X: -3, Y: -2}, Max: Vec3{X: 3, Y: 2, Z: 2.5}, BoxCount: 1}
	place.Boxes[0] = dynamics.Box{Min: Vec3{X: 1, Y: -0.5}, Max: Vec3{X: 2, Y: 0.5, Z: 0.8}}
	decor := RichDecor()
	decor.Texture[FaceXMax].Density = 0
	decor.Texture[FaceFloor].Density = 10
	var sc, other Scene
	Draw(&sc, &place, &decor, 1)
	Draw(&other, &place, &decor, 2)
	assert.NotEqual(t, sc.Landmarks, other.Landmarks)
	assert.Equal(t, 1.0, sc.Thinned)
	// Floor 24 m² · 10; ceiling 24, walls 10 + 15 + 15, box 4 · 0.8 + 1, all · 6.
	assert.Equal(t, int(math.Round(240+6*(24+10+15+15+4.2))), sc.Count)
	floor, box := 0, 0
	for i := range sc.Count {
		l := &sc.Landmarks[i]
		onBox := l.PosW.X >= 1 && l.PosW.X <= 2 && math.Abs(l.PosW.Y) <= 0.5 && l.PosW.Z > 0 && l.PosW.Z <= 0.8
		switch {
		case onBox:
			box++
			assert.Positive(t, l.PosW.Sub(Vec3{X: 1.5, Z: 0.4}).Dot(l.NormalW))
		default:
			assert.Positive(t, Vec3{Z: 1.2}.Sub(l.PosW).Dot(l.NormalW))
			assert.Less(t, l.PosW.X, 3.0, "blank")
		}
		if l.PosW.Z == 0 {
			floor++
		}
		assert.True(t, l.Contrast > 0 && l.Contrast <= 1)
	}
	assert.InDelta(t, 240, floor, 4*math.Sqrt(240))
	assert.InDelta(t, 25, box, 4*5)

	decor.Texture[FaceFloor].Density = 100
	Draw(&sc, &place, &decor, 1)
	assert.Equal(t, MaxLandmarks, sc.Count)
	assert.InDelta(t, MaxLandmarks/(2400+6*68.2), sc.Thinned, 1e-12)
}

// Goal: a lamp gives light by its level, less with distance and behind.
func TestLampLight(t *testing.T) {
	lamp := Lamp{PosW: Vec3{Z: 2}, Strength: 4, Count: 3,
		At: [MaxLevels]float64{1, 2, 4}, Level: [MaxLevels]float64{1, 0, 0.5}}
	for _, c := range []struct{ t, want float64 }{{0, 1}, {1, 1}, {1.25, 0.75}, {2, 0}, {3, 0.25}, {4, 0.5}, {99, 0.5}} {
		assert.InDelta(t, c.want, lamp.level(c.t), 1e-15)
	}
	assert.InDelta(t, 1, lightFrom(&lamp, &Landmark{NormalW: Vec3{Z: 1}}), 1e-15)                     // 4/2²
	assert.InDelta(t, 0.5, lightFrom(&lamp, &Landmark{NormalW: Vec3{Z: -1}}), 1e-15)                  // turned away: half
	assert.InDelta(t, 16, lightFrom(&lamp, &Landmark{PosW: Vec3{Z: 1.9}, NormalW: Vec3{Z: 1}}), 1e-9) // held at 0.5 m
}

// Goal: the cheap noise has mean 0, variance 1, and its two numbers are
// independent.
func TestWhite2(t *testing.T) {
	const n = 200_000
	s := kernel.NewStream("test white2")
	var sum, sq, cross, fourth float64
	for i := range uint64(n) {
		a, b := white2(1, s, 0, i)
		sum += a + b
		sq += a*a + b*b
		cross += a * b
		fourth += a * a * a * a
	}
	assert.InDelta(t, 0, sum/(2*n), 4/math.Sqrt(2*n))
	assert.InDelta(t, 1, sq/(2*n), 4*math.Sqrt(2.0/(2*n)))
	assert.InDelta(t, 0, cross/n, 4/math.Sqrt(n))
	assert.InDelta(t, 3-2.0/24, fourth/n, 0.06, "kurtosis of 24 coins")
}

func TestValidate(t *testing.T) {
	p := DefaultParams()
	require.NoError(t, p.Validate())
	p.Focal, p.LatencyTicks, p.Far, p.KnownBelow, p.Walk = 0, 40, 0.1, 2, math.NaN()
	err := p.Validate()
	for _, name := range []string{"Focal", "LatencyTicks", "Far", "KnownBelow", "Walk"} {
		assert.ErrorContains(t, err, name)
	}
	d := RichDecor()
	require.NoError(t, d.Validate())
	d.Ambient, d.LampCount, d.Texture[FaceFloor].Density = -1, 9, math.Inf(1)
	d.Lamps[0] = Lamp{Strength: -1, Count: 2, At: [MaxLevels]float64{2, 1}}
	err = d.Validate()
	for _, name := range []string{"Ambient", "LampCount", "Texture[0].Density", "Lamps[0] needs", "Lamps[0].At[1]"} {
		assert.ErrorContains(t, err, name)
	}
}

// Goal: what is wrong with a seed's camera is told as it is.
func TestSays(t *testing.T) {
	p := DefaultParams()
	s := Start(&p, 3)
	s.FocalError, s.TimeError, s.MountError = 0.0015, -0.0012, Vec3{X: 0.003, Y: 0.004}
	says := Says(&p, &s)
	assert.Contains(t, says[0], "77° × 62°")
	assert.Contains(t, says[2], "focal length +0.15 %, mounting 0.29°, time -1.2 ms")
	assert.Contains(t, says[4], "tuned once")
}
