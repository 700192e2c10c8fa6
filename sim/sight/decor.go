package sight

import (
	"errors"
	"fmt"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Face is one side of the room.
type Face int

// The faces.
const (
	FaceFloor Face = iota
	FaceCeiling
	FaceXMin // wall at the least x
	FaceXMax
	FaceYMin
	FaceYMax
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
	Texture    [Faces]Texture
	BoxTexture [dynamics.MaxBoxes]Texture // of each box's sides
	Ambient    float64                    // light everywhere that no lamp gives, ≥ 0
	Lamps      [MaxLamps]Lamp
	LampCount  int
	Leaves     [MaxLeaves]Leaves
	LeafCount  int
}

// Leaves is a patch that moves in the wind: what stands on surfaces within it
// swings to and fro together, each point some way behind or ahead of the others.
type Leaves struct {
	Min, Max Vec3    // m, of the patch, room axes
	SwayW    Vec3    // m, how far it swings to one side
	Period   float64 // s, > 0
}

// at returns where a point stands off its middle at time t (s); behind is its
// share of the spread of phases, −1 … 1.
func (l *Leaves) at(t, behind float64) Vec3 {
	const turn, spread = 6.283185307179586, 0.8 // rad; the spread is a judgement
	phase := float64(turn*(t/l.Period)) + float64(spread*behind)
	return l.SwayW.Scale(kernel.Sin(phase))
}

// PlainTexture returns that of a surface of which nothing is said: rich.
func PlainTexture() Texture { return Texture{Density: 6, Contrast: 0.7} }

// RichDecor returns a well-lit room with texture on every side.
func RichDecor() Decor {
	d := Decor{Ambient: 1}
	for i := range d.Texture {
		d.Texture[i] = PlainTexture()
	}
	for i := range d.BoxTexture {
		d.BoxTexture[i] = PlainTexture()
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
	texture := func(name string, i int, t Texture) {
		check(t.Density >= 0 && kernel.IsFinite(t.Density), "%s[%d].Density is %g, must be 0 or more", name, i, t.Density)
		check(t.Contrast >= 0 && t.Contrast <= 1, "%s[%d].Contrast is %g, must be 0 … 1", name, i, t.Contrast)
	}
	for i, t := range d.Texture {
		texture("Texture", i, t)
	}
	for i, t := range d.BoxTexture {
		texture("BoxTexture", i, t)
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
	check(d.LeafCount >= 0 && d.LeafCount <= MaxLeaves, "LeafCount is %d, must be 0 … %d", d.LeafCount, MaxLeaves)
	for i := range min(max(d.LeafCount, 0), MaxLeaves) {
		l := &d.Leaves[i]
		check(l.Period > 0 && kernel.IsFinite(l.Period), "Leaves[%d].Period is %g, must be above 0", i, l.Period)
		check(l.Min.Finite() && l.Max.Finite() && l.SwayW.Finite(), "Leaves[%d] needs a finite patch and sway", i)
	}
	return errors.Join(errs...)
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
