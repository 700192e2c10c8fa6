package golden

import (
	"image"
	"image/color"
	"image/draw"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestOklab: goal: the colour space is the published one. Method: white is
// (1, 0, 0) and black (0, 0, 0) by definition; red's values are those of
// Ottosson's table, from memory: 0.628, 0.225, 0.126.
func TestOklab(t *testing.T) {
	for _, c := range []struct {
		name     string
		in, want [3]float64
		tol      float64
	}{
		{"white", [3]float64{255, 255, 255}, [3]float64{1, 0, 0}, 1e-4},
		{"black", [3]float64{0, 0, 0}, [3]float64{0, 0, 0}, 1e-12},
		{"red", [3]float64{255, 0, 0}, [3]float64{0.628, 0.225, 0.126}, 1e-3},
	} {
		got := oklab(c.in)
		for i := range got {
			assert.InDelta(t, c.want[i], got[i], c.tol, "%s %d", c.name, i)
		}
	}
}

// TestWhatIsTheSame: goal: what drivers differ in passes, what a person would
// miss does not. Method: a picture with edges, shifted by a fifth of a pixel and
// by one step of colour; and with a thing of 5 % of its width taken away.
func TestWhatIsTheSame(t *testing.T) {
	edges := func(shift float64, step uint8, thing bool) *image.RGBA {
		img := image.NewRGBA(image.Rect(0, 0, 320, 160))
		for y := range 160 {
			for x := range 320 {
				k := 0.5 + 0.5*math.Tanh(4*math.Sin((float64(x)+shift)/9))
				v := uint8(60+120*k) + step
				img.SetRGBA(x, y, color.RGBA{v, v / 2, 255 - v, 255})
			}
		}
		if thing {
			draw.Draw(img, image.Rect(100, 60, 116, 100), image.NewUniform(color.RGBA{250, 240, 60, 255}), image.Point{}, draw.Src)
		}
		return img
	}
	mean, share, err := Compare(edges(0, 0, true), edges(0.2, 1, true))
	require.NoError(t, err)
	assert.Less(t, mean, MeanMost)
	assert.LessOrEqual(t, share, ShareMost)
	_, share, err = Compare(edges(0, 0, true), edges(0, 0, false))
	require.NoError(t, err)
	assert.Greater(t, share, ShareMost)
	_, _, err = Compare(edges(0, 0, true), image.NewRGBA(image.Rect(0, 0, 4, 4)))
	assert.Error(t, err)
}
