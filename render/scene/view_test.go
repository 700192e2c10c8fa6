package scene

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
)

func bay() *dynamics.Place {
	return &dynamics.Place{
		Min: vec{X: -6, Y: -4}, Max: vec{X: 6, Y: 4, Z: 4},
		HasNet: true, NetMin: vec{X: -4.4, Y: -3.8}, NetMax: vec{X: 5.8, Y: 3.8, Z: 3.8},
		People: [dynamics.MaxPeople]dynamics.Person{{PosW: vec{X: -5.3, Y: 0.5}, Height: 1.75}}, PersonCount: 1,
		TakeOff: vec{X: 0.8},
	}
}

const wide = 1280.0 / 560

// seen is where p is in the picture, −1 … 1 to the right and up.
func seen(e eye, p vec) (x, y float64, ahead bool) {
	m := e.matrix(wide)
	c := m.Apply(float32(p.X), float32(p.Y), float32(p.Z))
	return float64(c[0] / c[3]), float64(c[1] / c[3]), c[3] > 0
}

// TestCraftStaysInThePicture: goal: wherever a craft may fly, it is seen, from
// every view. Method: a grid of places inside the net.
func TestCraftStaysInThePicture(t *testing.T) {
	p, o := bay(), DefaultOptions()
	for v := range Views {
		for x := p.NetMin.X + 0.5; x < p.NetMax.X; x += 0.6 {
			for y := p.NetMin.Y + 0.3; y < p.NetMax.Y; y += 0.6 {
				for z := 0.1; z < p.NetMax.Z; z += 0.5 {
					at := vec{X: x, Y: y, Z: z}
					sx, sy, ahead := seen(lookFrom(v, &o, p, at, wide), at)
					assert.True(t, ahead && math.Abs(sx) < 1 && math.Abs(sy) < 1, "view %d: craft at %v is at %.2f %.2f", v, at, sx, sy)
				}
			}
		}
	}
}

// TestHeadRests: goal: near the mark what stands still in the room stands still
// in the picture. Method: two places of the craft, one eye.
func TestHeadRests(t *testing.T) {
	p, o := bay(), DefaultOptions()
	a := lookFrom(PilotsPlace, &o, p, vec{X: 0.8, Z: 1}, wide)
	b := lookFrom(PilotsPlace, &o, p, vec{X: 1.3, Y: -0.6, Z: 1.4}, wide)
	assert.InDelta(t, 0, a.to.Sub(b.to).Norm(), 1e-12)
	c := lookFrom(PilotsPlace, &o, p, vec{X: -3, Y: 3.4, Z: 1}, wide)
	assert.Greater(t, c.to.Sub(a.to).Norm(), 0.05, "far to the side the head turns")
}

// TestLeftIsLeft: goal: what is to the left of the pilot is to the left in every
// view that is flown by. Method: a point to the left (+y) of the craft, whose
// bearing from the pilot is along +x.
func TestLeftIsLeft(t *testing.T) {
	p, o := bay(), DefaultOptions()
	craft := vec{X: 0.8, Y: 0.5, Z: 1.2}
	for _, v := range [...]View{PilotsPlace, Following} {
		e := lookFrom(v, &o, p, craft, wide)
		middle, _, _ := seen(e, craft)
		left, _, _ := seen(e, craft.Add(vec{Y: 0.3}))
		assert.Less(t, left, middle, "view %d", v)
	}
	e := lookFrom(Top, &o, p, craft, wide)
	near, _, _ := seen(e, vec{X: -5})
	far, _, _ := seen(e, vec{X: 5})
	assert.Less(t, near, far, "from above x runs to the right")
}

// TestShadowFallsOnTheBoxBelow: goal: the shadow tells the height above what is
// really below. Method: over, beside and under a bench of 0.9 m.
func TestShadowFallsOnTheBoxBelow(t *testing.T) {
	p := bay()
	p.Boxes[0] = dynamics.Box{Min: vec{X: 1, Y: -1}, Max: vec{X: 2, Y: 1, Z: 0.9}}
	p.BoxCount = 1
	assert.Equal(t, 0.9, below(p, vec{X: 1.5, Z: 1.4}))
	assert.Equal(t, 0.0, below(p, vec{X: 2.5, Z: 1.4}))
	assert.Equal(t, 0.0, below(p, vec{X: 1.5, Z: 0.4}))
}

// TestUpright: goal: rotor axes are turned the right way. Method: the turn of z
// against the axis itself.
func TestUpright(t *testing.T) {
	for _, axis := range [...]vec{{Z: 1}, {X: 0.6, Z: 0.8}, {Y: -0.6, Z: 0.8}} {
		assert.InDelta(t, 0, upright(axis).AxisZ().Sub(axis).Norm(), 1e-12)
	}
}
