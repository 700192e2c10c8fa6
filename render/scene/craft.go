package scene

import (
	"math"

	"lapwing/dynamics"
)

// The craft is built from its craft file: booms to every hub, rotors of their
// size, guards where it has some, feet where they touch. The front is marked by
// colour and by shape: a wedge on the nose and bands on the front booms.

// body builds hull, booms, motors, guards and feet in body axes.
func (b *builder) body(c *dynamics.Craft) {
	reach, hubZ := 0.0, 0.0
	for i := range c.RotorCount {
		reach = math.Max(reach, c.Rotors[i].PosB.NormXY())
		hubZ += c.Rotors[i].PosB.Z / float64(c.RotorCount)
	}
	deck := 0.35 * hubZ
	b.hull(reach, deck)
	for i := range c.RotorCount {
		b.arm(&c.Rotors[i], reach, deck)
	}
	for i := range c.SkidCount {
		foot := c.Skids[i]
		top := vec{X: 0.62 * foot.X, Y: 0.62 * foot.Y, Z: deck - 0.04*reach}
		thick := 0.022 * reach
		b.tube(top, foot.Add(vec{Z: thick}), 1.1*thick, 0.8*thick, 6, boom)
		b.ball(foot.Add(vec{Z: 1.1 * thick}), vec{X: 1.7 * thick, Y: 1.7 * thick, Z: 1.1 * thick}, 4, 8, motor, motor)
	}
}

// hull is the middle: two plates, a pack below, a wedge and a lens in front.
func (b *builder) hull(reach, deck float64) {
	z := func(k float64) vec { return vec{Z: deck + k*reach} }
	b.tube(z(-0.06), z(0.03), 0.30*reach, 0.32*reach, 8, hull)
	b.tube(z(0.03), z(0.15), 0.31*reach, 0.19*reach, 8, hullTop)
	b.box(vec{X: -0.27 * reach, Y: -0.13 * reach, Z: deck - 0.19*reach}, vec{X: 0.24 * reach, Y: 0.13 * reach, Z: deck - 0.06*reach}, packBlue)
	b.box(vec{X: -0.07 * reach, Y: -0.135 * reach, Z: deck - 0.195*reach}, vec{X: 0.0, Y: 0.135 * reach, Z: deck - 0.055*reach}, motor)
	tip := vec{X: 0.66 * reach, Z: deck}
	for _, s := range [...]float64{-1, 1} {
		root := vec{X: 0.20 * reach, Y: s * 0.24 * reach, Z: deck}
		up := vec{Z: 0.075 * reach}
		mid := vec{X: 0.20 * reach, Z: deck}
		if s > 0 {
			b.quad([4]vec{mid.Add(up), tip.AddScaled(0.3, up), root.Add(up), mid.Add(up)}, same(front))
			b.quad([4]vec{root.Sub(up), root.Add(up), tip.AddScaled(0.3, up), tip.AddScaled(-0.3, up)}, same(front))
		} else {
			b.quad([4]vec{mid.Add(up), root.Add(up), tip.AddScaled(0.3, up), mid.Add(up)}, same(front))
			b.quad([4]vec{root.Sub(up), tip.AddScaled(-0.3, up), tip.AddScaled(0.3, up), root.Add(up)}, same(front))
		}
		b.quad([4]vec{mid.Sub(up), root.Sub(up), tip.AddScaled(-0.3, up), mid.Sub(up)}, same(front))
		b.quad([4]vec{mid.Sub(up), tip.AddScaled(-0.3, up), root.Sub(up), mid.Sub(up)}, same(front))
	}
	eye := vec{X: 0.50 * reach, Z: deck - 0.085*reach}
	b.tube(eye, eye.Add(vec{X: 0.10 * reach, Z: -0.02 * reach}), 0.06*reach, 0.06*reach, 8, lens)
}

