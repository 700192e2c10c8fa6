package paint

import (
	"strings"

	"github.com/go-gl/gl/v4.1-core/gl"
)

// Point is a place on a canvas in points, from the upper left corner, y down.
type Point struct{ X, Y float64 }

// Rect is a box on a canvas in points.
type Rect struct{ X, Y, W, H float64 }

// Right is the right border.
func (r Rect) Right() float64 { return r.X + r.W }

// Bottom is the lower border.
func (r Rect) Bottom() float64 { return r.Y + r.H }

// Inset returns r smaller by d on each side.
func (r Rect) Inset(d float64) Rect { return Rect{r.X + d, r.Y + d, r.W - 2*d, r.H - 2*d} }

// Holds tells whether p lies in r.
func (r Rect) Holds(p Point) bool {
	return p.X >= r.X && p.X < r.Right() && p.Y >= r.Y && p.Y < r.Bottom()
}

// corner is a vertex of the canvas.
type corner struct {
	X, Y  float32 // px
	U, V  float32 // share of the atlas
	Color Color
}

// Canvas collects flat shapes and words and draws them in order. Lengths are in
// points; a point has scale pixels.
type Canvas struct {
	program  *Program
	pictures *Program
	mesh     *Mesh
	atlas    *Atlas
	corners  []corner
	indices  []uint32

	width, height int // px
	scale         float64
}

const canvasVertex = `
layout(location=0) in vec2 place;
layout(location=1) in vec2 glyph;
layout(location=2) in vec4 color;
uniform vec2 size;
out vec2 uv;
out vec4 tint;
void main() {
	uv = glyph;
	tint = color;
	gl_Position = vec4(2.0*place.x/size.x - 1.0, 1.0 - 2.0*place.y/size.y, 0.0, 1.0);
}`

const canvasFragment = `
in vec2 uv;
in vec4 tint;
uniform sampler2D atlas;
out vec4 color;
void main() { color = vec4(tint.rgb, tint.a*texture(atlas, uv).r); }`

const pictureFragment = `
in vec2 uv;
in vec4 tint;
uniform sampler2D atlas;
out vec4 color;
uniform float grey;
void main() {
	vec3 seen = texture(atlas, uv).rgb;
	color = vec4(tint.rgb*mix(seen, vec3(dot(seen, vec3(0.21, 0.72, 0.07))), grey), tint.a);
}`

// NewCanvas makes a canvas.
func NewCanvas() (*Canvas, error) {
	p, err := NewProgram(canvasVertex, canvasFragment)
	if err != nil {
		return nil, err
	}
	pictures, err := NewProgram(canvasVertex, pictureFragment)
	if err != nil {
		return nil, err
	}
	a, err := NewAtlas()
	if err != nil {
		return nil, err
	}
	mesh := NewMesh(Attribute{Count: 2}, Attribute{Count: 2}, Attribute{Count: 4, Bytes: true})
	return &Canvas{program: p, pictures: pictures, mesh: mesh, atlas: a, scale: 1}, nil
}

// Begin starts a picture of width × height pixels; scale is pixels a point, the
// screen's times the person's choice.
func (c *Canvas) Begin(width, height int, scale float64) {
	c.width, c.height, c.scale = width, height, scale
	c.corners, c.indices = c.corners[:0], c.indices[:0]
	if c.atlas.full {
		c.atlas.empty()
	}
}

// Size is the canvas in points.
func (c *Canvas) Size() Rect {
	return Rect{W: float64(c.width) / c.scale, H: float64(c.height) / c.scale}
}

// End draws what was collected.
func (c *Canvas) End() { c.flush(c.program, c.atlas.bind) }

func (c *Canvas) flush(p *Program, bind func()) {
	if len(c.indices) > 0 {
		gl.Viewport(0, 0, int32(c.width), int32(c.height))
		gl.Disable(gl.DEPTH_TEST)
		gl.Disable(gl.CULL_FACE)
		gl.Enable(gl.BLEND)
		gl.BlendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA)
		p.Use()
		p.Vec2("size", float32(c.width), float32(c.height))
		p.Int("atlas", 0)
		bind()
		Fill(c.mesh, c.corners, c.indices, true)
		c.mesh.Draw()
	}
	c.corners, c.indices = c.corners[:0], c.indices[:0]
}

