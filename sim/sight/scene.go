package sight

import (
	"errors"
	"fmt"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Bounds of a scene.
const (
	MaxLandmarks = 1024
	MaxLamps     = 8
	MaxLevels    = 4
)

// Face is one side of the room, or of all boxes.
type Face int

// The faces.
const (
	FaceFloor Face = iota
	FaceCeiling
	FaceXMin // wall at the least x
	FaceXMax
	FaceYMin
	FaceYMax
	FaceBoxes
	Faces
)

// Texture is what a camera can hold on to on a surface.
type Texture struct {
	Density  float64 // landmarks per m², ≥ 0; blank glass has none
	Contrast float64 // 0 … 1, of the typical landmark
}

// Lamp is a lamp or a window: a light of its own place whose level changes over
// time, piecewise linear between its levels, constant before and after them.
type Lamp struct {
	PosW     Vec3    // m
	Strength float64 // light at 1 m, facing it; 1 is enough to work by
	Count    int     // levels used, 0: always 1
	At       [MaxLevels]float64
	Level    [MaxLevels]float64 // 0 … 1 at that time (s)
}

// Decor is what a room looks like.
type Decor struct {
	Texture   [Faces]Texture
	Ambient   float64 // light everywhere that no lamp gives, ≥ 0
	Lamps     [MaxLamps]Lamp
	LampCount int
}

// Vec3 is a vector of the room.
type Vec3 = kernel.Vec3

// Landmark is a point that a camera can tell again.
type Landmark struct {
	PosW     Vec3              // m
	NormalW  Vec3              // unit, out of the surface
	Contrast float64           // 0 … 1
	Light    [MaxLamps]float32 // from each lamp at level 1
}

// Scene is what there is to be seen. It never changes in a run.
type Scene struct {
	Landmarks [MaxLandmarks]Landmark
	Count     int
	Boxes     [dynamics.MaxBoxes]dynamics.Box
	BoxCount  int
	Decor     Decor
	Thinned   float64 // share of the landmarks asked for that found room, 0 … 1
}

// RichDecor returns a well-lit room with texture on every side.
func RichDecor() Decor {
	d := Decor{Ambient: 1}
	for i := range d.Texture {
		d.Texture[i] = Texture{Density: 6, Contrast: 0.7}
	}
	return d
}

// Validate reports every value outside its range.
func (d *Decor) Validate() error {
	var errs []error
	check := func(ok bool, format string, args ...any) {
		if !ok {
			errs = append(errs, fmt.Errorf(format, args...))
		}
	}
	for i, t := range d.Texture {
		check(t.Density >= 0 && kernel.IsFinite(t.Density), "Texture[%d].Density is %g, must be 0 or more", i, t.Density)
		check(t.Contrast >= 0 && t.Contrast <= 1, "Texture[%d].Contrast is %g, must be 0 … 1", i, t.Contrast)
	}
	check(d.Ambient >= 0 && kernel.IsFinite(d.Ambient), "Ambient is %g, must be 0 or more", d.Ambient)
	check(d.LampCount >= 0 && d.LampCount <= MaxLamps, "LampCount is %d, must be 0 … %d", d.LampCount, MaxLamps)
	for i := range min(max(d.LampCount, 0), MaxLamps) {
		l := &d.Lamps[i]
		check(l.PosW.Finite() && l.Strength >= 0 && kernel.IsFinite(l.Strength), "Lamps[%d] needs a place and a strength of 0 or more", i)
		check(l.Count >= 0 && l.Count <= MaxLevels, "Lamps[%d].Count is %d, must be 0 … %d", i, l.Count, MaxLevels)
		for k := 1; k < min(max(l.Count, 0), MaxLevels); k++ {
			check(l.At[k] > l.At[k-1], "Lamps[%d].At[%d] must be after the one before", i, k)
		}
	}
	return errors.Join(errs...)
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
)

// Draw fills scene with the landmarks of a place by seed. They stand in random
// order, so the first n are a fair choice of all.
func Draw(scene *Scene, place *dynamics.Place, decor *Decor, seed uint64) {
	*scene = Scene{Decor: *decor, Boxes: place.Boxes, BoxCount: place.BoxCount, Thinned: 1}
	var rects [6 + 6*dynamics.MaxBoxes]rect
	n := surfaces(place, decor, &rects)
	want := 0.0
	for i := range n {
		want += float64(rects[i].area * rects[i].texture.Density)
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
	return l
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

// surfaces lists the flat surfaces of a place.
func surfaces(place *dynamics.Place, decor *Decor, out *[6 + 6*dynamics.MaxBoxes]rect) (n int) {
	add := func(lo, hi Vec3, face int, outward float64, t Texture) {
		r := side(lo, hi, face, outward)
		r.texture = t
		out[n] = r
		n++
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
			add(box.Min, box.Max, i, 1, decor.Texture[FaceBoxes])
		}
	}
	return n
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

// levels works out each lamp's level at time t (s).
func (d *Decor) levels(t float64, out *[MaxLamps]float64) {
	for i := range d.LampCount {
		out[i] = d.Lamps[i].level(t)
	}
}

func (l *Lamp) level(t float64) float64 {
	if l.Count == 0 {
		return 1
	}
	if t <= l.At[0] {
		return l.Level[0]
	}
	for k := 1; k < l.Count; k++ {
		if t < l.At[k] {
			share := (t - l.At[k-1]) / (l.At[k] - l.At[k-1])
			return l.Level[k-1] + float64(share*(l.Level[k]-l.Level[k-1]))
		}
	}
	return l.Level[l.Count-1]
}

// hidden tells whether a box stands between a and b. The last centimetre
// before b is left out, so that a box does not hide its own face.
func (s *Scene) hidden(a, b Vec3) bool {
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
