package pages

import "lapwing/render/paint"

// sections sets headings and lines in columns, in the largest letters up to most
// in which all of it fits.
func (p *pen) sections(r paint.Rect, all []Section, columns int, most float64) {
	size := most
	for ; size > 8; size -= 0.5 {
		if p.set(r, all, columns, size, false) {
			break
		}
	}
	p.set(r, all, columns, size, true)
}

// set sets sections in columns and tells whether they fit. A section stays whole.
func (p *pen) set(r paint.Rect, all []Section, columns int, size float64, draw bool) bool {
	gap := 34.0
	wide := (r.W - gap*float64(columns-1)) / float64(columns)
	x, y, column := r.X, r.Y, 0
	fits := true
	for i := range all {
		high := p.sectionHigh(wide, &all[i], size)
		if y > r.Y && y+high > r.Bottom() {
			column++
			x, y = r.X+float64(column)*(wide+gap), r.Y
		}
		if column >= columns || y+high > r.Bottom()+1 {
			fits = false
		}
		if draw && column < columns {
			p.section(paint.Rect{X: x, Y: y, W: wide}, &all[i], size)
		}
		y += high + 0.7*size
	}
	return fits
}

func (p *pen) sectionHigh(wide float64, s *Section, size float64) float64 {
	high := 0.0
	if s.Title != "" {
		high = 1.9 * size
	}
	for _, line := range s.Lines {
		high += float64(len(p.c.Wrap(wide-0.9*size, regular(size), line)))*1.35*size + 0.3*size
	}
	return high + float64(len(s.Pairs))*1.62*size
}

func (p *pen) section(r paint.Rect, s *Section, size float64) {
	y := r.Y
	if s.Title != "" {
		p.c.Text(paint.Point{X: r.X, Y: y + 1.05*size}, tinted(bold(1.05*size), leaf), s.Title)
		p.c.Line(paint.Point{X: r.X, Y: y + 1.45*size}, paint.Point{X: r.X + r.W, Y: y + 1.45*size}, 1, look.Rule)
		y += 1.9 * size
	}
	for _, line := range s.Lines {
		p.c.Disc(paint.Point{X: r.X + 0.25*size, Y: y + 0.72*size}, 0.13*size, leaf)
		y += p.c.Paragraph(paint.Rect{X: r.X + 0.9*size, Y: y, W: r.W - 0.9*size}, regular(size), line) + 0.3*size
	}
	for _, pair := range s.Pairs {
		p.pair(paint.Rect{X: r.X, Y: y, W: r.W}, pair, size)
		y += 1.62 * size
	}
}

// pair is what a key or button does, and the key on a cap of its own.
func (p *pen) pair(r paint.Rect, pair [2]string, size float64) {
	base := r.Y + 1.1*size
	p.c.Text(paint.Point{X: r.X, Y: base}, regular(size), p.shortened(regular(size), pair[0], 0.6*r.W))
	style := bold(0.9 * size)
	text := p.shortened(style, pair[1], 0.5*r.W)
	wide := max(p.c.Measure(style, text)+0.9*size, 1.7*size)
	cap := paint.Rect{X: r.X + r.W - wide, Y: r.Y + 0.08*size, W: wide, H: 1.42 * size}
	p.c.Round(cap, 0.3*size, look.Rule)
	p.c.Round(paint.Rect{X: cap.X + 1, Y: cap.Y + 1, W: cap.W - 2, H: cap.H - 3}, 0.25*size, look.Raised)
	p.c.TextMiddle(paint.Point{X: cap.X + wide/2, Y: base - 0.04*size}, style, text)
}