// arm is a boom with its motor and guard.
func (b *builder) arm(r *dynamics.Rotor, reach, deck float64) {
	hub, axis := r.PosB, r.AxisB
	out := vec{X: hub.X, Y: hub.Y}.Unit(vec{X: 1})
	seat := hub.AddScaled(-0.16*r.Diameter, axis)
	root := out.Scale(0.24 * reach).Add(vec{Z: deck})
	thick := 0.034 * reach
	b.tube(root, seat, 1.25*thick, thick, 8, boom)
	if hub.X > 0.3*reach {
		for _, k := range [...]float64{0.45, 0.62, 0.79} {
			way := seat.Sub(root)
			b.tube(root.AddScaled(k, way), root.AddScaled(k+0.09, way), 1.35*thick, 1.3*thick, 8, front)
		}
	}
	b.tube(seat.AddScaled(-0.02*r.Diameter, axis), hub.AddScaled(-0.02*r.Diameter, axis), 0.105*r.Diameter, 0.095*r.Diameter, 10, motor)
	if r.Guard <= 0 {
		return
	}
	ringZ := hub.AddScaled(-0.03*r.Diameter, axis)
	b.hoop(ringZ, axis, r.Guard-0.012*reach, 0.016*reach, 28, guard)
	e, f := across(axis)
	for k := range 3 {
		sin, cos := math.Sincos(2*math.Pi*float64(k)/3 + math.Atan2(out.Y, out.X))
		b.tube(seat, ringZ.AddScaled(r.Guard*cos, e).AddScaled(r.Guard*sin, f), 0.009*reach, 0.009*reach, 4, guard)
	}
}

// blades builds a two-bladed rotor of radius 1 about z; broken leaves stubs of
// unequal length.
func (b *builder) blades(broken bool) {
	for k, s := range [...]float64{1, -1} {
		end := 1.0
		if broken {
			end = 0.38 - 0.16*float64(k)
		}
		const wide, thick = 0.11, 0.018
		root, tip := vec{X: 0.08 * s, Z: 0}, vec{X: end * s}
		side := vec{Y: wide * s}
		twist := vec{Z: thick}
		for _, z := range [...]float64{thick, -thick} {
			up := vec{Z: z}
			a, c := root.Sub(side.Scale(0.5)).Add(up).Add(twist), root.Add(side.Scale(0.7)).Add(up).Sub(twist)
			d, e := tip.Add(side.Scale(0.45)).Add(up), tip.Sub(side.Scale(0.25)).Add(up)
			m, n := d.Add(c.Sub(d).Scale(0.14)), e.Add(a.Sub(e).Scale(0.14))
			if z < 0 {
				b.quad([4]vec{a, c, m, n}, same(blade))
				b.quad([4]vec{n, m, d, e}, same(bladeTip))
			} else {
				b.quad([4]vec{a, n, m, c}, same(blade))
				b.quad([4]vec{n, e, d, m}, same(bladeTip))
			}
		}
	}
	b.tube(vec{Z: -0.08}, vec{Z: 0.1}, 0.10, 0.07, 8, bladeTip)
}

// whirl is what the eye sees of fast blades: a disc of radius 1, denser where a
// blade is wide for its way, with a rim.
func (b *builder) whirl(atFront bool) {
	c, rim := blade.Mix(hullTop, 0.2), bladeTip
	if atFront {
		c, rim = front.Mix(blade, 0.35), front
	}
	up := vec{Z: 1}
	for _, axis := range [...]vec{up, up.Neg()} {
		b.ring(vec{}, axis, 0.1, 0.5, 30, c.Alpha(0.40), c.Alpha(0.32))
		b.ring(vec{}, axis, 0.5, 0.93, 30, c.Alpha(0.32), c.Alpha(0.42))
		b.ring(vec{}, axis, 0.93, 1, 30, rim.Alpha(0.62), rim.Alpha(0.5))
	}
}

// puff is a ball of smoke of radius 1.
func (b *builder) puff() {
	b.ball(vec{}, vec{X: 1, Y: 1, Z: 1}, 6, 10, smoke.Alpha(0.30), smoke.Alpha(0.42))
}

// shade is a soft round shadow of radius 1.
func (b *builder) shade() {
	b.ring(vec{}, vec{Z: 1}, 0, 0.55, 24, shadow.Alpha(1), shadow.Alpha(0.92))
	b.ring(vec{}, vec{Z: 1}, 0.55, 1, 24, shadow.Alpha(0.92), shadow.Alpha(0))
}
