package scene

import (
	"math"

	"lapwing/dynamics"
	"lapwing/render/paint"
	"lapwing/sim/sight"
)

// landmarks draws what the craft's camera can hold on to as leaves that lie on
// the floor or cling to glass and wires: the more contrast a landmark
// has, the larger and the darker it is. So a person, too, sees whether there is
// enough to steer by.
func (b *builder) landmarks(sc *sight.Scene, p *dynamics.Place) {
	for i := range sc.Count {
		l := &sc.Landmarks[i]
		if !onWall(l.PosW, p) {
			continue // pots and plants are there to be seen
		}
		d := dice{seed: 31337 + uint64(i)}
		e, f := across(l.NormalW)
		sin, cos := math.Sincos(2 * math.Pi * d.roll())
		along := e.Scale(cos).AddScaled(sin, f)
		side := l.NormalW.Cross(along)
		size := 0.024 + 0.028*l.Contrast
		at := l.PosW.AddScaled(0.006, l.NormalW)
		c := fallen(&d, l.NormalW.Z > 0.5).Mix(soil, 0.35*l.Contrast)
		if l.NormalW.Z < 0.5 {
			c = c.Mix(haze, clinging)
		}
		b.quad([4]vec{at.AddScaled(-size, along), at.AddScaled(-0.42*size, side).AddScaled(-0.1*size, along),
			at.AddScaled(1.1*size, along), at.AddScaled(0.42*size, side).AddScaled(-0.1*size, along)}, same(c))
	}
}

// onWall tells whether a landmark lies on the room itself, and not on a box.
func onWall(at vec, p *dynamics.Place) bool {
	const near = 1e-6 // m
	d, e := at.Sub(p.Min), p.Max.Sub(at)
	return min(d.X, d.Y, d.Z, e.X, e.Y, e.Z) < near
}

// clinging is how pale leaves on glass and wires are: light comes through them.
const clinging = 0.4

// fallen is the colour of a leaf: green where it clings, all sorts where it lies.
func fallen(d *dice, lies bool) paint.Color {
	k := d.roll()
	switch {
	case lies && k < 0.3:
		return leafRed
	case lies && k < 0.5:
		return straw
	case k < 0.75:
		return leafDark
	}
	return leafLight.Mix(leafDark, 0.4)
}
