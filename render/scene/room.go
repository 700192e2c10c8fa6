package scene

import (
	"math"

	"lapwing/dynamics"
	"lapwing/render/paint"
)

// What stands in the room follows from the room file alone. Solid things are
// drawn within the boxes that the craft can hit, so what is seen is what is hit.

const (
	sill      = 0.6  // m, top of the low wall under the glass
	barEvery  = 1.0  // m between glazing bars: a measure for the eye
	barWide   = 0.05 // m
	slabSide  = 0.5  // m, of the floor's slabs: another
	lightCell = 1.0  // m, over which light from lamps varies on large faces
)

// floor lays slabs of half a metre from wall to wall.
func (b *builder) floor(p *dynamics.Place) {
	d := p.Max.Sub(p.Min)
	b.tile, b.grain = slabSide, grain{joint: 0.018, dark: 0.42, tint: 0.20, speck: 0.26}
	b.patch(vec{X: p.Min.X, Y: p.Min.Y}, vec{X: d.X}, vec{Y: d.Y}, lightCell, slab)
	b.grain = grain{}
}

// lowWall builds the wall under the glass, both faces and the sill.
func (b *builder) lowWall(p *dynamics.Place) {
	const thick = 0.12
	lo, hi := p.Min, p.Max
	b.tile, b.grain = 0.3, grain{joint: 0.02, dark: 0.22, tint: 0.16, speck: 0.18}
	up := vec{Z: sill}
	x, y := vec{X: hi.X - lo.X}, vec{Y: hi.Y - lo.Y}
	b.patch(lo, up, x, lightCell, block)
	b.patch(vec{X: lo.X, Y: hi.Y}, x, up, lightCell, block)
	b.patch(lo, y, up, lightCell, block)
	b.patch(vec{X: hi.X, Y: lo.Y}, up, y, lightCell, block)
	b.light = outside
	out := vec{X: thick, Y: thick}
	b.patch(lo.Sub(out), x, up, 0, block)
	b.patch(vec{X: lo.X - thick, Y: hi.Y + thick}, up, x, 0, block)
	b.patch(lo.Sub(out), up, y, 0, block)
	b.patch(vec{X: hi.X + thick, Y: lo.Y - thick}, y, up, 0, block)
	b.light, b.grain = inside, grain{}
	top := vec{Z: sill + 0.04}
	at := func(x0, y0, x1, y1 float64) { b.box(vec{X: x0, Y: y0, Z: sill}, vec{X: x1, Y: y1}.Add(top), bar) }
	at(lo.X-thick-0.02, lo.Y-thick-0.02, hi.X+thick+0.02, lo.Y+0.02)
	at(lo.X-thick-0.02, hi.Y-0.02, hi.X+thick+0.02, hi.Y+thick+0.02)
	at(lo.X-thick-0.02, lo.Y+0.02, lo.X+0.02, hi.Y-0.02)
	at(hi.X-0.02, lo.Y+0.02, hi.X+thick+0.02, hi.Y-0.02)
}

// bars puts up the glazing bars of the four walls.
func (b *builder) bars(p *dynamics.Place) {
	lo, hi := p.Min, p.Max
	wide := func(k, n int) float64 {
		if k%4 == 0 || k == n {
			return 2 * barWide
		}
		return barWide
	}
	nx, ny := cells(hi.X-lo.X, barEvery), cells(hi.Y-lo.Y, barEvery)
	for k := range nx + 1 {
		x := lo.X + (hi.X-lo.X)*float64(k)/float64(nx)
		b.post(x, lo.Y-0.04, hi.Z, wide(k, nx))
		b.post(x, hi.Y+0.04, hi.Z, wide(k, nx))
	}
	for k := 1; k < ny; k++ {
		y := lo.Y + (hi.Y-lo.Y)*float64(k)/float64(ny)
		b.post(lo.X-0.04, y, hi.Z, wide(k, ny))
		b.post(hi.X+0.04, y, hi.Z, wide(k, ny))
	}
	transom := sill + 0.62*(hi.Z-sill)
	for _, z := range [...]float64{transom, hi.Z} {
		half := barWide / 2
		if z == hi.Z {
			half = barWide
		}
		b.box(vec{X: lo.X, Y: lo.Y - 0.04 - half, Z: z - half}, vec{X: hi.X, Y: lo.Y - 0.04 + half, Z: z + half}, bar)
		b.box(vec{X: lo.X, Y: hi.Y + 0.04 - half, Z: z - half}, vec{X: hi.X, Y: hi.Y + 0.04 + half, Z: z + half}, bar)
		b.box(vec{X: lo.X - 0.04 - half, Y: lo.Y, Z: z - half}, vec{X: lo.X - 0.04 + half, Y: hi.Y, Z: z + half}, bar)
		b.box(vec{X: hi.X + 0.04 - half, Y: lo.Y, Z: z - half}, vec{X: hi.X + 0.04 + half, Y: hi.Y, Z: z + half}, bar)
	}
}

