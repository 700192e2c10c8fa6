package sight

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Bounds of a scene.
const (
	MaxLandmarks = 2048
	MaxLamps     = 8
	MaxLevels    = 4
	MaxLeaves    = 2
)

// Vec3 is a vector of the room.
type Vec3 = kernel.Vec3

// Landmark is a point that a camera can tell again.
type Landmark struct {
	PosW     Vec3              // m
	NormalW  Vec3              // unit, out of the surface
	Contrast float64           // 0 … 1
	Light    [MaxLamps]float32 // from each lamp at level 1
	Leaves   int32             // 1 + the patch of leaves on which it moves, 0 for none
	Behind   float32           // −1 … 1, of its swing there
}

// Scene is what there is to be seen. It never changes in a run.
type Scene struct {
	Landmarks [MaxLandmarks]Landmark
	Count     int
	Boxes     [dynamics.MaxBoxes]dynamics.Box
	BoxCount  int
	People    [dynamics.MaxPeople]dynamics.Box // as they stand at the start
	Persons   int
	Decor     Decor
	Thinned   float64 // share of the landmarks asked for that found room, 0 … 1
}

// rect is one flat surface: a corner and two sides.
type rect struct {
	corner, a, b, normal Vec3
	area                 float64
	texture              Texture
}

var (
	whichSurface  = kernel.NewStream("sight landmark surface")
	whereOnIt     = kernel.NewStream("sight landmark place")
	whichContrast = kernel.NewStream("sight landmark contrast")
	whichSwing    = kernel.NewStream("sight landmark swing")
)

// Draw fills scene with the landmarks of a place by seed. They stand in random
// order, so the first n are a fair choice of all.
func Draw(scene *Scene, place *dynamics.Place, decor *Decor, seed uint64) {
	*scene = Scene{Decor: *decor, Boxes: place.Boxes, BoxCount: place.BoxCount, Thinned: 1}
	var rects [6 + 6*dynamics.MaxBoxes]rect
	n, want := surfaces(place, decor, &rects)
	scene.Persons = place.PersonCount
	for i := range place.PersonCount {
		scene.People[i] = figure(&place.People[i])
	}
	scene.Count = int(want + 0.5)
	if scene.Count > MaxLandmarks {
		scene.Thinned = MaxLandmarks / want
		scene.Count = MaxLandmarks
	}
	for k := range scene.Count {
		scene.Landmarks[k] = landmark(rects[:n], want, decor, seed, uint64(k))
	}
}

// Asked returns how many landmarks decor asks for in a place.
func Asked(place *dynamics.Place, decor *Decor) float64 {
	var rects [6 + 6*dynamics.MaxBoxes]rect
	_, want := surfaces(place, decor, &rects)
	return want
}

// figure returns the box that stands for a person.
func figure(p *dynamics.Person) dynamics.Box {
	side := Vec3{X: p.Radius, Y: p.Radius}
	return dynamics.Box{Min: p.PosW.Sub(side), Max: p.PosW.Add(side).Add(Vec3{Z: p.Height})}
}

// landmark draws one: its surface by area and density, its place evenly there.
func landmark(rects []rect, want float64, decor *Decor, seed, k uint64) Landmark {
	left := want * kernel.Uniform(seed, whichSurface, 0, k)
	i := 0
	for ; i < len(rects)-1; i++ {
		left -= float64(rects[i].area * rects[i].texture.Density)
		if left < 0 {
			break
		}
	}
	r := &rects[i]
	l := Landmark{NormalW: r.normal}
	u, v := kernel.Uniform(seed, whereOnIt, 0, 2*k), kernel.Uniform(seed, whereOnIt, 0, 2*k+1)
	l.PosW = r.corner.AddScaled(u, r.a).AddScaled(v, r.b)
	l.Contrast = min(1, r.texture.Contrast*(0.6+float64(0.8*kernel.Uniform(seed, whichContrast, 0, k))))
	for j := range decor.LampCount {
		l.Light[j] = float32(lightFrom(&decor.Lamps[j], &l))
	}
	for j := range decor.LeafCount {
		if patch := &decor.Leaves[j]; within(patch, l.PosW) {
			l.Leaves = int32(j + 1)
			l.Behind = float32(float64(2*kernel.Uniform(seed, whichSwing, 0, k)) - 1)
		}
	}
	return l
}

