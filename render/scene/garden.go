package scene

import (
	"math"

	"lapwing/dynamics"
	"lapwing/render/paint"
)

// What is outside the glass: the next bays with their rows of vines on both
// sides, a garden beyond, an overcast sky. Nothing of it can be reached.

// ground lays lawn round the house and a path along it.
func (b *builder) ground(p *dynamics.Place) {
	const far = 70.0
	b.light, b.tile = outside, 1.0
	lo, hi := p.Min, p.Max
	b.grain = grain{speck: 0.3}
	lay := func(x0, y0, x1, y1, z float64, c paint.Color) {
		b.patch(vec{X: x0, Y: y0, Z: z}, vec{X: x1 - x0}, vec{Y: y1 - y0}, 0, behindGlass(c))
	}
	lay(-far, hi.Y, far, far, -0.03, lawn)
	lay(-far, -far, far, lo.Y, -0.03, lawn)
	lay(hi.X, lo.Y, far, hi.Y, -0.03, lawn)
	lay(-far, lo.Y, lo.X, hi.Y, -0.03, lawn)
	b.grain = grain{joint: 0.02, dark: 0.25, tint: 0.14, speck: 0.2}
	lay(lo.X-1.6, hi.Y, hi.X+1.6, hi.Y+1.1, -0.02, path)
	lay(lo.X-1.6, lo.Y-1.1, hi.X+1.6, lo.Y, -0.02, path)
	lay(hi.X, lo.Y, hi.X+1.6, hi.Y, -0.02, path)
	lay(lo.X-1.6, lo.Y, lo.X, hi.Y, -0.02, path)
	b.light, b.grain = inside, grain{}
}

// sky is a dome of an even overcast, brighter towards the horizon.
func (b *builder) sky() {
	const radius, n, rings = 90.0, 16, 5
	b.light = outside
	first := uint32(len(b.vertices))
	for j := range rings + 1 {
		sinV, cosV := math.Sincos(-0.06 + (math.Pi/2+0.06)*float64(j)/rings)
		for i := range n + 1 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
			p := vec{X: radius * cosV * cos, Y: radius * cosV * sin, Z: radius * sinV}
			b.vertex(p, vec{}, 0, 0, behindGlass(skyLow.Mix(skyHigh, math.Sqrt(max(sinV, 0)))))
		}
	}
	row := uint32(n + 1)
	for j := range uint32(rings) {
		for i := range uint32(n) { // seen from inside
			k := first + j*row + i
			b.indices = append(b.indices, k, k+row+1, k+1, k, k+row, k+row+1)
		}
	}
	b.light = inside
}

// neighbours grows rows of vines along both long sides and beds at the far end.
func (b *builder) neighbours(p *dynamics.Place) {
	b.light = outside
	lo, hi := p.Min, p.Max
	height := min(0.8*hi.Z, 2.6)
	seed := uint64(1)
	for _, side := range [...]float64{lo.Y - 1.5, hi.Y + 1.5} {
		away := math.Copysign(1, side)
		b.box(vec{X: lo.X, Y: side - 0.2, Z: -0.02}, vec{X: hi.X, Y: side + 0.2, Z: 0.35}, behindGlass(wood))
		for x := lo.X + 0.3; x < hi.X; x += 0.5 {
			seed++
			b.vine(vec{X: x, Y: side + 0.1*away*float64(seed%2), Z: 0.35}, height-0.35*float64(seed%3)/2, seed)
		}
	}
	for y := lo.Y; y < hi.Y; y += 1.4 {
		seed++
		b.bush(vec{X: hi.X + 2.6, Y: y + 0.5}, 0.7+0.15*float64(seed%3), seed)
	}
	b.orchard(p)
	b.house(vec{X: hi.X + 11, Y: -9}, vec{X: hi.X + 16, Y: 4})
	b.light = inside
}

// hedges close the garden.
func (b *builder) hedges(p *dynamics.Place) {
	b.light = outside
	lo, hi := p.Min, p.Max
	for _, y := range [...]float64{lo.Y - 5.5, hi.Y + 5.5} {
		b.hedge(vec{X: lo.X - 6, Y: y - 0.4}, vec{X: hi.X + 8, Y: y + 0.4, Z: 1.3})
	}
	b.hedge(vec{X: hi.X + 7, Y: lo.Y - 5}, vec{X: hi.X + 7.8, Y: hi.Y + 5, Z: 1.1})
	b.light = inside
}

// house is another glasshouse across the garden.
func (b *builder) house(lo, hi vec) {
	const eaves, ridge = 2.6, 4.2
	pane, frame := behindGlass(skyHigh.Mix(leafBlue, 0.22)), behindGlass(bar)
	mid := (lo.X + hi.X) / 2
	b.box(vec{X: lo.X, Y: lo.Y}, vec{X: hi.X, Y: hi.Y, Z: eaves}, pane)
	b.quad([4]vec{{X: lo.X, Y: hi.Y, Z: eaves}, {X: lo.X, Y: lo.Y, Z: eaves}, {X: mid, Y: lo.Y, Z: ridge}, {X: mid, Y: hi.Y, Z: ridge}}, same(pane.Mix(skyLow, 0.4)))
	for y := lo.Y; y <= hi.Y; y++ {
		b.beam(vec{X: lo.X - 0.03, Y: y}, vec{X: lo.X - 0.03, Y: y, Z: eaves}, 0.08, frame)
		b.beam(vec{X: lo.X - 0.03, Y: y, Z: eaves}, vec{X: mid, Y: y, Z: ridge + 0.03}, 0.08, frame)
	}
	for _, z := range [...]float64{0.4, eaves} {
		b.beam(vec{X: lo.X - 0.04, Y: lo.Y, Z: z}, vec{X: lo.X - 0.04, Y: hi.Y, Z: z}, 0.12, frame)
	}
	b.beam(vec{X: mid, Y: lo.Y, Z: ridge}, vec{X: mid, Y: hi.Y, Z: ridge}, 0.14, frame)
}

func (b *builder) hedge(lo, hi vec) {
	b.tile, b.grain = 0.6, grain{speck: 0.55}
	b.box(lo, hi, behindGlass(leafDark.Mix(leafLight, 0.45).Mix(haze, 0.18)))
	b.grain = grain{}
}

func (b *builder) bush(at vec, size float64, seed uint64) {
	d := dice{seed: seed * 7919}
	c := leafDark.Mix(leafLight, d.roll())
	b.ball(at.Add(vec{Z: 0.4 * size}), vec{X: 0.6 * size, Y: 0.6 * size, Z: 0.5 * size}, 5, 8, behindGlass(c.Mix(leafLight, 0.4)), behindGlass(leafDark))
}

// orchard plants trees where they are seen over the hedges.
func (b *builder) orchard(p *dynamics.Place) {
	for k := range uint64(20) {
		d := dice{seed: 4001 + k}
		angle := 2 * math.Pi * (float64(k) + 0.6*d.roll()) / 20
		far := 14 + 14*d.roll()
		sin, cos := math.Sincos(angle)
		at := vec{X: (0.5*(p.Max.X-p.Min.X) + far) * cos, Y: (0.5*(p.Max.Y-p.Min.Y) + far) * sin}
		b.tree(at, 4+3.5*d.roll(), 9001+k)
	}
}