func (b *builder) post(x, y, top, wide float64) {
	h := wide / 2
	b.box(vec{X: x - h, Y: y - h, Z: sill}, vec{X: x + h, Y: y + h, Z: top}, bar)
}

// roof sets rafters, purlins and a ridge on the walls.
func (b *builder) roof(p *dynamics.Place) {
	lo, hi := p.Min, p.Max
	rise := min(0.22*(hi.Y-lo.Y), 1.6)
	middle := (lo.Y + hi.Y) / 2
	n := cells(hi.X-lo.X, barEvery)
	for k := range n + 1 {
		x := lo.X + (hi.X-lo.X)*float64(k)/float64(n)
		wide := barWide
		if k%4 == 0 || k == n {
			wide = 1.8 * barWide
		}
		top := vec{X: x, Y: middle, Z: hi.Z + rise}
		b.beam(vec{X: x, Y: lo.Y, Z: hi.Z}, top, wide, bar)
		b.beam(vec{X: x, Y: hi.Y, Z: hi.Z}, top, wide, bar)
	}
	for _, s := range [...]float64{-0.5, 0, 0.5} {
		y, z := middle+s*(hi.Y-lo.Y)/2, hi.Z+rise*(1-math.Abs(s))
		b.beam(vec{X: lo.X, Y: y, Z: z}, vec{X: hi.X, Y: y, Z: z}, 1.4*barWide, bar)
	}
}

// shelfFor fills a solid box: a bench with plants where it is low, a rack of
// shelves where it is high. All stays within the box.
func (b *builder) shelfFor(box *dynamics.Box, seed uint64) {
	lo, hi := box.Min, box.Max
	height := hi.Z - lo.Z
	levels := []float64{lo.Z + max(height-0.38, 0.4*height)}
	if height > 1.2 {
		levels = nil
		for k := range int(height / 0.52) {
			levels = append(levels, lo.Z+0.1+0.52*float64(k))
		}
	}
	post := 0.05
	for _, at := range [4][2]float64{{lo.X, lo.Y}, {hi.X - post, lo.Y}, {lo.X, hi.Y - post}, {hi.X - post, hi.Y - post}} {
		top := levels[len(levels)-1]
		if height > 1.2 {
			top = hi.Z
		}
		b.box(vec{X: at[0], Y: at[1], Z: lo.Z}, vec{X: at[0] + post, Y: at[1] + post, Z: top}, wood)
	}
	for k, z := range levels {
		above := hi.Z
		if k+1 < len(levels) {
			above = levels[k+1] - 0.05
		}
		b.board(vec{X: lo.X, Y: lo.Y, Z: z - 0.05}, vec{X: hi.X, Y: hi.Y, Z: z})
		b.fill(vec{X: lo.X, Y: lo.Y, Z: z}, vec{X: hi.X, Y: hi.Y, Z: above}, seed+uint64(k))
	}
}

// board is a shelf of slats.
func (b *builder) board(lo, hi vec) {
	b.box(lo, hi, wood)
	along := hi.X-lo.X > hi.Y-lo.Y
	const n = 5
	for k := range n {
		a, z := float64(k)/n, (float64(k)+0.8)/n
		l, h := lo, hi
		l.Z, h.Z = hi.Z, hi.Z+0.006
		if along {
			l.Y, h.Y = lo.Y+a*(hi.Y-lo.Y), lo.Y+z*(hi.Y-lo.Y)
		} else {
			l.X, h.X = lo.X+a*(hi.X-lo.X), lo.X+z*(hi.X-lo.X)
		}
		b.patch(vec{X: l.X, Y: l.Y, Z: h.Z}, vec{X: h.X - l.X}, vec{Y: h.Y - l.Y}, lightCell, slat)
	}
}