// Picture draws a texture, such as a Target's, into r; its first row is the
// lowest. grey takes its colour away, 0 … 1.
func (c *Canvas) Picture(r Rect, texture uint32, grey float64) {
	c.End()
	c.pictures.Use()
	c.pictures.Float("grey", float32(grey))
	base := uint32(0)
	x0, y0, x1, y1 := float32(r.X*c.scale), float32(r.Y*c.scale), float32(r.Right()*c.scale), float32(r.Bottom()*c.scale)
	c.corners = append(c.corners, corner{x0, y0, 0, 1, White}, corner{x1, y0, 1, 1, White}, corner{x1, y1, 1, 0, White}, corner{x0, y1, 0, 0, White})
	c.indices = append(c.indices, base, base+1, base+2, base, base+2, base+3)
	c.flush(c.pictures, func() {
		gl.ActiveTexture(gl.TEXTURE0)
		gl.BindTexture(gl.TEXTURE_2D, texture)
	})
}

// Style is how words are written.
type Style struct {
	Face  Face
	Size  float64 // points, height of the letters' body
	Color Color
}

func (c *Canvas) pixels(s Style) int { return max(int(s.Size*c.scale+0.5), 6) }

// Text writes s with its base line at p and returns where the pen stands after.
func (c *Canvas) Text(p Point, s Style, text string) Point {
	size := c.pixels(s)
	x, y := whole(p.X*c.scale), whole(p.Y*c.scale)
	for _, r := range text {
		g := c.atlas.glyph(s.Face, size, r)
		c.stamp(x, y, g, s.Color)
		x += g.advance
	}
	return Point{x / c.scale, p.Y}
}

// TextRight writes s so that it ends at p.
func (c *Canvas) TextRight(p Point, s Style, text string) {
	c.Text(Point{p.X - c.Measure(s, text), p.Y}, s, text)
}

// TextMiddle writes s centred at p.
func (c *Canvas) TextMiddle(p Point, s Style, text string) {
	c.Text(Point{p.X - c.Measure(s, text)/2, p.Y}, s, text)
}

// Measure is the width of text in points.
func (c *Canvas) Measure(s Style, text string) float64 {
	return c.atlas.width(s.Face, c.pixels(s), text) / c.scale
}

// Paragraph writes text in lines of at most r.W, the first base line one size
// below r.Y, and returns the height used.
func (c *Canvas) Paragraph(r Rect, s Style, text string) float64 {
	lines := c.Wrap(r.W, s, text)
	for i, line := range lines {
		c.Text(Point{r.X, r.Y + s.Size + float64(i)*s.Size*lineHeight}, s, line)
	}
	return float64(len(lines)) * s.Size * lineHeight
}

// lineHeight is the distance of two base lines in sizes.
const lineHeight = 1.35

// Wrap breaks text into lines of at most width points.
func (c *Canvas) Wrap(width float64, s Style, text string) (lines []string) {
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimLeft(line+" "+word, " ")
		if line != "" && c.Measure(s, longer) > width {
			lines = append(lines, line)
			longer = word
		}
		line = longer
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func (c *Canvas) stamp(x, y float64, g glyph, color Color) {
	if g.w == 0 {
		return
	}
	x, y = whole(x)+float64(g.dx), y+float64(g.dy)
	base := uint32(len(c.corners))
	for _, k := range [4][2]int{{0, 0}, {g.w, 0}, {g.w, g.h}, {0, g.h}} {
		c.corners = append(c.corners, corner{
			X: float32(x + float64(k[0])), Y: float32(y + float64(k[1])),
			U: float32(g.u+k[0]) / atlasSize, V: float32(g.v+k[1]) / atlasSize, Color: color,
		})
	}
	c.indices = append(c.indices, base, base+1, base+2, base, base+2, base+3)
}
