package strip

import (
	"lapwing/render/paint"
	"lapwing/render/words"
)

// rails are the four sticks as they are held, each on a rail of its own, with
// words at both ends; the throttle's has the hover mark.
func (p *pen) rails(r paint.Rect, s *Shown) {
	p.c.Round(r, 6, p.look.Raised)
	rows := []struct {
		low, high string
		at        float64 // 0 … 1
		centred   bool
	}{
		{words.Say("strip.lowest"), words.Say("strip.throttle"), s.Throttle, false},
		{words.Say("strip.roll-left"), words.Say("strip.roll-right"), (1 + s.Roll) / 2, true},
		{words.Say("strip.pitch-back"), words.Say("strip.pitch-forward"), (1 + s.Pitch) / 2, true},
		{words.Say("strip.yaw-left"), words.Say("strip.yaw-right"), (1 + s.Yaw) / 2, true},
	}
	step := (r.H - 10) / 4
	for i, row := range rows {
		y := r.Y + 7 + step*(float64(i)+0.5)
		p.c.TextRight(paint.Point{X: r.X + 0.27*r.W, Y: y + 5}, p.faint(13), row.low)
		p.c.Text(paint.Point{X: r.X + 0.735*r.W, Y: y + 5}, p.faint(13), row.high)
		rail := paint.Rect{X: r.X + 0.30*r.W, Y: y, W: 0.405 * r.W}
		p.rail(rail, row.at, row.centred)
		if i == 0 {
			p.hoverMark(rail, s)
		}
	}
}

// rail is a line with a bead where the stick stands.
func (p *pen) rail(r paint.Rect, at float64, centred bool) {
	p.c.Round(paint.Rect{X: r.X, Y: r.Y - 2, W: r.W, H: 4}, 2, p.look.Rule)
	x := r.X + at*r.W
	from := r.X
	if centred {
		from = r.X + r.W/2
		p.c.Rect(paint.Rect{X: from - 1, Y: r.Y - 5, W: 2, H: 10}, p.look.Faint)
	}
	lo, hi := min(from, x), max(from, x)
	p.c.Rect(paint.Rect{X: lo, Y: r.Y - 2, W: hi - lo, H: 4}, paint.Blue)
	p.c.Round(paint.Rect{X: x - 4, Y: r.Y - 8, W: 8, H: 16}, 4, p.look.Ink)
}

// hoverMark is a gate that the throttle's bead fits into; hollow where the
// throttle is not thrust.
func (p *pen) hoverMark(r paint.Rect, s *Shown) {
	x := r.X + s.HoverStick*r.W
	color := paint.Green
	if !s.ThrustStick {
		color = p.look.Faint
	}
	for _, k := range [...]float64{-1, 1} {
		p.c.Polygon(color, paint.Point{X: x - 5, Y: r.Y + 13*k}, paint.Point{X: x + 5, Y: r.Y + 13*k}, paint.Point{X: x, Y: r.Y + 7*k})
		p.c.Rect(paint.Rect{X: x + 7*k - 1, Y: r.Y - 9, W: 2, H: 18}, color)
	}
}
