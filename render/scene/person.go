package scene

import (
	"math"

	"lapwing/dynamics"
	"lapwing/render/paint"
)

// figure is a person who stands at the origin and looks along x, as tall and
// about as wide as the cylinder that can be hit.
func (b *builder) figure(p *dynamics.Person, coat paint.Color, withTransmitter bool) {
	h, r := p.Height, p.Radius
	if r == 0 {
		r = 0.25
	}
	at := func(x, y, z float64) vec { return vec{X: x * r, Y: y * r, Z: z * h} }
	for _, s := range [...]float64{-1, 1} {
		b.tube(at(0, 0.36*s, 0), at(0, 0.30*s, 0.47), 0.2*r, 0.32*r, 7, trousers)
		b.ball(at(0.12, 0.38*s, 0.02), vec{X: 0.42 * r, Y: 0.2 * r, Z: 0.025 * h}, 4, 8, soil, soil)
		shoulder, elbow, hand := at(0, 0.74*s, 0.79), at(0.1, 0.86*s, 0.63), at(0.95, 0.42*s, 0.62)
		b.tube(shoulder, elbow, 0.21*r, 0.17*r, 7, coat)
		b.tube(elbow, hand, 0.17*r, 0.12*r, 7, coat)
		b.ball(hand, vec{X: 0.14 * r, Y: 0.12 * r, Z: 0.12 * r}, 4, 6, skin, skin)
		b.ball(shoulder, vec{X: 0.24 * r, Y: 0.24 * r, Z: 0.24 * r}, 4, 8, coat, coat)
	}
	b.tube(at(0, 0, 0.44), at(0, 0, 0.66), 0.66*r, 0.60*r, 12, coat)
	b.tube(at(0, 0, 0.66), at(0, 0, 0.82), 0.60*r, 0.72*r, 12, coat)
	b.ball(at(0, 0, 0.82), vec{X: 0.72 * r, Y: 0.72 * r, Z: 0.035 * h}, 4, 12, coat, coat)
	b.tube(at(0, 0, 0.82), at(0, 0, 0.88), 0.2*r, 0.2*r, 7, skin)
	b.ball(at(0.05, 0, 0.915), vec{X: 0.36 * r, Y: 0.30 * r, Z: 0.068 * h}, 6, 10, skin, skin.Mix(soil, 0.2))
	b.disc(at(0, 0, 0.945), vec{Z: 1}, 0.68*r, 16, straw, straw.Mix(wood, 0.3))
	b.disc(at(0, 0, 0.944), vec{Z: -1}, 0.68*r, 16, wood, wood)
	b.tube(at(0, 0, 0.945), at(0, 0, 1), 0.36*r, 0.30*r, 12, straw)
	if withTransmitter {
		c := at(1.1, 0, 0.62)
		b.box(c.Sub(vec{X: 0.06, Y: 0.10, Z: 0.02}), c.Add(vec{X: 0.06, Y: 0.10, Z: 0.02}), hull)
		b.tube(c.Add(vec{X: 0.06}), c.Add(vec{X: 0.14, Z: 0.10}), 0.006, 0.005, 4, hull)
	}
}

// where is where person i stands now. Person 0 may have walked.
func where(p *dynamics.Place, in *dynamics.Input, i int) vec {
	at := p.People[i].PosW
	if i == 0 {
		at = at.Add(in.PersonShiftW)
	}
	return at
}

// facing turns a thing at p so that its x looks at q.
func facing(p, q vec) float64 { return math.Atan2(q.Y-p.Y, q.X-p.X) }
