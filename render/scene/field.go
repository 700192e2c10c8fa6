package scene

import (
	"cmp"
	"math"
	"slices"

	"lapwing/render/paint"
)

// field is a large mesh in patches, of which only those in the picture are
// drawn.
type field struct {
	mesh    *paint.Mesh
	patches []patch
}

// patch is a part of the triangles with the box that holds them.
type patch struct {
	first, count int
	lo, hi       [3]float32
}

// patchSide is the side of a patch, as seen from above.
const patchSide = 5.0 // m

// newField builds a mesh in patches.
func newField(build func(b *builder)) *field {
	var b builder
	build(&b)
	f := &field{mesh: paint.NewMesh(layout...), patches: b.patches()}
	paint.Fill(f.mesh, b.vertices, b.indices, false)
	return f
}

// patches sorts b's triangles by where they are and returns the patches.
func (b *builder) patches() (patches []patch) {
	triangles := make([][3]uint32, 0, len(b.indices)/3)
	for i := 0; i < len(b.indices); i += 3 {
		triangles = append(triangles, [3]uint32(b.indices[i:i+3]))
	}
	cell := func(t [3]uint32) int {
		v := &b.vertices[t[0]]
		i, j := math.Floor(float64(v.at[0])/patchSide), math.Floor(float64(v.at[1])/patchSide)
		return int(i)*1000 + int(j)
	}
	slices.SortStableFunc(triangles, func(s, t [3]uint32) int { return cmp.Compare(cell(s), cell(t)) })
	indices := b.indices[:0]
	last := math.MinInt
	for _, t := range triangles {
		if here := cell(t); here != last {
			last = here
			patches = append(patches, patch{first: len(indices), lo: b.vertices[t[0]].at, hi: b.vertices[t[0]].at})
		}
		p := &patches[len(patches)-1]
		p.count += 3
		for _, k := range t {
			for i, x := range b.vertices[k].at {
				p.lo[i], p.hi[i] = min(p.lo[i], x), max(p.hi[i], x)
			}
		}
		indices = append(indices, t[:]...)
	}
	return patches
}

// draw draws what of f is in the picture of view with the current program.
// Patches in a row are drawn at once.
func (f *field) draw(view *paint.Mat4) {
	first, count := 0, 0
	for i := range f.patches {
		p := &f.patches[i]
		if !p.inPicture(view) {
			continue
		}
		if first+count != p.first {
			f.mesh.DrawPart(first, count)
			first, count = p.first, 0
		}
		count += p.count
	}
	f.mesh.DrawPart(first, count)
}

// inPicture tells whether any of the patch's box can be seen: not if all its
// corners lie beyond the same border.
func (p *patch) inPicture(view *paint.Mat4) bool {
	var beyond [5]int
	for k := range 8 {
		at := p.lo
		for i := range at {
			if k>>i&1 == 1 {
				at[i] = p.hi[i]
			}
		}
		c := view.Apply(at[0], at[1], at[2])
		for i, out := range [5]bool{c[0] < -c[3], c[0] > c[3], c[1] < -c[3], c[1] > c[3], c[2] < -c[3]} {
			if out {
				beyond[i]++
			}
		}
	}
	return !slices.Contains(beyond[:], 8)
}

func (f *field) release() { f.mesh.Release() }
