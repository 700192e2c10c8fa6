package paint

import (
	"image"
	"image/draw"
	"math"

	"github.com/go-gl/gl/v4.1-core/gl"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// Face is a style of writing.
type Face uint8

// The faces: the Go fonts (B. Fuller, C. Bigelow, K. Holmes, 2016).
const (
	Regular Face = iota
	Bold
	Mono
	faces
)

// atlasSize is the side of the glyphs' texture; about a thousand glyphs of 20 px.
const atlasSize = 1024

// glyph is one letter in the atlas.
type glyph struct {
	u, v, w, h int     // px, its box in the atlas
	dx, dy     int     // px, from the pen to the box's upper left corner
	advance    float64 // px
}

type glyphKey struct {
	face Face
	size int // px
	r    rune
}

// Atlas holds letters as they are first needed, each once for each face and
// size. It starts anew when it is full.
type Atlas struct {
	texture uint32
	pixels  *image.Alpha
	fonts   [faces]*opentype.Font
	faces   map[glyphKey]font.Face // by face and size, r is 0
	glyphs  map[glyphKey]glyph
	x, y    int // px, where the next glyph goes
	row     int // px, height of the row so far
	fresh   bool
	full    bool
}

// white is the corner of the atlas that is opaque, for shapes without letters.
const white = 4 // px

// NewAtlas makes an empty atlas.
func NewAtlas() (*Atlas, error) {
	a := &Atlas{faces: map[glyphKey]font.Face{}}
	for i, data := range [faces][]byte{goregular.TTF, gobold.TTF, gomono.TTF} {
		f, err := opentype.Parse(data)
		if err != nil {
			return nil, err
		}
		a.fonts[i] = f
	}
	gl.GenTextures(1, &a.texture)
	gl.BindTexture(gl.TEXTURE_2D, a.texture)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR)
	gl.TexParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR)
	a.empty()
	return a, nil
}

func (a *Atlas) empty() {
	a.pixels = image.NewAlpha(image.Rect(0, 0, atlasSize, atlasSize))
	a.glyphs = map[glyphKey]glyph{}
	draw.Draw(a.pixels, image.Rect(0, 0, white, white), image.Opaque, image.Point{}, draw.Src)
	a.x, a.y, a.row, a.fresh, a.full = white+1, 0, white+1, true, false
}

func (a *Atlas) face(f Face, size int) font.Face {
	key := glyphKey{face: f, size: size}
	if face, known := a.faces[key]; known {
		return face
	}
	face, err := opentype.NewFace(a.fonts[f], &opentype.FaceOptions{Size: float64(size), DPI: 72, Hinting: font.HintingVertical})
	if err != nil {
		panic("paint: " + err.Error())
	}
	a.faces[key] = face
	return face
}

// glyph returns the letter, drawing it into the atlas where it is new.
func (a *Atlas) glyph(f Face, size int, r rune) glyph {
	key := glyphKey{f, size, r}
	if g, known := a.glyphs[key]; known {
		return g
	}
	dr, mask, maskAt, advance, ok := a.face(f, size).Glyph(fixed.Point26_6{}, r)
	if !ok {
		return glyph{advance: float64(size) / 2}
	}
	g := glyph{w: dr.Dx(), h: dr.Dy(), dx: dr.Min.X, dy: dr.Min.Y, advance: float64(advance) / 64}
	if a.x+g.w+1 > atlasSize {
		a.x, a.y, a.row = 0, a.y+a.row, 0
	}
	if a.y+g.h+1 > atlasSize {
		a.full = true
		return glyph{advance: g.advance}
	}
	g.u, g.v = a.x, a.y
	draw.Draw(a.pixels, image.Rect(g.u, g.v, g.u+g.w, g.v+g.h), mask, maskAt, draw.Src)
	a.x += g.w + 1
	a.row = max(a.row, g.h+1)
	a.glyphs[key] = g
	a.fresh = true
	return g
}

// bind makes the atlas the current texture, sent anew where letters were added.
func (a *Atlas) bind() {
	gl.ActiveTexture(gl.TEXTURE0)
	gl.BindTexture(gl.TEXTURE_2D, a.texture)
	if a.fresh {
		gl.PixelStorei(gl.UNPACK_ALIGNMENT, 1)
		gl.TexImage2D(gl.TEXTURE_2D, 0, gl.R8, atlasSize, atlasSize, 0, gl.RED, gl.UNSIGNED_BYTE, gl.Ptr(a.pixels.Pix))
		a.fresh = false
	}
}

// width is how far the pen moves over s.
func (a *Atlas) width(f Face, size int, s string) float64 {
	x := 0.0
	for _, r := range s {
		x += a.glyph(f, size, r).advance
	}
	return x
}

// whole rounds to a whole pixel, so that letters stay sharp.
func whole(x float64) float64 { return math.Floor(x + 0.5) }
