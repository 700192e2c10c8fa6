package scene

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/render/paint"
)

var plantStream = kernel.NewStream("scene plant")

// dice gives random numbers 0 … 1 in a row for one thing.
type dice struct{ seed, next uint64 }

func (d *dice) roll() float64 {
	d.next++
	return kernel.Uniform(d.seed, plantStream, 0, d.next)
}

// plant is a pot with leaves, no wider than reach round its middle and no higher
// than height.
func (b *builder) plant(at vec, reach, height float64, seed uint64) {
	d := dice{seed: seed}
	pot := min(0.5*reach, 0.09, 0.22*height)
	up := vec{Z: 1.5 * pot}
	b.tube(at, at.Add(up), 0.72*pot, pot, 7, clay)
	b.disc(at.Add(up).Add(vec{Z: 0.003}), vec{Z: 1}, 0.85*pot, 7, soil, soil)
	colors := [...]paint.Color{leafDark.Mix(leafLight, 0.35), leafLight, leafBlue, leafRed}
	c := colors[int(d.roll()*3.4)]
	b.leaves(at.Add(up), reach, height-1.5*pot, 13+int(5*d.roll()), c, &d)
}

// leaves grow from at.
func (b *builder) leaves(at vec, reach, height float64, n int, c paint.Color, d *dice) {
	stem := height * (0.35 + 0.3*d.roll())
	for k := range n {
		sin, cos := math.Sincos(2.4*float64(k) + d.roll())
		rise := float64(k) / float64(n)
		long := min(reach, 0.55*height) * (0.95 - 0.35*rise)
		from := at.Add(vec{Z: stem * rise})
		climb := min(0.8*long*(0.4+0.6*rise), height-stem*rise)
		shade := c.Mix(leafDark, 0.5*(1-rise)).Mix(leafLight, 0.2*d.roll())
		b.leaf(from, vec{X: 0.95 * long * cos, Y: 0.95 * long * sin, Z: climb}, 0.52*long, shade, shade.Mix(leafLight, 0.35))
	}
}

// vine is a tall plant on a string, with fruit.
func (b *builder) vine(at vec, height float64, seed uint64) {
	d := dice{seed: seed}
	b.tube(at, at.Add(vec{Z: height}), 0.012, 0.008, 3, behindGlass(leafDark))
	for z := 0.25; z < height; z += 0.12 {
		sin, cos := math.Sincos(19*z + 2*d.roll())
		long := 0.26 + 0.14*d.roll()
		c := behindGlass(leafDark.Mix(leafLight, 0.6*d.roll()))
		b.leaf(at.Add(vec{Z: z}), vec{X: long * cos, Y: long * sin, Z: -0.12}, 0.26, c, c.Mix(leafLight, 0.3))
		if d.roll() < 0.3 {
			b.ball(at.Add(vec{X: -0.05 * cos, Y: -0.05 * sin, Z: z}), vec{X: 0.04, Y: 0.04, Z: 0.04}, 2, 4, behindGlass(fruit), behindGlass(fruit))
		}
	}
}

// tree is a trunk with a crown of rounded masses.
func (b *builder) tree(at vec, height float64, seed uint64) {
	d := dice{seed: seed}
	b.tube(at, at.Add(vec{Z: 0.5 * height}), 0.05*height, 0.03*height, 5, behindGlass(wood.Mix(soil, 0.5).Mix(haze, 0.3)))
	green := leafDark.Mix(leafLight, 0.15+0.4*d.roll()).Mix(haze, 0.34)
	for range 6 {
		r := height * (0.11 + 0.08*d.roll())
		off := vec{X: (d.roll() - 0.5) * 0.55 * height, Y: (d.roll() - 0.5) * 0.55 * height, Z: height * (0.48 + 0.36*d.roll())}
		b.ball(at.Add(off), vec{X: 1.2 * r, Y: 1.2 * r, Z: 0.8 * r}, 4, 8, behindGlass(green.Mix(leafLight, 0.2)), behindGlass(green.Mix(leafDark, 0.45)))
	}
}
