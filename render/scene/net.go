package scene

import "lapwing/dynamics"

// netPitch is the side of a mesh: wider than a real net's, so that it is seen
// as a net from across the room.
const netPitch = 0.10 // m

// netFace is one side of the net, drawn only from inside it.
type netFace struct {
	corner, u, v vec // u × v points inwards
}

// netFaces lists the sides and the top.
func netFaces(p *dynamics.Place) []netFace {
	lo, hi := p.NetMin, p.NetMax
	d := hi.Sub(lo)
	x, y, z := vec{X: d.X}, vec{Y: d.Y}, vec{Z: d.Z}
	return []netFace{
		{lo, y, z}, {vec{X: hi.X, Y: lo.Y, Z: lo.Z}, z, y},
		{lo, z, x}, {vec{X: lo.X, Y: hi.Y, Z: lo.Z}, x, z},
		{vec{X: lo.X, Y: lo.Y, Z: hi.Z}, y, x},
	}
}

// net hangs the net's faces, or wires under the roof where there is no net.
func (b *builder) net(p *dynamics.Place) {
	if !p.HasNet {
		b.tile, b.grain = 0.5, grain{joint: 0.012}
		d := p.Max.Sub(p.Min)
		b.patch(vec{X: p.Min.X, Y: p.Min.Y, Z: p.Max.Z}, vec{Y: d.Y}, vec{X: d.X}, 2*lightCell, steel.Alpha(0.8))
		b.grain = grain{}
		return
	}
	b.tile, b.grain = netPitch, grain{joint: 0.024}
	for _, f := range netFaces(p) {
		b.patch(f.corner, f.u, f.v, 2*lightCell, netGreen.Alpha(0.42))
	}
	b.grain = grain{}
}

// ropes are the net's edges, with the poles that carry it.
func (b *builder) ropes(p *dynamics.Place) {
	if !p.HasNet {
		return
	}
	lo, hi := p.NetMin, p.NetMax
	at := func(i, j, k int) vec {
		pick := func(n int, a, z float64) float64 {
			if n == 0 {
				return a
			}
			return z
		}
		return vec{X: pick(i, lo.X, hi.X), Y: pick(j, lo.Y, hi.Y), Z: pick(k, lo.Z, hi.Z)}
	}
	for _, k := range [...]int{0, 1} {
		b.beam(at(0, 0, k), at(1, 0, k), 0.03, rope)
		b.beam(at(0, 1, k), at(1, 1, k), 0.03, rope)
		b.beam(at(0, 0, k), at(0, 1, k), 0.03, rope)
		b.beam(at(1, 0, k), at(1, 1, k), 0.03, rope)
		for _, j := range [...]int{0, 1} {
			b.beam(at(k, j, 0), at(k, j, 1), 0.045, rope)
		}
	}
}
