package strip

import (
	"fmt"

	"lapwing/render/paint"
	"lapwing/render/words"
)

// pen is what drawing needs all over.
type pen struct {
	c    *paint.Canvas
	look Look
	unit float64 // 1, less where the strip is narrower than it was laid out for
}

// Draw draws the strip into r (points), which should be Height high. Below a
// width of laidOut letters shrink with it.
func Draw(c *paint.Canvas, r paint.Rect, look Look, s *Shown) {
	p := pen{c, look, min(1, r.W/laidOut)}
	c.Rect(r, look.Ground)
	c.Rect(paint.Rect{X: r.X, Y: r.Y, W: r.W, H: 2}, look.Rule)
	p.top(paint.Rect{X: r.X, Y: r.Y + 2, W: r.W, H: topHigh}, s)
	y, h := r.Y+topHigh+8, r.H-topHigh-16
	at := func(from, to float64) paint.Rect {
		return paint.Rect{X: r.X + 12 + from*(r.W-24), Y: y, W: (to-from)*(r.W-24) - 10, H: h}
	}
	p.columns(at(0, 0.35), s)
	p.health(at(0.35, 0.575), s)
	p.rails(at(0.575, railsEnd), s)
}

// Inset is the part of the strip in r that Draw leaves free, for the camera's
// picture.
func Inset(r paint.Rect) paint.Rect {
	x := r.X + 12 + railsEnd*(r.W-24)
	return paint.Rect{X: x, Y: r.Y + topHigh + 8, W: r.Right() - 12 - x, H: r.H - topHigh - 16}
}

// laidOut is the width in points for which letters have their full size.
const laidOut = 1240.0

// topHigh is the height of the line of messages in points; railsEnd is where the
// rails end, in shares of the strip.
const (
	topHigh  = 34.0
	railsEnd = 0.87
)

func (p *pen) style(size float64) paint.Style {
	return paint.Style{Face: paint.Regular, Size: size * p.unit, Color: p.look.Ink}
}

func (p *pen) bold(size float64) paint.Style {
	return paint.Style{Face: paint.Bold, Size: size * p.unit, Color: p.look.Ink}
}

func (p *pen) faint(size float64) paint.Style {
	return paint.Style{Face: paint.Regular, Size: size * p.unit, Color: p.look.Faint}
}

// top is the line of messages, and the time.
func (p *pen) top(r paint.Rect, s *Shown) {
	base := r.Y + r.H/2 + 6
	clock := fmt.Sprintf("%d:%02d", s.Tick/60000, s.Tick/1000%60)
	p.c.TextRight(paint.Point{X: r.Right() - 18, Y: base + 1}, p.bold(20), clock)
	p.c.TextRight(paint.Point{X: r.Right() - 24 - p.c.Measure(p.bold(20), "00:00"), Y: base}, p.faint(14), words.Say("strip.time"))
	end := r.Right() - 150
	x := r.X + 20
	if len(s.Messages) == 0 {
		Sign(p.c, paint.Point{X: x + 2, Y: r.Y + r.H/2 + 1}, 7, Well)
		p.c.Text(paint.Point{X: x + 18, Y: base}, p.faint(15), words.Say("strip.nothing"))
		x += 30 + p.c.Measure(p.faint(15), words.Say("strip.nothing"))
	}
	for i, m := range s.Messages {
		wide := p.c.Measure(p.bold(15), m.Words) + 44
		if x+wide > end {
			more := words.Say("strip.more", "number", len(s.Messages)-i)
			p.c.Text(paint.Point{X: x, Y: base}, p.bold(15), more)
			break
		}
		pill := paint.Rect{X: x - 6, Y: r.Y + 5, W: wide - 8, H: r.H - 8}
		edge := map[Grade]paint.Color{Warning: paint.Vermillion, Caution: paint.Orange, Old: paint.SkyBlue, Well: p.look.Rule}[m.Grade]
		p.c.Round(pill, 5, edge)
		p.c.Round(pill.Inset(2), 3.5, p.look.Raised)
		Sign(p.c, paint.Point{X: x + 8, Y: r.Y + r.H/2 + 1}, 7.5, m.Grade)
		p.c.Text(paint.Point{X: x + 22, Y: base}, p.bold(15), m.Words)
		x += wide
	}
	for _, caption := range s.Captions {
		text := words.Say("strip.sound", "what", caption)
		if wide := p.c.Measure(p.faint(14), text) + 16; x+wide < end {
			p.c.Text(paint.Point{X: x, Y: base}, p.faint(14), text)
			x += wide
		}
	}
}

