// Package plots draws figures for reports: SVG for pages, PNG for papers. It
// needs no window.
package plots

import (
	"fmt"
	"io"
	"math"
	"math/cmplx"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"lapwing/sim/margins"
)

// Size of a figure.
const (
	width  = 18 * vg.Centimeter
	height = 13 * vg.Centimeter
)

// Bode draws one loop: gain in decibels over phase in degrees, with crossover
// and margins marked. format is "svg" or "png".
func Bode(to io.Writer, title string, s *margins.Studied, format string) error {
	gain, phase, err := bodePlots(title, s)
	if err != nil {
		return err
	}
	canvas, err := canvasFor(format)
	if err != nil {
		return err
	}
	tiles := draw.Tiles{Rows: 2, Cols: 1, PadX: vg.Millimeter, PadY: 3 * vg.Millimeter, PadTop: 2 * vg.Millimeter,
		PadBottom: 2 * vg.Millimeter, PadLeft: 2 * vg.Millimeter, PadRight: 5 * vg.Millimeter}
	aligned := plot.Align([][]*plot.Plot{{gain}, {phase}}, tiles, draw.New(canvas))
	gain.Draw(aligned[0][0])
	phase.Draw(aligned[1][0])
	_, err = canvas.WriteTo(to)
	return err
}

// figure is a canvas that can be written.
type figure interface {
	vg.CanvasSizer
	io.WriterTo
}

func canvasFor(format string) (figure, error) {
	switch format {
	case "svg":
		return vgsvg.New(width, height), nil
	case "png":
		return vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(width, height), vgimg.UseDPI(150))}, nil
	}
	return nil, fmt.Errorf("plots: %q is no format: svg and png are", format)
}

func bodePlots(title string, s *margins.Studied) (gain, phase *plot.Plot, err error) {
	m := &s.Margins
	gain, phase = axes(title, "gain (dB)"), axes("", "phase (°)")
	phase.X.Label.Text = "frequency (rad/s)"
	angles := margins.Phases(s.Samples)
	db, deg := make(plotter.XYs, len(s.Samples)), make(plotter.XYs, len(s.Samples))
	for i, x := range s.Samples {
		db[i] = plotter.XY{X: x.W, Y: 20 * math.Log10(cmplx.Abs(x.L))}
		deg[i] = plotter.XY{X: x.W, Y: angles[i] * 180 / math.Pi}
	}
	for _, part := range []struct {
		on    *plot.Plot
		line  plotter.XYs
		level float64
	}{{gain, db, 0}, {phase, deg, -180}} {
		curve, err := plotter.NewLine(part.line)
		if err != nil {
			return nil, nil, err
		}
		curve.Width, curve.Color = vg.Points(1.5), blue
		part.on.Add(plotter.NewGrid(), level(part.line, part.level), curve)
	}
	if !math.IsNaN(m.Crossover) {
		mark(gain, m.Crossover, 0, fmt.Sprintf("crosses at %.3g rad/s", m.Crossover))
		mark(phase, m.Crossover, m.Phase*180/math.Pi-180, fmt.Sprintf("%.0f° to spare, or %.0f ms", m.Phase*180/math.Pi, 1000*m.Delay))
	}
	if !math.IsNaN(m.PhaseW) {
		mark(gain, m.PhaseW, -20*math.Log10(m.Gain), fmt.Sprintf("%.1f dB to spare", 20*math.Log10(m.Gain)))
	}
	return gain, phase, nil
}

func axes(title, label string) *plot.Plot {
	p := plot.New()
	p.Title.Text, p.Y.Label.Text = title, label
	p.X.Scale, p.X.Tick.Marker = plot.LogScale{}, plot.LogTicks{Prec: -1}
	return p
}

// level is a dashed line across a plot.
func level(along plotter.XYs, y float64) *plotter.Line {
	line, err := plotter.NewLine(plotter.XYs{{X: along[0].X, Y: y}, {X: along[len(along)-1].X, Y: y}})
	if err != nil {
		panic("plots: " + err.Error()) // two finite points always make a line
	}
	line.Dashes, line.Color = []vg.Length{vg.Points(4), vg.Points(3)}, grey
	return line
}

// mark puts a point and a word at a place of a plot.
func mark(p *plot.Plot, x, y float64, says string) {
	at := plotter.XYs{{X: x, Y: y}}
	dot, err := plotter.NewScatter(at)
	if err != nil {
		return // a place that is not finite has no mark
	}
	dot.Shape, dot.Radius, dot.Color = draw.CircleGlyph{}, vg.Points(3), vermilion
	words, err := plotter.NewLabels(plotter.XYLabels{XYs: at, Labels: []string{" " + says}})
	if err != nil {
		return
	}
	words.Offset = vg.Point{X: vg.Points(4), Y: vg.Points(4)}
	p.Add(dot, words)
}
