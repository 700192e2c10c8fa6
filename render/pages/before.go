package pages

import (
	"fmt"
	"strings"
	"time"

	"lapwing/render/clock"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/paint"
	"lapwing/render/strip"
	"lapwing/render/words"
	"lapwing/scenarios"
)

// picked is what the chosen scenario or course is about.
func (p *pen) picked(r paint.Rect) {
	e := p.s.Model.Entry()
	if e == nil {
		p.c.Paragraph(r, faint(16), words.Say("pick.empty"))
		return
	}
	y := r.Y + p.c.Paragraph(r, bold(24), e.Title) + 2
	p.c.Paragraph(paint.Rect{X: r.X, Y: y, W: r.W}, faint(14), e.Where)
	p.sections(paint.Rect{X: r.X, Y: y + 34, W: min(r.W, 640), H: r.Bottom() - y - 34}, []Section{{Lines: e.Lines}}, 1, 17)
}

// how says what the chosen item means.
func (p *pen) how(r paint.Rect) {
	m := p.s.Model
	y := r.Y
	if e := m.Entry(); e != nil {
		y += p.c.Paragraph(r, bold(24), e.Title) + 2
		y += p.c.Paragraph(paint.Rect{X: r.X, Y: y, W: r.W}, faint(14), e.Where) + 14
	}
	items := m.Items()
	if at := m.Chosen[m.Page]; at < len(items) && items[at].Text != "" {
		box := paint.Rect{X: r.X, Y: y, W: min(r.W, 560)}
		lines := p.c.Wrap(box.W-40, regular(17), items[at].Text)
		box.H = 58 + float64(len(lines))*17*1.35
		p.card(box)
		p.c.Text(paint.Point{X: box.X + 20, Y: box.Y + 30}, tinted(bold(16), leaf), items[at].Label)
		p.c.Paragraph(paint.Rect{X: box.X + 20, Y: box.Y + 36, W: box.W - 40}, regular(17), items[at].Text)
		y += box.H + 16
	}
	if m.Refused {
		y = p.line(paint.Rect{X: r.X, Y: y, W: r.W}, strip.Warning, words.Of("check", "refuse"))
	}
	if p.s.Device.Fault != "" {
		p.line(paint.Rect{X: r.X, Y: y, W: r.W}, strip.Warning, p.s.Device.Fault)
	}
}

// line is a sentence with a sign before it; it returns where the next one goes.
func (p *pen) line(r paint.Rect, g strip.Grade, text string) float64 {
	strip.Sign(p.c, paint.Point{X: r.X + 9, Y: r.Y + 13}, 7.5, g)
	return r.Y + p.c.Paragraph(paint.Rect{X: r.X + 28, Y: r.Y, W: r.W - 28}, regular(16), text) + 8
}

// check shows the sticks alive, how often they are read and how late a picture
// shows them.
func (p *pen) check(r paint.Rect) {
	d := &p.s.Device
	p.c.Text(paint.Point{X: r.X, Y: r.Y + 22}, bold(20), words.Say("check.device", "name", d.Name))
	p.sticks(paint.Rect{X: r.X, Y: r.Y + 40, W: min(r.W, 520), H: 200})
	y := r.Y + 262
	at := func() paint.Rect { return paint.Rect{X: r.X, Y: y, W: r.W} }
	y = p.line(at(), strip.Old, words.Say("check.sticks"))
	y = p.line(at(), strip.Old, words.Say("check.cut-off", "keys", d.CutOff))
	if d.Keyboard {
		y = p.line(at(), strip.Caution, words.Say("hands.keys-note"))
	} else {
		g := strip.Well
		if d.Rate < 250 {
			g = strip.Caution
		}
		y = p.line(at(), g, words.Say("check.rate", "rate", fmt.Sprintf("%.0f", d.Rate), "pause", ms(d.Pause)))
	}
	if d.Guessed {
		y = p.line(at(), strip.Caution, words.Say("hands.guessed"))
	}
	y = p.delays(r, y)
	for _, what := range d.Mismatch {
		y = p.line(at(), strip.Caution, words.Say("check.mismatch", "what", what))
	}
}

func (p *pen) delays(r paint.Rect, y float64) float64 {
	at := func() paint.Rect { return paint.Rect{X: r.X, Y: y, W: r.W} }
	l, s := p.s.Latency, p.s.Steady
	rule := l.Rule()
	grade := map[clock.Ruling]strip.Grade{clock.RuleUnknown: strip.Old, clock.RuleGood: strip.Well, clock.RuleWarn: strip.Caution, clock.RuleRefuse: strip.Warning}[rule]
	text := words.Say("check.delay-few", "samples", l.Count(), "least", clock.LeastSamples)
	if rule != clock.RuleUnknown {
		text = words.Say("check.delay", "median", ms(l.At(0.5)), "p95", ms(l.At(0.95)), "samples", l.Count()) + ". " + words.Of("check", rule.String())
	}
	y = p.line(at(), grade, text+" "+words.Say("check.delay-screen"))
	switch {
	case !s.Checked():
		y = p.line(at(), strip.Old, words.Say("check.unsteady-wait"))
	case s.Find() == clock.FindSteady:
		y = p.line(at(), strip.Well, words.Say("check.steady")+" "+p.frames())
	default:
		y = p.line(at(), strip.Caution, words.Say("check.unsteady")+" "+p.frames())
	}
	if p.s.Silent != "" {
		return p.line(at(), strip.Old, words.Say("check.silent", "why", p.s.Silent))
	}
	return p.line(at(), strip.Well, words.Say("check.sound", "ms", ms(p.s.Sound)))
}