// columns are commanded | actual.
func (p *pen) columns(r paint.Rect, s *Shown) {
	p.c.Round(r, 6, p.look.Raised)
	left, right := r.X+0.27*r.W, r.X+0.66*r.W
	p.c.Text(paint.Point{X: left, Y: r.Y + 18}, p.faint(13), words.Say("strip.commanded"))
	p.c.Text(paint.Point{X: right, Y: r.Y + 18}, p.faint(13), words.Say("strip.actual"))
	p.c.Line(paint.Point{X: r.X + 12, Y: r.Y + 26}, paint.Point{X: r.Right() - 12, Y: r.Y + 26}, 1, p.look.Rule)
	rows := []struct {
		name string
		pair Pair
	}{{words.Say("strip.response"), s.Response}, {words.Say("strip.motors"), s.Motors}, {words.Say("strip.cut-off"), s.CutOff}}
	step := (r.H - 34) / 3
	for i, row := range rows {
		base := r.Y + 30 + step*(float64(i)+0.5) + 6
		p.c.Text(paint.Point{X: r.X + 14, Y: base}, p.faint(14), row.name)
		p.c.Text(paint.Point{X: left, Y: base}, p.style(18), row.pair.Commanded)
		actual := p.bold(18)
		if s.Old {
			actual.Color = p.look.Faint
		}
		p.c.Text(paint.Point{X: right, Y: base}, actual, row.pair.Actual)
		p.link(paint.Point{X: right - 22*p.unit, Y: base - 6}, row.pair.Differ, s.Old)
	}
}

// link joins the two columns: two halves that meet where they agree, and stand
// apart where they do not.
func (p *pen) link(at paint.Point, differ, old bool) {
	if old {
		Sign(p.c, at, 7, Old)
		return
	}
	gap, color := 0.0, p.look.Faint
	if differ {
		gap, color = 4, paint.Vermillion
	}
	for _, k := range [...]float64{-1, 1} {
		x := at.X + k*gap
		p.c.Polygon(color, paint.Point{X: x, Y: at.Y - 6}, paint.Point{X: x + 6*k, Y: at.Y}, paint.Point{X: x, Y: at.Y + 6})
	}
}

// health is link, camera and cells, each a word with its sign.
func (p *pen) health(r paint.Rect, s *Shown) {
	p.c.Round(r, 6, p.look.Raised)
	rows := []struct {
		name string
		line Line
	}{{words.Say("strip.link"), s.Link}, {words.Say("strip.camera"), s.Camera}, {words.Say("strip.cells"), s.Battery}}
	step := (r.H - 8) / 3
	for i, row := range rows {
		base := r.Y + 4 + step*(float64(i)+0.5) + 6
		p.c.Text(paint.Point{X: r.X + 14, Y: base}, p.faint(14), row.name)
		g := row.line.Grade
		if s.Old && i > 0 {
			g = Old
		}
		Sign(p.c, paint.Point{X: r.X + 88*p.unit, Y: base - 6}, 7.5*p.unit, g)
		p.c.Text(paint.Point{X: r.X + 106*p.unit, Y: base}, p.bold(18), row.line.Words)
	}
	p.cells(paint.Rect{X: r.X + 180*p.unit, Y: r.Y + 4 + step*2.5 - 7, W: r.W - 16 - 180*p.unit, H: 14}, s)
}

// cells is a row of bars from critical to full, as many as are left.
func (p *pen) cells(r paint.Rect, s *Shown) {
	const n = 6
	left := s.CellShare * n
	for i := range n {
		cell := paint.Rect{X: r.X + float64(i)*r.W/n, Y: r.Y, W: r.W/n - 3, H: r.H}
		p.c.Round(cell, 2, p.look.Rule)
		if k := min(left-float64(i), 1); k > 0 {
			cell.W *= k
			p.c.Round(cell, 2, p.look.Faint)
		}
	}
}
