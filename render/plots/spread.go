package plots

import (
	"fmt"
	"image/color"
	"io"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Spread draws how paired differences are distributed, with zero, what is too
// little to matter on either side of it, and their mean. format is "svg" or "png".
func Spread(to io.Writer, title, label string, differences []float64, mean, tolerance float64, format string) error {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, label, "pairs"
	bars, tallest := counted(differences, min(40, max(5, len(differences)/5)))
	p.Add(bars, upright(0, tallest, false), upright(-tolerance, tallest, true), upright(tolerance, tallest, true))
	mark(p, mean, tallest, "mean")
	return drawn(to, p, format)
}

// counted sorts differences into so many even bins. The plotter's own way can fail
// by rounding at the greatest value.
func counted(differences []float64, n int) (h *plotter.Histogram, tallest float64) {
	lo, hi := slices.Min(differences), slices.Max(differences)
	if lo == hi {
		lo, hi = lo-0.5, hi+0.5
	}
	h = &plotter.Histogram{Width: (hi - lo) / float64(n), FillColor: blue}
	for i := range n {
		h.Bins = append(h.Bins, plotter.HistogramBin{Min: lo + float64(i)*h.Width, Max: lo + float64(i+1)*h.Width})
	}
	for _, d := range differences {
		bin := &h.Bins[min(n-1, int((d-lo)/h.Width))]
		bin.Weight++
		tallest = max(tallest, bin.Weight)
	}
	return h, tallest
}

// upright is a line at x, dashed where it only marks a range.
func upright(x, height float64, dashed bool) *plotter.Line {
	line, err := plotter.NewLine(plotter.XYs{{X: x, Y: 0}, {X: x, Y: height}})
	if err != nil {
		panic("plots: " + err.Error()) // two finite points always make a line
	}
	line.Color, line.Width = color.Black, vg.Points(1)
	if dashed {
		line.Dashes = []vg.Length{vg.Points(4), vg.Points(3)}
	}
	return line
}

// Field is a value at each place of a grid: Z[row][column] at X[column], Y[row].
// NaN is a place without one.
type Field struct {
	Title, XLabel, YLabel string
	X, Y                  []float64
	Z                     [][]float64 // 0 … 1
}

// grid is the field as the plotter takes it.
func (f *Field) grid() fieldGrid { return fieldGrid{f} }

type fieldGrid struct{ of *Field }

func (g fieldGrid) Dims() (c, r int)   { return len(g.of.X), len(g.of.Y) }
func (g fieldGrid) X(c int) float64    { return g.of.X[c] }
func (g fieldGrid) Y(r int) float64    { return g.of.Y[r] }
func (g fieldGrid) Z(c, r int) float64 { return g.of.Z[r][c] }

// blues are the shades of a heat map, from blue to white: they differ in lightness,
// which every colour vision and a black-and-white print keep.
type blues struct{}

// Colors implements palette.Palette.
func (blues) Colors() []color.Color {
	all := make([]color.Color, 33)
	for i := range all {
		share := 0.4 + 0.6*float64(i)/32 // light enough for black figures
		mix := func(c uint8) uint8 { return uint8(float64(c) + share*float64(255-c)) }
		all[i] = color.RGBA{mix(blue.R), mix(blue.G), mix(blue.B), 255}
	}
	return all
}

// Heat draws a field as a heat map, dark for 0 and light for 1, with the figure in
// each place, so that it can be read without its colours.
func Heat(to io.Writer, f *Field, format string) error {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = f.Title, f.XLabel, f.YLabel
	shades := plotter.NewHeatMap(f.grid(), blues{})
	shades.Min, shades.Max = 0, 1
	p.Add(shades)
	words, err := plotter.NewLabels(figures(f))
	if err != nil {
		return fmt.Errorf("plots: %w", err)
	}
	for i := range words.TextStyle {
		words.TextStyle[i].XAlign, words.TextStyle[i].YAlign = draw.XCenter, draw.YCenter
	}
	p.Add(words)
	return drawn(to, p, format)
}

func figures(f *Field) (l plotter.XYLabels) {
	for r, y := range f.Y {
		for c, x := range f.X {
			if z := f.Z[r][c]; z == z {
				l.XYs = append(l.XYs, plotter.XY{X: x, Y: y})
				l.Labels = append(l.Labels, fmt.Sprintf("%.0f", 100*z))
			}
		}
	}
	return l
}

func drawn(to io.Writer, p *plot.Plot, format string) error {
	canvas, err := canvasFor(format)
	if err != nil {
		return err
	}
	p.Draw(draw.New(canvas))
	_, err = canvas.WriteTo(to)
	return err
}