// fill sets pots with plants into a space.
func (b *builder) fill(lo, hi vec, seed uint64) {
	d := hi.Sub(lo)
	pitch := min(0.30, 1.1*d.Z)
	if d.X*d.Y > 4 { // a long bench: larger plants, fewer to draw
		pitch = 0.45
	}
	nx, ny := max(1, int(d.X/pitch+0.05)), max(1, int(d.Y/pitch+0.05))
	for i := range nx {
		for j := range ny {
			at := vec{X: lo.X + d.X*(float64(i)+0.5)/float64(nx), Y: lo.Y + d.Y*(float64(j)+0.5)/float64(ny), Z: lo.Z}
			reach := min(d.X/float64(nx), d.Y/float64(ny)) / 2
			b.plant(at, reach, d.Z, seed*977+uint64(i*31+j))
		}
	}
}

// corners is what darkens floor where walls and boxes stand on it.
func (b *builder) corners(p *dynamics.Place) {
	const reach, dark = 0.5, 0.26
	lo, hi := p.Min, p.Max
	b.skirt(vec{X: lo.X, Y: lo.Y}, vec{X: hi.X, Y: lo.Y}, vec{Y: reach}, -1, dark)
	b.skirt(vec{X: hi.X, Y: hi.Y}, vec{X: lo.X, Y: hi.Y}, vec{Y: -reach}, -1, dark)
	b.skirt(vec{X: lo.X, Y: hi.Y}, vec{X: lo.X, Y: lo.Y}, vec{X: reach}, -1, dark)
	b.skirt(vec{X: hi.X, Y: lo.Y}, vec{X: hi.X, Y: hi.Y}, vec{X: -reach}, -1, dark)
	for i := range p.BoxCount {
		l, h := p.Boxes[i].Min, p.Boxes[i].Max
		if l.Z > 0.05 {
			continue
		}
		const r = 0.3
		a, c, d, e := vec{X: l.X, Y: l.Y}, vec{X: h.X, Y: l.Y}, vec{X: h.X, Y: h.Y}, vec{X: l.X, Y: h.Y}
		b.quad([4]vec{lifted(a), lifted(c), lifted(d), lifted(e)}, same(paint.Black.Alpha(0.32)))
		b.skirt(c, a, vec{Y: -r}, 1, 0.32)
		b.skirt(e, d, vec{Y: r}, 1, 0.32)
		b.skirt(a, e, vec{X: -r}, 1, 0.32)
		b.skirt(d, c, vec{X: r}, 1, 0.32)
	}
}

// skirt is a strip on the floor from p to q that fades along out and widens
// (spread 1) or narrows (−1) with it; p × q and out give a face seen from above.
func (b *builder) skirt(p, q, out vec, spread, dark float64) {
	d, none := paint.Black.Alpha(dark), paint.Black.Alpha(0)
	along := q.Sub(p).Unit(vec{X: 1}).Scale(spread * out.Norm())
	b.quad([4]vec{lifted(p), lifted(q), lifted(q.Add(out).Add(along)), lifted(p.Add(out).Sub(along))}, [4]paint.Color{d, d, none, none})
}

// lifted is p a hair above the floor, so that what lies on it is seen.
func lifted(p vec) vec { return p.Add(vec{Z: 0.004}) }

// takeOff paints the mark: a ring with a leaf that points along x, the way the
// craft's nose stands.
func (b *builder) takeOff(at vec, radius float64) {
	up := vec{Z: 1}
	at = at.Add(vec{Z: 0.008})
	b.disc(at, up, radius, 40, path, path)
	at.Z += 0.003
	b.ring(at, up, 0.86*radius, radius, 40, markWhite, markWhite)
	at.Z += 0.003
	tip, root := at.Add(vec{X: 0.78 * radius}), at.Add(vec{X: -0.62 * radius})
	belly := at.Add(vec{X: -0.18 * radius})
	side := vec{Y: 0.30 * radius}
	b.quad([4]vec{root, belly.Sub(side), tip, belly.Add(side)}, same(leafDark))
}
