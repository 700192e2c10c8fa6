package scene

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/render/paint"
)

// vec is a point or a way of the room, in metres.
type vec = kernel.Vec3

// kind says which light falls on a surface.
type kind uint8

const (
	inside  kind = iota // ambient light and lamps
	outside             // ambient light only
	glowing             // its own light
)

// grain is the pattern of a surface: joints round tiles, tiles that differ,
// specks.
type grain struct {
	joint float64 // 0 … 0.25, half the width of a joint in tiles
	dark  float64 // 0 … 1, how much darker joints are
	tint  float64 // 0 … 1, how much tiles differ
	speck float64 // 0 … 1, how strong specks are
}

// vertex is laid out as layout says.
type vertex struct {
	at     [3]float32
	normal [4]uint8 // −1 … 1 as 0 … 255; the fourth is the kind of light
	tile   [2]float32
	color  paint.Color
	grain  [4]uint8
}

var layout = []paint.Attribute{{Count: 3}, {Count: 4, Bytes: true}, {Count: 2}, {Count: 4, Bytes: true}, {Count: 4, Bytes: true}}

// builder collects triangles.
type builder struct {
	vertices []vertex
	indices  []uint32
	light    kind
	grain    grain
	tile     float64 // m, side of a tile
}

func pack(x float64) uint8 { return uint8(math.Round(127.5 + 127.5*min(max(x, -1), 1))) }

func share(x float64) uint8 { return uint8(math.Round(255 * min(max(x, 0), 1))) }

func (b *builder) vertex(p, n vec, u, v float64, c paint.Color) uint32 {
	b.vertices = append(b.vertices, vertex{
		at:     [3]float32{float32(p.X), float32(p.Y), float32(p.Z)},
		normal: [4]uint8{pack(n.X), pack(n.Y), pack(n.Z), uint8(b.light)},
		tile:   [2]float32{float32(u), float32(v)},
		color:  c,
		grain:  [4]uint8{share(b.grain.joint * 4), share(b.grain.dark), share(b.grain.tint), share(b.grain.speck)},
	})
	return uint32(len(b.vertices) - 1)
}

// patch is a parallelogram from corner along u and v, seen from where u × v
// points, in cells so that light can vary over it.
func (b *builder) patch(corner, u, v vec, cell float64, c paint.Color) {
	normal := u.Cross(v).Unit(vec{Z: 1})
	lu, lv := u.Norm(), v.Norm()
	nu, nv := cells(lu, cell), cells(lv, cell)
	side := max(b.tile, 1e-3)
	first := uint32(len(b.vertices))
	for j := range nv + 1 {
		for i := range nu + 1 {
			ku, kv := float64(i)/float64(nu), float64(j)/float64(nv)
			p := corner.AddScaled(ku, u).AddScaled(kv, v)
			b.vertex(p, normal, ku*lu/side, kv*lv/side, c)
		}
	}
	row := uint32(nu + 1)
	for j := range uint32(nv) {
		for i := range uint32(nu) {
			k := first + j*row + i
			b.indices = append(b.indices, k, k+1, k+row+1, k, k+row+1, k+row)
		}
	}
}

func cells(length, cell float64) int {
	if cell <= 0 {
		return 1
	}
	return max(1, int(length/cell+0.5))
}

// quad is a four-cornered face, counter-clockwise from outside, with a colour
// for each corner.
func (b *builder) quad(p [4]vec, c [4]paint.Color) {
	n := p[1].Sub(p[0]).Cross(p[2].Sub(p[0])).Unit(vec{Z: 1})
	first := uint32(len(b.vertices))
	for i := range p {
		b.vertex(p[i], n, 0, 0, c[i])
	}
	b.indices = append(b.indices, first, first+1, first+2, first, first+2, first+3)
}

func same(c paint.Color) [4]paint.Color { return [4]paint.Color{c, c, c, c} }

// box is a solid with faces along the axes.
func (b *builder) box(lo, hi vec, c paint.Color) {
	d := hi.Sub(lo)
	x, y, z := vec{X: d.X}, vec{Y: d.Y}, vec{Z: d.Z}
	b.patch(lo, y, x, 0, c)
	b.patch(lo.Add(z), x, y, 0, c)
	b.patch(lo, x, z, 0, c)
	b.patch(lo.Add(y), z, x, 0, c)
	b.patch(lo, z, y, 0, c)
	b.patch(lo.Add(x), y, z, 0, c)
}

// beam is a bar of square section from p to q.
func (b *builder) beam(p, q vec, width float64, c paint.Color) {
	b.tube(p, q, width/math.Sqrt2, width/math.Sqrt2, 4, c)
}

