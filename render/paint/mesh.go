package paint

import (
	"unsafe"

	"github.com/go-gl/gl/v4.1-core/gl"
)

// Attribute is one input of a vertex shader, in the order of its locations.
type Attribute struct {
	Count int  // 1 … 4 components
	Bytes bool // unsigned bytes read as 0 … 1, else floats
}

func (a Attribute) size() int {
	if a.Bytes {
		return a.Count
	}
	return 4 * a.Count
}

// Mesh is triangles on the graphics side.
type Mesh struct {
	array, vertices, indices uint32
	count                    int32 // indices to draw
}

// NewMesh makes an empty mesh of that layout; vertices stand packed.
func NewMesh(layout ...Attribute) *Mesh {
	m := &Mesh{}
	gl.GenVertexArrays(1, &m.array)
	gl.GenBuffers(1, &m.vertices)
	gl.GenBuffers(1, &m.indices)
	gl.BindVertexArray(m.array)
	gl.BindBuffer(gl.ARRAY_BUFFER, m.vertices)
	gl.BindBuffer(gl.ELEMENT_ARRAY_BUFFER, m.indices)
	stride := 0
	for _, a := range layout {
		stride += a.size()
	}
	at := 0
	for i, a := range layout {
		kind, normal := uint32(gl.FLOAT), false
		if a.Bytes {
			kind, normal = gl.UNSIGNED_BYTE, true
		}
		gl.EnableVertexAttribArray(uint32(i))
		gl.VertexAttribPointerWithOffset(uint32(i), int32(a.Count), kind, normal, int32(stride), uintptr(at))
		at += a.size()
	}
	return m
}

// Fill replaces what m holds. V is a struct laid out as NewMesh was told.
// changing says that it is filled anew each frame.
func Fill[V any](m *Mesh, vertices []V, indices []uint32, changing bool) {
	m.count = int32(len(indices))
	if m.count == 0 {
		return
	}
	use := uint32(gl.STATIC_DRAW)
	if changing {
		use = gl.STREAM_DRAW
	}
	gl.BindVertexArray(m.array)
	gl.BindBuffer(gl.ARRAY_BUFFER, m.vertices)
	gl.BufferData(gl.ARRAY_BUFFER, len(vertices)*int(unsafe.Sizeof(vertices[0])), gl.Ptr(vertices), use)
	gl.BufferData(gl.ELEMENT_ARRAY_BUFFER, 4*len(indices), gl.Ptr(indices), use)
}

// Draw draws all of m with the current program.
func (m *Mesh) Draw() {
	if m.count > 0 {
		gl.BindVertexArray(m.array)
		gl.DrawElementsWithOffset(gl.TRIANGLES, m.count, gl.UNSIGNED_INT, 0)
	}
}

// DrawPart draws count indices of m from the first on with the current program.
func (m *Mesh) DrawPart(first, count int) {
	if count > 0 {
		gl.BindVertexArray(m.array)
		gl.DrawElementsWithOffset(gl.TRIANGLES, int32(count), gl.UNSIGNED_INT, uintptr(4*first))
	}
}

// Release gives m's memory back.
func (m *Mesh) Release() {
	gl.DeleteVertexArrays(1, &m.array)
	gl.DeleteBuffers(1, &m.vertices)
	gl.DeleteBuffers(1, &m.indices)
}
