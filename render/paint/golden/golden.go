// Package golden compares pictures with those that were looked at and kept.
//
// It stands apart because scene, strip and pages all need it and it needs no
// OpenGL. Drivers differ in edges and in the last digit of a colour, so pictures
// are not compared byte for byte but as an eye would from a little further away:
//
//  1. the picture is halved in both directions, and so it is kept
//  2. both pictures are averaged over blocks of 4 × 4 of those pixels
//  3. the blocks' colours are compared in Oklab, where equal distances look
//     about equal (B. Ottosson, A perceptual color space for image processing,
//     2020, from memory): the mean over all blocks, and the share of blocks that
//     clearly differ
package golden

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// Limits within which two pictures are taken for the same. A just noticeable
// difference is about 0.02 in Oklab (from memory). A judgement: drivers stay
// below a third of these, a thing that is missing or moved goes beyond.
const (
	MeanMost  = 0.008 // mean distance of the blocks
	ClearFrom = 0.05  // distance from which a block clearly differs
	ShareMost = 0.01  // share of blocks that may
)

// Folder is where pictures are kept, seen from a package two folders down.
const Folder = "../../testdata/pictures"

// Check compares img with the picture kept in folder under name. With
// LAPWING_KEEP=1 it keeps img instead; with LAPWING_PICTURES=FOLDER it also
// writes img there in full.
func Check(t testing.TB, folder, name string, img *image.RGBA) {
	t.Helper()
	if dir := os.Getenv("LAPWING_PICTURES"); dir != "" {
		write(t, filepath.Join(dir, name+".png"), img)
	}
	half := Halved(img)
	path := filepath.Join(folder, name+".png")
	if os.Getenv("LAPWING_KEEP") == "1" {
		write(t, path, half)
		return
	}
	kept, err := read(path)
	if err != nil {
		t.Errorf("no kept picture: %v; look at the new one, then keep it with LAPWING_KEEP=1", err)
		return
	}
	mean, share, err := Compare(kept, half)
	if err != nil || mean > MeanMost || share > ShareMost {
		other := filepath.Join(os.TempDir(), name+"-now.png")
		write(t, other, half)
		t.Errorf("%s looks different: mean %.4f (at most %.4f), %.2f %% of blocks clearly (at most %.0f %%) %v; now: %s",
			name, mean, MeanMost, 100*share, 100*ShareMost, err, other)
	}
}

// Halved returns img at half its width and height.
func Halved(img *image.RGBA) *image.RGBA {
	w, h := img.Rect.Dx()/2, img.Rect.Dy()/2
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := mean(img, 2*x, 2*y, 2)
			out.SetRGBA(x, y, color.RGBA{uint8(c[0] + 0.5), uint8(c[1] + 0.5), uint8(c[2] + 0.5), 255})
		}
	}
	return out
}

// mean is the mean colour of a square.
func mean(img *image.RGBA, x0, y0, side int) (c [3]float64) {
	for y := y0; y < y0+side; y++ {
		for x := x0; x < x0+side; x++ {
			p := img.PixOffset(x, y)
			for i := range c {
				c[i] += float64(img.Pix[p+i]) / float64(side*side)
			}
		}
	}
	return c
}

// Compare returns the mean distance of blocks and the share of those that
// clearly differ.
func Compare(a, b *image.RGBA) (average, share float64, err error) {
	if a.Rect != b.Rect {
		return 1, 1, fmt.Errorf("sizes %v and %v", a.Rect.Size(), b.Rect.Size())
	}
	const side = 4
	blocks := 0.0
	for y := 0; y+side <= a.Rect.Dy(); y += side {
		for x := 0; x+side <= a.Rect.Dx(); x += side {
			d := distance(oklab(mean(a, x, y, side)), oklab(mean(b, x, y, side)))
			average += d
			if d > ClearFrom {
				share++
			}
			blocks++
		}
	}
	return average / blocks, share / blocks, nil
}

func distance(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// oklab turns sRGB of 0 … 255 into Oklab (Ottosson 2020, from memory).
func oklab(c [3]float64) [3]float64 {
	var r [3]float64
	for i, x := range c { // IEC 61966-2-1
		x /= 255
		if x <= 0.04045 {
			r[i] = x / 12.92
		} else {
			r[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	l := math.Cbrt(0.4122214708*r[0] + 0.5363325363*r[1] + 0.0514459929*r[2])
	m := math.Cbrt(0.2119034982*r[0] + 0.6806995451*r[1] + 0.1073969566*r[2])
	s := math.Cbrt(0.0883024619*r[0] + 0.2817188376*r[1] + 0.6299787005*r[2])
	return [3]float64{
		0.2104542553*l + 0.7936177850*m - 0.0040720468*s,
		1.9779984951*l - 2.4285922050*m + 0.4505937099*s,
		0.0259040371*l + 0.7827717662*m - 0.8086757660*s,
	}
}

func read(path string) (*image.RGBA, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	out := image.NewRGBA(img.Bounds())
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			out.Set(x, y, img.At(x, y))
		}
	}
	return out, nil
}

func write(t testing.TB, path string, img image.Image) {
	t.Helper()
	err := os.MkdirAll(filepath.Dir(path), 0o755)
	var f *os.File
	if err == nil {
		f, err = os.Create(path)
	}
	if err == nil {
		err = png.Encode(f, img)
	}
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		t.Errorf("%s: %v", path, err)
	}
}
