package pages

import (
	"math"

	"lapwing/render/devices"
	"lapwing/render/flow"
	"lapwing/render/paint"
	"lapwing/render/strip"
	"lapwing/render/words"
)

// sticks are two squares in which the sticks stand, with what each way commands.
func (p *pen) sticks(r paint.Rect) {
	side := min(r.H-34, (r.W-60)/2)
	layout := p.s.Model.Taste.Taste.Layout
	for i, at := range [2]paint.Rect{{X: r.X, Y: r.Y, W: side, H: side}, {X: r.X + side + 60, Y: r.Y, W: side, H: side}} {
		across, along := devices.Place(2*i), devices.Place(2*i+1)
		p.stick(at, p.s.Device.Sticks[across], p.s.Device.Sticks[along], axisWords(layout.At(across)), axisWords(layout.At(along)))
	}
}

func axisWords(a devices.Axis) string { return words.Of("hands", "axis-"+a.String()) }

func (p *pen) stick(r paint.Rect, x, y float64, across, along string) {
	p.c.Round(r, 14, look.Rule)
	p.c.Round(r.Inset(1.5), 13, look.Raised)
	mid := paint.Point{X: r.X + r.W/2, Y: r.Y + r.H/2}
	p.c.Rect(paint.Rect{X: mid.X - 0.5, Y: r.Y + 14, W: 1, H: r.H - 28}, look.Rule)
	p.c.Rect(paint.Rect{X: r.X + 14, Y: mid.Y - 0.5, W: r.W - 28, H: 1}, look.Rule)
	p.ways(paint.Point{X: mid.X, Y: r.Y + 10}, 0)
	p.ways(paint.Point{X: r.Right() - 10, Y: mid.Y}, 1)
	reach := r.W/2 - 22
	at := paint.Point{X: mid.X + x*reach, Y: mid.Y - y*reach}
	p.c.Line(mid, at, 3, paint.SkyBlue)
	p.c.Disc(at, 10, paint.Blue)
	p.c.TextMiddle(paint.Point{X: mid.X, Y: r.Bottom() + 17}, regular(14), "↕ "+along+"   ↔ "+across)
}

// ways is an arrowhead, up or to the right.
func (p *pen) ways(at paint.Point, turn int) {
	s, c := math.Sincos(float64(turn) * math.Pi / 2)
	q := func(x, y float64) paint.Point { return paint.Point{X: at.X + c*x - s*y, Y: at.Y + s*x + c*y} }
	p.c.Polygon(look.Faint, q(-5, 4), q(5, 4), q(0, -4))
}

// hands is the device as it stands, its layout and its curve.
func (p *pen) hands(r paint.Rect) {
	m := p.s.Model
	l := m.Taste.Taste.Layout
	says := words.Say("hands.layout-says", "lefty", axisWords(l.At(devices.LeftY)), "leftx", axisWords(l.At(devices.LeftX)),
		"righty", axisWords(l.At(devices.RightY)), "rightx", axisWords(l.At(devices.RightX)))
	p.c.Text(paint.Point{X: r.X, Y: r.Y + 22}, bold(20), words.Say("hands.live"))
	p.sticks(paint.Rect{X: r.X, Y: r.Y + 40, W: min(r.W, 520), H: 200})
	y := r.Y + 254
	y += p.c.Paragraph(paint.Rect{X: r.X, Y: y, W: min(r.W, 600)}, regular(15), says) + 10
	p.curve(paint.Rect{X: r.X, Y: y, W: 210, H: min(210, r.Bottom()-y-30)})
	x := paint.Rect{X: r.X + 240, Y: y, W: min(r.W-240, 400)}
	at := m.Chosen[m.Page]
	if items := m.Items(); at < len(items) && items[at].Text != "" {
		x.Y = p.line(x, strip.Old, items[at].Text)
	}
	switch {
	case p.s.Device.Fault != "":
		p.line(x, strip.Warning, p.s.Device.Fault)
	case len(m.Devices) == 0:
		p.line(x, strip.Old, words.Say("hands.no-device"))
	case p.s.Device.Keyboard:
		p.line(x, strip.Caution, words.Say("hands.keys-note"))
	case p.s.Device.Guessed:
		p.line(x, strip.Caution, words.Say("hands.guessed"))
	}
}

