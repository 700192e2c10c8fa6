package pages

import (
	"fmt"
	"slices"

	"lapwing/render/flow"
	"lapwing/render/paint"
	"lapwing/render/strip"
)

const steps = flow.GuideSteps

// lineAt is where the line lies between upper and lower border.
const lineAt = 0.42

// timeline is a line of time with marks: what happened above it, what the person
// did below. now is a tick to point at, −1 for none.
func (p *pen) timeline(r paint.Rect, marks []Mark, from, to, now int64) {
	y := r.Y + lineAt*r.H
	x := func(tick int64) float64 {
		return r.X + r.W*float64(min(max(tick, from), to)-from)/float64(max(to-from, 1))
	}
	p.c.Round(paint.Rect{X: r.X, Y: y - 2, W: r.W, H: 4}, 2, look.Rule)
	p.seconds(r, from, to, x)
	marks = within(marks, from, to)
	p.labels(r, marks, true, x)
	p.labels(r, marks, false, x)
	for i := range marks {
		p.sign(paint.Point{X: x(marks[i].Tick), Y: y}, marks[i].Grade)
	}
	if now >= 0 {
		at := x(now)
		p.c.Rect(paint.Rect{X: at - 1, Y: y - 16, W: 2, H: 32}, look.Ink)
		p.c.Disc(paint.Point{X: at, Y: y}, 7, look.Ink)
		p.c.Disc(paint.Point{X: at, Y: y}, 4, paint.Yellow)
	}
}

// within returns the marks from … to.
func within(marks []Mark, from, to int64) (list []Mark) {
	for _, m := range marks {
		if m.Tick >= from && m.Tick <= to {
			list = append(list, m)
		}
	}
	return list
}

// seconds marks whole seconds, as close as can be read.
func (p *pen) seconds(r paint.Rect, from, to int64, x func(int64) float64) {
	step := int64(1000)
	for _, s := range []int64{1000, 2000, 5000, 10000, 20000, 60000} {
		step = s
		if r.W*float64(s)/float64(max(to-from, 1)) > 46 {
			break
		}
	}
	y := r.Y + lineAt*r.H
	for tick := (from + step - 1) / step * step; tick <= to; tick += step {
		p.c.Rect(paint.Rect{X: x(tick) - 0.5, Y: y - 4, W: 1, H: 8}, look.Faint)
		p.c.TextMiddle(paint.Point{X: x(tick), Y: y + 15}, faint(10), fmt.Sprint(tick/1000))
	}
}

// labels writes the marks above or below the line, in up to three rows.
func (p *pen) labels(r paint.Rect, marks []Mark, above bool, x func(int64) float64) {
	y := r.Y + lineAt*r.H
	ends := [3]float64{r.X - 20, r.X - 20, r.X - 20}
	var set []label
	for i := range marks {
		m := &marks[i]
		if m.Above != above {
			continue
		}
		at := x(m.Tick)
		style := regular(12.5)
		text := p.shortened(style, m.Words, 190)
		wide := p.c.Measure(style, text) + 18
		left := min(max(at-8, r.X-20), r.Right()+24-wide)
		row := slices.IndexFunc(ends[:], func(end float64) bool { return left >= end })
		if row < 0 {
			continue // no room: its sign is on the line all the same
		}
		ends[row] = left + wide + 6
		base := y - 16 - 16*float64(row)
		stem := paint.Rect{X: at - 0.5, Y: base + 3, W: 1, H: y - base - 3}
		if !above {
			base = y + 32 + 16*float64(row)
			stem = paint.Rect{X: at - 0.5, Y: y, W: 1, H: base - 12 - y}
		}
		p.c.Rect(stem, look.Faint)
		set = append(set, label{paint.Point{X: left, Y: base}, wide, text, m.Grade})
	}
	for _, l := range set { // after all stems, so that none crosses a word
		p.c.Rect(paint.Rect{X: l.at.X - 1, Y: l.at.Y - 11, W: l.wide, H: 14}, look.Raised)
		p.sign(paint.Point{X: l.at.X + 6, Y: l.at.Y - 4}, l.grade)
		p.c.Text(paint.Point{X: l.at.X + 15, Y: l.at.Y}, regular(12.5), l.text)
	}
}

// label is the words of a mark, in their place.
type label struct {
	at    paint.Point
	wide  float64
	text  string
	grade strip.Grade
}

func (p *pen) sign(at paint.Point, g strip.Grade) { strip.Sign(p.c, at, 5.5, g) }
