package paint_test

import (
	"fmt"
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/paint"
	"lapwing/render/window/hidden"
)

// drawn returns what draw paints on a black canvas of 200 × 100 pixels.
func drawn(t *testing.T, samples int, scale float64, draw func(c *paint.Canvas)) *image.RGBA {
	t.Helper()
	hidden.Open(t, 200, 100)
	c, err := paint.NewCanvas()
	require.NoError(t, err)
	target, err := paint.NewTarget(200, 100, samples)
	require.NoError(t, err)
	target.Begin()
	c.Begin(200, 100, scale)
	c.Rect(c.Size().Inset(-1), paint.Black)
	draw(c)
	c.End()
	target.End()
	return target.Image()
}

// TestShapesStandWhereTheyShould: goal: points are counted from the upper left,
// a point has scale pixels, edges are exact. Method: single pixels in and beside
// shapes, with one and more samples.
func TestShapesStandWhereTheyShould(t *testing.T) {
	for _, samples := range []int{1, 4} {
		t.Run(fmt.Sprint(samples), func(t *testing.T) {
			img := drawn(t, samples, 2, func(c *paint.Canvas) {
				c.Rect(paint.Rect{X: 10, Y: 5, W: 20, H: 10}, paint.RGB(0x204060))
				c.Disc(paint.Point{X: 70, Y: 25}, 10, paint.White)
			})
			want := color.RGBA{0x20, 0x40, 0x60, 255}
			assert.Equal(t, want, img.RGBAAt(22, 12))
			assert.Equal(t, want, img.RGBAAt(57, 27))
			assert.Equal(t, color.RGBA{A: 255}, img.RGBAAt(18, 12))
			assert.Equal(t, color.RGBA{A: 255}, img.RGBAAt(62, 12))
			assert.Equal(t, color.RGBA{255, 255, 255, 255}, img.RGBAAt(140, 50))
			assert.Equal(t, color.RGBA{A: 255}, img.RGBAAt(140, 74))
		})
	}
}

// TestWords: goal: words are written on their base line and are as wide as
// measured. Method: the box of all that is not black.
func TestWords(t *testing.T) {
	style := paint.Style{Size: 20, Color: paint.White}
	var measured float64
	img := drawn(t, 1, 1, func(c *paint.Canvas) {
		measured = c.Measure(style, "HELLO")
		c.Text(paint.Point{X: 10, Y: 50}, style, "HELLO")
	})
	box := image.Rectangle{}
	for y := range 100 {
		for x := range 200 {
			if img.RGBAAt(x, y).R > 100 {
				box = box.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	assert.InDelta(t, 50, box.Max.Y, 1.1, "base line")
	assert.InDelta(t, measured, box.Dx(), 5, "width")
	assert.InDelta(t, 14, box.Dy(), 3, "capitals of the Go fonts are about 0.7 of the size")
}

// TestWrap: goal: no line is wider than asked, no word is lost.
func TestWrap(t *testing.T) {
	hidden.Open(t, 200, 100)
	c, err := paint.NewCanvas()
	require.NoError(t, err)
	c.Begin(200, 100, 1)
	style := paint.Style{Size: 14, Color: paint.White}
	text := "Put the throttle to the hover mark and select attitude before you lean"
	lines := c.Wrap(120, style, text)
	joined := ""
	for _, line := range lines {
		assert.LessOrEqual(t, c.Measure(style, line), 120.0)
		joined += line + " "
	}
	assert.Equal(t, text+" ", joined)
}

// TestFaultyShader: goal: the driver's words reach the person. Method: a shader
// that is none.
func TestFaultyShader(t *testing.T) {
	hidden.Open(t, 200, 100)
	_, err := paint.NewProgram("void main() { nonsense }", "void main() {}")
	assert.ErrorContains(t, err, "paint: compile: ")
	assert.Greater(t, len(err.Error()), 25)
}