// tube is a cylinder or cone from p (radius r0) to q (radius r1), both ends
// closed where they have a width.
func (b *builder) tube(p, q vec, r0, r1 float64, n int, c paint.Color) {
	axis := q.Sub(p).Unit(vec{Z: 1})
	e, f := across(axis)
	first := uint32(len(b.vertices))
	for i := range n + 1 {
		sin, cos := math.Sincos(2*math.Pi*float64(i)/float64(n) + math.Pi/4)
		out := e.Scale(cos).Add(f.Scale(sin))
		b.vertex(p.AddScaled(r0, out), out, 0, 0, c)
		b.vertex(q.AddScaled(r1, out), out, 0, 0, c)
	}
	for i := range uint32(n) {
		k := first + 2*i
		b.indices = append(b.indices, k, k+2, k+3, k, k+3, k+1)
	}
	if r1 > 0 {
		b.disc(q, axis, r1, n, c, c)
	}
	if r0 > 0 {
		b.disc(p, axis.Neg(), r0, n, c, c)
	}
}

// across returns two unit ways square to axis and to each other.
func across(axis vec) (e, f vec) {
	e = vec{Z: 1}.Cross(axis)
	if math.Abs(axis.Z) > 0.9 {
		e = vec{X: 1}.Sub(axis.Scale(axis.X))
	}
	e = e.Unit(vec{X: 1})
	return e, axis.Cross(e)
}

// disc is a round face seen from where axis points, from a colour in the middle
// to one at the rim.
func (b *builder) disc(at, axis vec, radius float64, n int, middle, rim paint.Color) {
	e, f := across(axis)
	first := b.vertex(at, axis, 0, 0, middle)
	for i := range n + 1 {
		sin, cos := math.Sincos(2*math.Pi*float64(i)/float64(n) + math.Pi/4)
		b.vertex(at.AddScaled(radius*cos, e).AddScaled(radius*sin, f), axis, 0, 0, rim)
	}
	for i := range uint32(n) {
		b.indices = append(b.indices, first, first+1+i, first+2+i)
	}
}

// ring is a flat ring seen from where axis points.
func (b *builder) ring(at, axis vec, r0, r1 float64, n int, c0, c1 paint.Color) {
	e, f := across(axis)
	first := uint32(len(b.vertices))
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out := e.Scale(cos).Add(f.Scale(sin))
		b.vertex(at.AddScaled(r0, out), axis, 0, 0, c0)
		b.vertex(at.AddScaled(r1, out), axis, 0, 0, c1)
	}
	for i := range uint32(n) {
		k := first + 2*i
		b.indices = append(b.indices, k, k+1, k+3, k, k+3, k+2)
	}
}

// hoop is a bent tube: a ring with a thickness.
func (b *builder) hoop(at, axis vec, radius, thick float64, n int, c paint.Color) {
	e, f := across(axis)
	const sides = 5
	first := uint32(len(b.vertices))
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out := e.Scale(cos).Add(f.Scale(sin))
		for j := range sides + 1 {
			s, k := math.Sincos(2 * math.Pi * float64(j) / sides)
			way := out.Scale(k).AddScaled(s, axis)
			b.vertex(at.AddScaled(radius, out).AddScaled(thick, way), way, 0, 0, c)
		}
	}
	for i := range uint32(n) {
		for j := range uint32(sides) {
			k := first + i*(sides+1) + j
			b.indices = append(b.indices, k, k+sides+1, k+sides+2, k, k+sides+2, k+1)
		}
	}
}

// ball is a rounded body with its own half-axes, darker below.
func (b *builder) ball(at, half vec, rings, n int, top, low paint.Color) {
	first := uint32(len(b.vertices))
	for j := range rings + 1 {
		sinV, cosV := math.Sincos(math.Pi * (float64(j)/float64(rings) - 0.5))
		for i := range n + 1 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			out := vec{X: cosV * cos, Y: cosV * sin, Z: sinV}
			p := at.Add(vec{X: half.X * out.X, Y: half.Y * out.Y, Z: half.Z * out.Z})
			b.vertex(p, out, 0, 0, low.Mix(top, 0.5+0.5*sinV))
		}
	}
	row := uint32(n + 1)
	for j := range uint32(rings) {
		for i := range uint32(n) {
			k := first + j*row + i
			b.indices = append(b.indices, k, k+1, k+row+1, k, k+row+1, k+row)
		}
	}
}

// leaf is a pointed leaf from its stalk along way, bent down at the tip, seen
// from both sides.
func (b *builder) leaf(stalk, way vec, wide float64, c, tip paint.Color) {
	side := way.Cross(vec{Z: 1}).Unit(vec{X: 1}).Scale(wide / 2)
	middle := stalk.AddScaled(0.5, way)
	end := stalk.Add(way).Add(vec{Z: -0.25 * way.Norm()})
	n := side.Cross(way).Unit(vec{Z: 1})
	if n.Z < 0 {
		n = n.Neg()
	}
	first := b.vertex(stalk, n, 0, 0, c)
	b.vertex(middle.Add(side), n, 0, 0, c)
	b.vertex(end, n, 0, 0, tip)
	b.vertex(middle.Sub(side), n, 0, 0, c)
	b.indices = append(b.indices, first, first+1, first+2, first, first+2, first+3)
}
