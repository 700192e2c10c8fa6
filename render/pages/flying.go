package pages

import (
	"fmt"

	"lapwing/render/flight"
	"lapwing/render/paint"
	"lapwing/render/strip"
	"lapwing/render/words"
)

// flying is what lies over the room while somebody flies: as little as can be. In
// a scored run there is nothing but the countdown and what must be read.
func (p *pen) flying(whole paint.Rect) {
	room := paint.Rect{W: whole.W, H: whole.H - strip.Height}
	if p.s.Beat > 0 {
		p.beat(room)
	}
	y := 16.0
	if p.s.Guide != "" {
		y += p.guide(paint.Rect{X: 18, Y: y, W: min(470, 0.45*room.W)}) + 10
	}
	for _, note := range p.s.Notes {
		y += p.note(paint.Point{X: 18, Y: y}, note) + 8
	}
	if p.s.Model.Kind == flight.Free && p.s.Guide == "" {
		style := faint(13)
		text := words.Say("fly.menu-key")
		wide := p.c.Measure(style, text) + 20
		tag := paint.Rect{X: room.W - wide - 14, Y: 12, W: wide, H: 24}
		p.c.Round(tag, 12, look.Raised.Alpha(0.85))
		p.c.TextMiddle(paint.Point{X: tag.X + tag.W/2, Y: tag.Y + 17}, style, text)
	}
}

// beat is the countdown, a number in a disc that is in nobody's way.
func (p *pen) beat(room paint.Rect) {
	at := paint.Point{X: room.W / 2, Y: 0.24 * room.H}
	p.c.Disc(at, 46, look.Raised.Alpha(0.94))
	p.c.Ring(at, 46, 4, leaf)
	p.c.TextMiddle(paint.Point{X: at.X, Y: at.Y + 19}, tinted(bold(54), leaf), fmt.Sprint(p.s.Beat))
}

func (p *pen) note(at paint.Point, text string) float64 {
	style := bold(15)
	wide := p.c.Measure(style, text) + 28
	tag := paint.Rect{X: at.X, Y: at.Y, W: wide, H: 30}
	p.card(tag)
	p.c.Text(paint.Point{X: tag.X + 14, Y: tag.Y + 20}, style, text)
	return tag.H
}

// guide is the card of the first minutes; it returns its height.
func (p *pen) guide(r paint.Rect) float64 {
	g := &p.s.Model.Guide
	lines := p.c.Wrap(r.W-36, regular(16), p.s.Guide)
	r.H = 58 + float64(len(lines))*16*1.35
	p.card(r)
	title := words.Say("guide.title", "step", g.Step+1, "steps", steps)
	p.c.Text(paint.Point{X: r.X + 18, Y: r.Y + 26}, tinted(bold(14), leaf), title)
	p.c.Paragraph(paint.Rect{X: r.X + 18, Y: r.Y + 34, W: r.W - 36}, regular(16), p.s.Guide)
	for i := range steps {
		at := paint.Point{X: r.Right() - 20 - 15*float64(steps-1-i), Y: r.Y + 21}
		if i < g.Step {
			p.c.Disc(at, 5, leaf)
		} else {
			p.c.Ring(at, 5, 1.5, leaf)
		}
	}
	return r.H
}

// menu is a sheet on the left of the room.
func (p *pen) menu(whole paint.Rect) {
	m := p.s.Model
	items := len(m.Items())
	sheet := paint.Rect{X: 22, Y: 22, W: min(360, 0.42*whole.W)}
	sheet.H = min(66+rowHigh*float64(items)+16, whole.H-strip.Height-44)
	p.card(sheet)
	p.c.Text(paint.Point{X: sheet.X + 22, Y: sheet.Y + 42}, bold(24), pageTitle(m))
	p.list(paint.Rect{X: sheet.X + 12, Y: sheet.Y + 60, W: sheet.W - 24, H: sheet.H - 70})
	y := 22.0
	for _, note := range p.s.Notes {
		y += p.note(paint.Point{X: sheet.Right() + 16, Y: y}, note) + 8
	}
}

// replay is a sheet on the left, and the line of time above the strip.
func (p *pen) replay(whole paint.Rect) {
	m := p.s.Model
	items := len(m.Items())
	sheet := paint.Rect{X: 18, Y: 18, W: min(370, 0.44*whole.W)}
	sheet.H = min(54+rowHigh*float64(items)+10, whole.H-strip.Height-172)
	p.card(sheet)
	p.c.Text(paint.Point{X: sheet.X + 20, Y: sheet.Y + 36}, bold(20), pageTitle(m))
	p.list(paint.Rect{X: sheet.X + 10, Y: sheet.Y + 50, W: sheet.W - 20, H: sheet.H - 56})
	wide := min(380, whole.W-sheet.Right()-34)
	said := paint.Rect{X: whole.W - wide - 18, Y: 18, W: wide}
	p.told(said)
	bar := paint.Rect{X: 18, Y: whole.H - strip.Height - 134, W: whole.W - 36, H: 122}
	p.card(bar)
	line := paint.Rect{X: bar.X + 30, Y: bar.Y + 8, W: bar.W - 60, H: bar.H - 16}
	p.hits.Line, p.hits.From, p.hits.To = line, 0, p.end()
	p.timeline(line, p.s.Marks, 0, p.end(), m.Play.Tick)
}

func (p *pen) end() int64 {
	if p.s.Model.Play.Forked {
		return max(p.s.Model.Play.ForkEnd, 1)
	}
	return max(p.s.Model.Play.End, 1)
}

// told says what is shown, and what would have been.
func (p *pen) told(r paint.Rect) {
	var lines []string
	play := &p.s.Model.Play
	if play.Forked {
		lines = append(lines, p.s.Fork, words.Say("replay.forked-note"))
	}
	if play.Ghost {
		lines = append(lines, words.Say("replay.ghost"))
	}
	if len(lines) == 0 {
		return
	}
	high := 22.0
	for _, line := range lines {
		high += float64(len(p.c.Wrap(r.W-32, regular(15), line)))*15*1.35 + 4
	}
	r.H = high
	p.card(r)
	y := r.Y + 9
	for i, line := range lines {
		style := regular(15)
		if i == 0 && play.Forked {
			style = bold(15)
		}
		y += p.c.Paragraph(paint.Rect{X: r.X + 16, Y: y, W: r.W - 32}, style, line) + 4
	}
}
