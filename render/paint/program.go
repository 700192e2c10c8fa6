// Package paint draws with OpenGL 4.1 core: programs, meshes, pictures off the
// screen, and a flat canvas of shapes and words.
//
// It stands apart because it knows OpenGL and nothing of Lapwing. The way of the
// data in a frame:
//
//  1. a Program and a Mesh draw what has depth                 (program.go, mesh.go)
//  2. a Canvas collects shapes and words as triangles and draws
//     them at once                                             (canvas.go, shape.go)
//  3. words come from an Atlas of glyphs of the Go fonts       (atlas.go)
//  4. a Target takes all of it where no window is              (target.go)
//
// It needs a current context and belongs to that context's thread.
package paint

import (
	"fmt"
	"strings"

	"github.com/go-gl/gl/v4.1-core/gl"
)

// Program is a linked pair of shaders.
type Program struct {
	id     uint32
	places map[string]int32
}

// NewProgram compiles and links. The error carries the driver's log.
func NewProgram(vertex, fragment string) (*Program, error) {
	v, err := compile(gl.VERTEX_SHADER, vertex)
	if err != nil {
		return nil, err
	}
	f, err := compile(gl.FRAGMENT_SHADER, fragment)
	if err != nil {
		return nil, err
	}
	id := gl.CreateProgram()
	gl.AttachShader(id, v)
	gl.AttachShader(id, f)
	gl.LinkProgram(id)
	gl.DeleteShader(v)
	gl.DeleteShader(f)
	var ok int32
	gl.GetProgramiv(id, gl.LINK_STATUS, &ok)
	if ok == gl.FALSE {
		return nil, fmt.Errorf("paint: link: %s", log(id, gl.GetProgramiv, gl.GetProgramInfoLog))
	}
	return &Program{id: id, places: map[string]int32{}}, nil
}

func compile(kind uint32, source string) (uint32, error) {
	id := gl.CreateShader(kind)
	text, free := gl.Strs("#version 410 core\n" + source + "\x00")
	gl.ShaderSource(id, 1, text, nil)
	free()
	gl.CompileShader(id)
	var ok int32
	gl.GetShaderiv(id, gl.COMPILE_STATUS, &ok)
	if ok == gl.FALSE {
		return 0, fmt.Errorf("paint: compile: %s", log(id, gl.GetShaderiv, gl.GetShaderInfoLog))
	}
	return id, nil
}

func log(id uint32, get func(uint32, uint32, *int32), read func(uint32, int32, *int32, *uint8)) string {
	var n int32
	get(id, gl.INFO_LOG_LENGTH, &n)
	text := strings.Repeat("\x00", int(n)+1)
	read(id, n, nil, gl.Str(text))
	return strings.TrimRight(text, "\x00\n")
}

// Use makes p current.
func (p *Program) Use() { gl.UseProgram(p.id) }

func (p *Program) place(name string) int32 {
	at, known := p.places[name]
	if !known {
		at = gl.GetUniformLocation(p.id, gl.Str(name+"\x00"))
		p.places[name] = at
	}
	return at
}

// Matrix sets a mat4; m is row by row. p must be current, as for all setters.
func (p *Program) Matrix(name string, m *Mat4) { gl.UniformMatrix4fv(p.place(name), 1, true, &m[0]) }

// Float sets a float.
func (p *Program) Float(name string, x float32) { gl.Uniform1f(p.place(name), x) }

// Int sets an int or a sampler's unit.
func (p *Program) Int(name string, x int32) { gl.Uniform1i(p.place(name), x) }

// Vec2 sets a vec2.
func (p *Program) Vec2(name string, x, y float32) { gl.Uniform2f(p.place(name), x, y) }

// Vec3 sets a vec3.
func (p *Program) Vec3(name string, x, y, z float32) { gl.Uniform3f(p.place(name), x, y, z) }

// Vec4s sets an array of vec4.
func (p *Program) Vec4s(name string, v [][4]float32) {
	if len(v) > 0 {
		gl.Uniform4fv(p.place(name), int32(len(v)), &v[0][0])
	}
}
