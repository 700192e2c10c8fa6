package pages

import (
	"lapwing/render/paint"
	"lapwing/render/strip"
	"lapwing/render/words"
)

// wash is the hot wash: the result, the times on a line, what took points off, and
// the sentences.
func (p *pen) wash(r paint.Rect) {
	w := p.s.Wash
	if w == nil {
		return
	}
	p.c.Paragraph(paint.Rect{X: r.X, Y: r.Y - 6, W: r.W}, faint(15), w.Title)
	p.large(paint.Point{X: r.X + 17, Y: r.Y + 41}, w.Grade)
	end := p.c.Text(paint.Point{X: r.X + 46, Y: r.Y + 53}, bold(34), w.Verdict)
	p.c.Paragraph(paint.Rect{X: end.X + 24, Y: r.Y + 26, W: r.Right() - end.X - 24}, regular(15), w.Under)
	line := paint.Rect{X: r.X, Y: r.Y + 76, W: r.W, H: 122}
	p.c.Round(line, 8, look.Raised)
	p.timeline(paint.Rect{X: line.X + 30, Y: line.Y + 4, W: line.W - 60, H: line.H - 8}, w.Marks, w.From, w.To, -1)
	y := line.Bottom() + 16
	if w.Counts {
		y = p.lost(paint.Rect{X: r.X, Y: y, W: r.W}) + 10
	}
	bottom := r.Bottom() - 20
	p.sections(paint.Rect{X: r.X, Y: y, W: r.W, H: bottom - y}, w.Sections, 2, 15)
	foot := w.Kept
	if w.Asking {
		foot = words.Say("wash.asking")
	}
	p.c.Text(paint.Point{X: r.X, Y: r.Bottom() + 4}, faint(12), p.shortened(faint(12), foot, r.W))
}

// large is the sign of a result.
func (p *pen) large(at paint.Point, g strip.Grade) {
	if g != strip.Old {
		strip.Sign(p.c, at, 15, g)
		return
	}
	p.c.Disc(at, 14, paint.SkyBlue)
	p.c.Disc(at, 9, look.Ground)
}

// lost lists what took points off, with value, threshold and points.
func (p *pen) lost(r paint.Rect) float64 {
	w := p.s.Wash
	y := r.Y
	p.c.Text(paint.Point{X: r.X, Y: y + 15}, tinted(bold(15), leaf), words.Say("wash.lost"))
	y += 24
	if len(w.Lost) == 0 {
		p.c.Text(paint.Point{X: r.X, Y: y + 14}, regular(15), words.Say("wash.lost-none"))
		return y + 22
	}
	for i, l := range w.Lost {
		if i == 6 {
			break
		}
		row := paint.Rect{X: r.X, Y: y, W: r.W, H: 22}
		if i%2 == 0 {
			p.c.Round(row, 4, look.Raised)
		}
		points := bold(14.5)
		p.c.TextRight(paint.Point{X: r.Right() - 10, Y: y + 16}, points, l.Points)
		x := r.Right() - 80
		p.c.TextRight(paint.Point{X: x, Y: y + 16}, regular(14), l.Value)
		room := x - p.c.Measure(regular(14), l.Value) - 20 - r.X - 8
		p.c.Text(paint.Point{X: r.X + 8, Y: y + 16}, regular(14.5), p.shortened(regular(14.5), l.Says, room))
		y += 22
	}
	return y
}
