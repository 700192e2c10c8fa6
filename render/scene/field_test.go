package scene

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/paint"
)

// TestNothingSeenIsLeftOut: goal: a patch of which any corner is in the picture
// is drawn, and patches spare work. Method: the garden from eyes that turn round,
// each corner against the borders of the picture.
func TestNothingSeenIsLeftOut(t *testing.T) {
	var b builder
	b.neighbours(bay())
	before := len(b.indices)
	patches := b.patches()
	require.Len(t, b.indices, before)
	drawn, all := 0, 0
	for turn := 0.0; turn < 2*math.Pi; turn += 0.37 {
		e := eye{at: vec{X: -5.3, Y: 0.5, Z: 1.6}, up: vec{Z: 1}, fovY: 0.6, near: 0.08, far: 150}
		e.to = e.at.Add(vec{X: math.Cos(turn), Y: math.Sin(turn), Z: -0.1})
		view := e.matrix(wide)
		for i := range patches {
			p := &patches[i]
			all++
			if p.inPicture(&view) {
				drawn++
				continue
			}
			for _, k := range b.indices[p.first : p.first+p.count] {
				require.False(t, within(&view, b.vertices[k].at), "patch %d is left out and seen", i)
			}
		}
	}
	assert.Less(t, drawn, all/2, "most of what is behind the eye is left out")
}

func within(view *paint.Mat4, at [3]float32) bool {
	c := view.Apply(at[0], at[1], at[2])
	return c[3] > 0 && c[0] > -c[3] && c[0] < c[3] && c[1] > -c[3] && c[1] < c[3] && c[2] > -c[3]
}

// TestFacesLookOutwards: goal: no face of a solid is seen from behind. Method:
// the volume that the faces enclose, by the divergence theorem, is that of a
// box, a tube of many sides and a ball, and positive.
func TestFacesLookOutwards(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(b *builder)
		want  float64
		tol   float64
	}{
		{"box", func(b *builder) { b.box(vec{X: 1, Y: 2, Z: 3}, vec{X: 2, Y: 4, Z: 6}, bar) }, 6, 1e-5},
		{"tube", func(b *builder) { b.tube(vec{X: 1}, vec{X: 1, Z: 2}, 0.5, 0.5, 64, bar) }, math.Pi / 2, 0.01},
		{"slanting tube", func(b *builder) { b.tube(vec{}, vec{X: 1, Y: 2, Z: 2}, 0.5, 0.5, 64, bar) }, 3 * math.Pi / 4, 0.01},
		{"ball", func(b *builder) { b.ball(vec{Y: 1}, vec{X: 1, Y: 1, Z: 0.5}, 40, 60, bar, bar) }, 2 * math.Pi / 3, 0.02},
		{"hoop", func(b *builder) { b.hoop(vec{Z: 1}, vec{Z: 1}, 2, 0.3, 80, bar) }, 2 * math.Pi * 2 * pentagon * 0.09, 0.05},
	} {
		var b builder
		c.build(&b)
		assert.InDelta(t, c.want, volume(&b), c.tol, c.name)
	}
}

// pentagon is the area of a regular pentagon of radius 1: a hoop's section.
var pentagon = 2.5 * math.Sin(2*math.Pi/5)

func volume(b *builder) (sum float64) {
	at := func(k uint32) vec {
		p := b.vertices[k].at
		return vec{X: float64(p[0]), Y: float64(p[1]), Z: float64(p[2])}
	}
	for i := 0; i < len(b.indices); i += 3 {
		p, q, r := at(b.indices[i]), at(b.indices[i+1]), at(b.indices[i+2])
		sum += p.Dot(q.Cross(r)) / 6
	}
	return sum
}