// curve draws what becomes of a stick.
func (p *pen) curve(r paint.Rect) {
	side := min(r.W, r.H)
	r.W, r.H = side, side
	p.c.Round(r, 8, look.Raised)
	p.c.Frame(r, 1, look.Rule)
	p.c.Rect(paint.Rect{X: r.X + r.W/2, Y: r.Y, W: 1, H: r.H}, look.Rule)
	p.c.Rect(paint.Rect{X: r.X, Y: r.Y + r.H/2, W: r.W, H: 1}, look.Rule)
	var points []paint.Point
	for _, q := range p.s.Model.Taste.Taste.Shape.Drawn(61, devices.Shape{}) {
		points = append(points, paint.Point{X: r.X + r.W*(1+q[0])/2, Y: r.Y + r.H*(1-q[1])/2})
	}
	p.c.Lines(2.5, paint.Blue, points...)
	p.c.Paragraph(paint.Rect{X: r.X, Y: r.Bottom() + 6, W: 420}, faint(12), words.Say("hands.curve", "formula", devices.Formula))
}

// calibrate asks for a step and shows every axis alive.
func (p *pen) calibrate(r paint.Rect) {
	m := p.s.Model
	if p.s.Asked == nil {
		p.line(r, strip.Warning, words.Say("calibrate.gone"))
		return
	}
	y := r.Y + p.c.Paragraph(paint.Rect{X: r.X, Y: r.Y, W: min(r.W, 620)}, bold(22), words.Of("calibrate", m.Asks.Word)) + 12
	switch {
	case m.Asks.Learn:
		y = p.line(paint.Rect{X: r.X, Y: y, W: r.W}, strip.Caution, words.Say("calibrate.learn"))
	case m.Asks.Ready:
		y = p.line(paint.Rect{X: r.X, Y: y, W: r.W}, strip.Well, words.Say("calibrate.seen"))
	default:
		y = p.line(paint.Rect{X: r.X, Y: y, W: r.W}, strip.Old, words.Say("calibrate.waiting"))
	}
	if p.s.Device.Fault != "" {
		y = p.line(paint.Rect{X: r.X, Y: y, W: r.W}, strip.Warning, p.s.Device.Fault)
	}
	y += 10
	for i, a := range p.s.Asked.Axes() {
		if y > r.Bottom()-24 {
			break
		}
		p.axis(paint.Rect{X: r.X, Y: y, W: min(r.W, 560), H: 22}, words.Say("calibrate.axis", "number", i+1), &a)
		y += 30
	}
	for _, s := range p.s.Asked.Switches() {
		if y > r.Bottom()-24 {
			break
		}
		where := flow.SourceWords(&s)
		p.c.Text(paint.Point{X: r.X, Y: y + 15}, regular(15), flow.ActionWords(s.Does))
		p.c.Text(paint.Point{X: r.X + 300, Y: y + 15}, bold(15), where)
		y += 24
	}
}

// axis is a rail with the ends that were seen, the rest, and where it stands.
func (p *pen) axis(r paint.Rect, name string, a *devices.AxisSeen) {
	p.c.Text(paint.Point{X: r.X, Y: r.Y + 16}, faint(14), name)
	rail := paint.Rect{X: r.X + 80, Y: r.Y + r.H/2, W: r.W - 90}
	x := func(v float64) float64 { return rail.X + rail.W*(1+v)/2 }
	p.c.Round(paint.Rect{X: rail.X, Y: rail.Y - 2, W: rail.W, H: 4}, 2, look.Rule)
	p.c.Round(paint.Rect{X: x(a.Low), Y: rail.Y - 3, W: max(x(a.High)-x(a.Low), 1), H: 6}, 3, paint.SkyBlue)
	p.c.Rect(paint.Rect{X: x(a.Rest) - 1, Y: rail.Y - 8, W: 2, H: 16}, look.Faint)
	p.c.Round(paint.Rect{X: x(a.Now) - 4, Y: rail.Y - 9, W: 8, H: 18}, 4, look.Ink)
}

// keys is a note beside the keys.
func (p *pen) keys(r paint.Rect) {
	p.c.Paragraph(paint.Rect{X: r.X, Y: r.Y, W: min(r.W, 520)}, regular(16), words.Say("hands.keys-note"))
}

// senses shows how letters and signs look.
func (p *pen) senses(r paint.Rect) {
	y := r.Y
	for g, text := range []string{words.Say("senses.well"), words.Say("senses.caution"), words.Say("senses.warning"), words.Say("senses.old")} {
		y = p.line(paint.Rect{X: r.X, Y: y, W: min(r.W, 600)}, strip.Grade(g), text)
	}
	if p.s.Silent != "" {
		p.line(paint.Rect{X: r.X, Y: y, W: min(r.W, 600)}, strip.Old, p.s.Silent)
	}
}
