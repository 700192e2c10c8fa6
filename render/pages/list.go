package pages

import (
	"lapwing/render/flow"
	"lapwing/render/paint"
)

// Heights of the rows of a list.
const (
	rowHigh  = 34.0
	rowLeast = 26.0
)

// list draws the items and notes where they are.
func (p *pen) list(r paint.Rect) {
	m := p.s.Model
	items := m.Items()
	if len(items) == 0 {
		return
	}
	high := min(rowHigh, max(rowLeast, r.H/float64(len(items))))
	fit := int(r.H / high)
	at := m.Chosen[m.Page]
	from := min(max(at-fit/2, 0), max(len(items)-fit, 0))
	p.hits.Items = make([]paint.Rect, len(items))
	for i := from; i < len(items) && i < from+fit; i++ {
		row := paint.Rect{X: r.X, Y: r.Y + float64(i-from)*high, W: r.W, H: high - 3}
		p.row(row, &items[i], i == at && !items[i].Off)
		if !items[i].Off {
			p.hits.Items[i] = row
		}
	}
	if from > 0 {
		p.more(paint.Point{X: r.Right() - 8, Y: r.Y - 6}, -1)
	}
	if from+fit < len(items) {
		p.more(paint.Point{X: r.Right() - 8, Y: r.Y + float64(fit)*high + 4}, 1)
	}
}

// more is an arrow to further items.
func (p *pen) more(at paint.Point, way float64) {
	p.c.Polygon(look.Faint, paint.Point{X: at.X - 7, Y: at.Y - 4*way}, paint.Point{X: at.X + 7, Y: at.Y - 4*way}, paint.Point{X: at.X, Y: at.Y + 4*way})
}

func (p *pen) row(r paint.Rect, item *flow.Item, is bool) {
	size := min(17, r.H*0.58)
	ink, base := look.Ink, r.Y+r.H/2+0.36*size
	if item.Head {
		p.c.Text(paint.Point{X: r.X + 8, Y: base + 2}, faint(min(14, size)), item.Label)
		p.c.Line(paint.Point{X: r.X + 8, Y: r.Bottom() - 1}, paint.Point{X: r.Right(), Y: r.Bottom() - 1}, 1, look.Rule)
		return
	}
	if is {
		p.c.Round(r, 6, chosen)
		ink = look.Raised
	}
	if item.Off {
		ink = look.Faint
	}
	style := paint.Style{Face: paint.Regular, Size: size, Color: ink}
	right := r.Right() - 12
	if item.Turns {
		right = p.turner(r, item, ink, base, size)
	} else if item.Value != "" {
		style := paint.Style{Face: paint.Bold, Size: size, Color: ink}
		p.c.TextRight(paint.Point{X: right, Y: base}, style, item.Value)
		right -= p.c.Measure(style, item.Value) + 10
	}
	p.c.Text(paint.Point{X: r.X + 12, Y: base}, style, p.shortened(style, item.Label, right-r.X-12))
}

// turner is a value between two arrows; it returns where it begins.
func (p *pen) turner(r paint.Rect, item *flow.Item, ink paint.Color, base, size float64) float64 {
	style := paint.Style{Face: paint.Bold, Size: size, Color: ink}
	y, x := r.Y+r.H/2, r.Right()-12
	arrow := func(x, way float64) {
		p.c.Polygon(ink, paint.Point{X: x - 3*way, Y: y - 5}, paint.Point{X: x + 4*way, Y: y}, paint.Point{X: x - 3*way, Y: y + 5})
	}
	value := p.shortened(style, item.Value, 0.55*r.W)
	wide := p.c.Measure(style, value)
	arrow(x, 1)
	p.c.TextRight(paint.Point{X: x - 10, Y: base}, style, value)
	arrow(x-20-wide, -1)
	return x - 34 - wide
}

// fitting makes letters smaller until text fits a width.
func (p *pen) fitting(s paint.Style, text string, width float64) paint.Style {
	for s.Size > 12 && p.c.Measure(s, text) > width {
		s.Size--
	}
	return s
}

// shortened cuts text to a width.
func (p *pen) shortened(s paint.Style, text string, width float64) string {
	if p.c.Measure(s, text) <= width {
		return text
	}
	letters := []rune(text)
	for n := len(letters) - 1; n > 0; n-- {
		if short := string(letters[:n]) + "…"; p.c.Measure(s, short) <= width {
			return short
		}
	}
	return ""
}