func within(l *Leaves, p Vec3) bool {
	return p.X >= l.Min.X && p.X <= l.Max.X && p.Y >= l.Min.Y && p.Y <= l.Max.Y && p.Z >= l.Min.Z && p.Z <= l.Max.Z
}

// lightFrom is Lambert's cosine law with the inverse square of the distance,
// held at that of 0.5 m; half of it reaches faces turned away, off the walls
// (a judgement).
func lightFrom(lamp *Lamp, l *Landmark) float64 {
	d := lamp.PosW.Sub(l.PosW)
	sq := max(d.NormSq(), 0.25)
	facing := max(d.Unit(l.NormalW).Dot(l.NormalW), 0)
	return lamp.Strength * (0.5 + float64(0.5*facing)) / sq
}

// surfaces lists the flat surfaces of a place and sums the landmarks asked for.
func surfaces(place *dynamics.Place, decor *Decor, out *[6 + 6*dynamics.MaxBoxes]rect) (n int, want float64) {
	add := func(lo, hi Vec3, face int, outward float64, t Texture) {
		r := side(lo, hi, face, outward)
		r.texture = t
		out[n] = r
		n++
		want += float64(r.area * t.Density)
	}
	walls := [...]Face{FaceXMin, FaceXMax, FaceYMin, FaceYMax, FaceFloor, FaceCeiling}
	for i, face := range walls {
		add(place.Min, place.Max, i, -1, decor.Texture[face])
	}
	for b := range place.BoxCount {
		box := &place.Boxes[b]
		for i := range 6 {
			if i == 4 && box.Min.Z <= place.Min.Z {
				continue // stands on the floor
			}
			add(box.Min, box.Max, i, 1, decor.BoxTexture[b])
		}
	}
	return n, want
}

// side returns a face of a box: 0 and 1 at its least and greatest x, 2 and 3 at
// y, 4 and 5 at z. outward is +1 for a solid, −1 for a room.
func side(lo, hi Vec3, face int, outward float64) rect {
	d := hi.Sub(lo)
	ex, ey, ez := Vec3{X: d.X}, Vec3{Y: d.Y}, Vec3{Z: d.Z}
	r := rect{corner: lo}
	switch face / 2 {
	case 0:
		r.a, r.b, r.area, r.normal = ey, ez, d.Y*d.Z, Vec3{X: outward}
	case 1:
		r.a, r.b, r.area, r.normal = ex, ez, d.X*d.Z, Vec3{Y: outward}
	default:
		r.a, r.b, r.area, r.normal = ex, ey, d.X*d.Y, Vec3{Z: outward}
	}
	if face%2 == 1 {
		r.corner = hi.Sub(r.a).Sub(r.b)
		return r
	}
	r.normal = r.normal.Neg()
	return r
}

// hidden tells whether a box stands between a and b, or a person; the first of
// them has walked by moved. The last centimetre before b is left out, so that a
// box does not hide its own face.
func (s *Scene) hidden(a, b Vec3, moved *Vec3) bool {
	d := b.Sub(a)
	length := d.Norm()
	if length < 0.01 {
		return false
	}
	reach := 1 - 0.01/length
	for i := range s.BoxCount {
		if crosses(&s.Boxes[i], a, d, reach) {
			return true
		}
	}
	for i := range s.Persons {
		from := a
		if i == 0 {
			from = a.Sub(*moved)
		}
		if crosses(&s.People[i], from, d, reach) {
			return true
		}
	}
	return false
}

// crosses tells whether a + k·d, 0 < k < reach, meets the box, by its slabs.
func crosses(box *dynamics.Box, a, d Vec3, reach float64) bool {
	lo, hi := 0.0, reach
	return slab(a.X, d.X, box.Min.X, box.Max.X, &lo, &hi) &&
		slab(a.Y, d.Y, box.Min.Y, box.Max.Y, &lo, &hi) &&
		slab(a.Z, d.Z, box.Min.Z, box.Max.Z, &lo, &hi)
}

func slab(a, d, low, high float64, lo, hi *float64) bool {
	if d == 0 {
		return a > low && a < high
	}
	k0, k1 := (low-a)/d, (high-a)/d
	if k0 > k1 {
		k0, k1 = k1, k0
	}
	*lo, *hi = max(*lo, k0), min(*hi, k1)
	return *lo < *hi
}