func (p *pen) frames() string {
	s := p.s.Steady
	gap, _ := s.Longest()
	return words.Say("check.frames", "median", ms(s.Frame(0.5)), "p95", ms(s.Frame(0.95)), "gap", ms(gap)) + "."
}

func ms(d time.Duration) string { return fmt.Sprintf("%.0f", float64(d)/1e6) }

// baseline is a disc that appears, and a press that answers it.
func (p *pen) baseline(r paint.Rect) {
	b := &p.s.Baseline
	at := paint.Point{X: r.X + r.W/2, Y: r.Y + 0.42*r.H}
	p.c.Ring(at, 92, 3, look.Rule)
	if b.Disc {
		p.c.Disc(at, 86, paint.Blue)
		p.c.TextMiddle(paint.Point{X: at.X, Y: at.Y + 9}, tinted(bold(26), paint.White), words.Say("baseline.now"))
	}
	text := words.Say("baseline.wait")
	switch {
	case b.Done:
		text = words.Say("baseline.result", "median", ms(b.Median), "early", b.TooEarly)
	case b.Early:
		text = words.Say("baseline.early")
	}
	style := regular(18)
	for i, line := range p.c.Wrap(min(r.W, 560), style, text) {
		p.c.TextMiddle(paint.Point{X: at.X, Y: r.Y + 40 + 25*float64(i)}, style, line)
	}
	p.c.TextMiddle(paint.Point{X: at.X, Y: at.Y + 140}, bold(20), words.Say("baseline.count", "done", b.Presses, "all", b.All))
	p.c.TextMiddle(paint.Point{X: at.X, Y: at.Y + 166}, faint(14), words.Say("baseline.skip"))
}

// brief is the briefing.
func (p *pen) brief(r paint.Rect) {
	b := p.s.Bundle
	if b == nil {
		return
	}
	m := p.s.Model
	y := r.Y + p.c.Paragraph(r, bold(24), b.Title)
	under := words.Say("pick.where", "craft", b.CraftName, "room", b.RoomName) + ". " + words.Of("brief", "announced-"+b.Drill.Announced.String())
	if m.Course.On {
		under = words.Say("brief.course", "title", m.Course.Title, "step", m.Course.Step, "steps", m.Course.Steps) + ". " + under
	}
	y += p.c.Paragraph(paint.Rect{X: r.X, Y: y, W: r.W}, faint(14), under) + 12
	for _, what := range p.s.Device.Mismatch {
		y = p.line(paint.Rect{X: r.X, Y: y, W: r.W}, strip.Caution, words.Say("check.mismatch", "what", what))
	}
	if m.Kind == flight.Scored {
		y = p.hindrance(r, y)
	}
	p.sections(paint.Rect{X: r.X, Y: y, W: r.W, H: r.Bottom() - y}, briefing(b, p.s.Stop), 2, 15)
}

// hindrance says why a scored run cannot start, or not yet.
func (p *pen) hindrance(r paint.Rect, y float64) float64 {
	m := p.s.Model
	at := paint.Rect{X: r.X, Y: y, W: r.W}
	switch {
	case m.Refused:
		return p.line(at, strip.Warning, words.Of("check", "refuse"))
	case !m.Steady && !p.s.Steady.Checked():
		return p.line(at, strip.Old, words.Say("check.unsteady-wait"))
	case !m.Steady:
		return p.line(at, strip.Caution, words.Say("check.unsteady"))
	}
	return y
}

// briefing is what a person must know before the flight.
func briefing(b *scenarios.Bundle, stop string) []Section {
	plan := Section{Title: words.Say("brief.plan")}
	for i := range b.Plan.Count {
		plan.Lines = append(plan.Lines, flow.LegWords(&b.Plan.Legs[i]))
	}
	plan.Lines = grouped(plan.Lines, 4)
	missing := append(append([]string{}, b.NotModelled...), b.Artificialities...)
	cautions := []string{words.Say("brief.stop", "keys", stop), words.Say("brief.caution-rehearse"),
		words.Say("brief.caution-wrong"), words.Say("brief.caution-props"), words.Say("brief.throttle-none")}
	return []Section{
		{Title: words.Say("brief.task"), Lines: b.Briefing},
		plan,
		{Title: words.Say("brief.standards"), Lines: b.Standards},
		{Title: words.Say("brief.immediate"), Lines: cards()},
		{Title: words.Say("brief.facts"), Lines: b.Facts()},
		{Title: words.Say("brief.missing"), Lines: missing},
		{Title: words.Say("brief.cautions"), Lines: cautions},
	}
}

// grouped joins short lines, n to a line.
func grouped(lines []string, n int) (all []string) {
	for len(lines) > 0 {
		k := min(n, len(lines))
		text := ""
		for i, line := range lines[:k] {
			if i > 0 {
				text += ", then "
			}
			text += line
		}
		all, lines = append(all, strings.ToUpper(text[:1])+text[1:]), lines[k:]
	}
	return all
}

// cards are the immediate actions for whatever may come: all of them where the
// event is not announced, so that a card gives nothing away.
func cards() []string {
	return []string{words.Say("brief.card-b"), words.Say("brief.card-a"), words.Say("brief.card-link"), words.Say("brief.card-power"), words.Say("brief.card-person")}
}
