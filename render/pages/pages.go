// Package pages draws the station's pages.
//
// It stands apart from the way through them (package flow) and from flying: it
// takes what is to be seen as a value, draws it, and tells where an item can be
// clicked. The way of the data:
//
//  1. the station fills a Shown from the model, the flight and the device
//  2. Draw draws the page that is open: over the room, or in its place
//  3. Hits says which parts of the picture are items, and where a replay's line
//     lies
package pages

import (
	"time"

	"lapwing/render/clock"
	"lapwing/render/devices"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/paint"
	"lapwing/render/strip"
	"lapwing/render/words"
	"lapwing/scenarios"
	"lapwing/sim"
)

// Shown is all that the pages show.
type Shown struct {
	Model *flow.Model
	Now   time.Duration

	C     *sim.Conditions // of the flight that is on
	W     *sim.World
	Beat  int      // of the countdown
	Notes []string // short lines over the room, the most urgent first
	Guide string   // what the guide asks for, "" when it is off

	Device  Device
	Latency *clock.Latency
	Steady  *clock.Steady
	Sound   time.Duration // by which sound is late
	Silent  string        // why there is no sound

	Baseline Baseline
	Bundle   *scenarios.Bundle // that was picked
	Stop     string            // keys of the stop word
	Wash     *Wash
	Marks    []Mark // of a replay
	Fork     string // what came of the fork
	Asked    *devices.Calibration
	Help     []Section
}

// Device is what is flown with.
type Device struct {
	Name     string
	Keyboard bool
	Guessed  bool
	Sticks   [devices.Places]float64 // −1 … 1
	Rate     float64                 // Hz
	Pause    time.Duration
	CutOff   string   // what engages the cut-off
	Mismatch []string // what stands otherwise than at the start
	Fault    string   // why something could not be kept
}

// Baseline is how the reaction baseline stands.
type Baseline struct {
	Disc, Early, Done bool
	Presses, All      int
	TooEarly          int
	Median            time.Duration
}

// Section is a heading with its lines.
type Section struct {
	Title string
	Lines []string
	Pairs [][2]string // what, and what does it
}

// Mark is a moment on a line of time.
type Mark struct {
	Tick  int64
	Words string
	Grade strip.Grade // Old stands for neither good nor bad
	Above bool        // of the event; else of the person
}

// Wash is the hot wash.
type Wash struct {
	Title    string
	Verdict  string
	Grade    strip.Grade
	Under    string // a sentence under the verdict
	Counts   bool   // it was judged, GO or NO-GO
	Sections []Section
	Lost     []Lost
	Marks    []Mark
	From, To int64 // ticks, of the line
	Asking   bool
	Kept     string
}

// Lost is something that took points off.
type Lost struct{ Says, Value, Points string }

// Hits says where the picture can be clicked.
type Hits struct {
	Items    []paint.Rect // by index; empty where there is none
	Line     paint.Rect   // of a replay's time
	From, To int64        // ticks, at its ends
}

// Item returns the item at p, −1 for none.
func (h *Hits) Item(p paint.Point) int {
	for i, r := range h.Items {
		if r.W > 0 && r.Holds(p) {
			return i
		}
	}
	return -1
}

// Seek returns the tick at p on a replay's line.
func (h *Hits) Seek(p paint.Point) (tick int64, ok bool) {
	if h.Line.W == 0 || !h.Line.Holds(p) {
		return 0, false
	}
	return h.From + int64(float64(h.To-h.From)*(p.X-h.Line.X)/h.Line.W), true
}

// Ground is the colour of a page that fills the picture.
func Ground() paint.Color { return look.Ground }

var look = strip.Paper()

// Colours that the pages add to the strip's: of the border of leaves, and of what
// is chosen.
var (
	leaf   = paint.RGB(0x4F6F52)
	chosen = paint.RGB(0x2F5D4A)
	pale   = paint.RGB(0xE3DCC6)
)

// pen draws a page.
type pen struct {
	c    *paint.Canvas
	s    *Shown
	hits Hits
}

// Draw draws the page that is open into whole.
func Draw(c *paint.Canvas, whole paint.Rect, s *Shown) Hits {
	p := &pen{c: c, s: s}
	switch s.Model.Page {
	case flow.Flying:
		p.flying(whole)
	case flow.Menu:
		p.menu(whole)
	case flow.Replay:
		p.replay(whole)
	default:
		p.page(whole)
	}
	return p.hits
}

// page is a page in place of the room: what it offers on the left, what it is
// about on the right.
func (p *pen) page(whole paint.Rect) {
	m := p.s.Model
	c := p.c
	c.Rect(whole, look.Ground)
	left := min(380, 0.36*whole.W)
	c.Rect(paint.Rect{X: 0, Y: 0, W: left, H: whole.H}, pale)
	p.leaves(paint.Rect{X: 0, Y: 0, W: 10, H: whole.H})
	c.Text(paint.Point{X: 34, Y: 56}, p.fitting(bold(26), pageTitle(m), left-54), pageTitle(m))
	p.list(paint.Rect{X: 26, Y: 80, W: left - 44, H: whole.H - 130})
	c.Paragraph(paint.Rect{X: 34, Y: whole.H - 44, W: left - 50}, faint(12), words.Say("page.foot"))
	p.content(paint.Rect{X: left + 36, Y: 30, W: whole.W - left - 68, H: whole.H - 56})
}

func pageTitle(m *flow.Model) string {
	switch {
	case m.Page == flow.Menu && m.Kind == flight.Free:
		return words.Say("page.menu-free")
	case m.Page == flow.Menu && m.Kind == flight.Scored:
		return words.Say("page.menu-scored")
	}
	return words.Of("page", m.Page.String())
}

func (p *pen) content(r paint.Rect) {
	switch p.s.Model.Page {
	case flow.Pick:
		p.picked(r)
	case flow.How:
		p.how(r)
	case flow.Check:
		p.check(r)
	case flow.Baseline:
		p.baseline(r)
	case flow.Brief:
		p.brief(r)
	case flow.Wash:
		p.wash(r)
	case flow.Hands:
		p.hands(r)
	case flow.Calibrate:
		p.calibrate(r)
	case flow.Keys:
		p.keys(r)
	case flow.Senses:
		p.senses(r)
	case flow.Help:
		p.sections(r, p.s.Help, 2, 16)
	}
}

func regular(size float64) paint.Style {
	return paint.Style{Face: paint.Regular, Size: size, Color: look.Ink}
}

func bold(size float64) paint.Style {
	return paint.Style{Face: paint.Bold, Size: size, Color: look.Ink}
}

func faint(size float64) paint.Style {
	return paint.Style{Face: paint.Regular, Size: size, Color: look.Faint}
}

func tinted(s paint.Style, color paint.Color) paint.Style {
	s.Color = color
	return s
}

// leaves is a border of leaves down one side.
func (p *pen) leaves(r paint.Rect) {
	p.c.Rect(r, leaf)
	const step = 46.0
	for y := r.Y + 20; y < r.Bottom(); y += step {
		x := r.Right() - 1
		p.c.Polygon(leaf, paint.Point{X: x, Y: y}, paint.Point{X: x + 9, Y: y - 9}, paint.Point{X: x + 14, Y: y - 3}, paint.Point{X: x + 8, Y: y + 5})
	}
}

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

// card is a sheet of paper over the room.
func (p *pen) card(r paint.Rect) {
	p.c.Round(paint.Rect{X: r.X + 2, Y: r.Y + 3, W: r.W, H: r.H}, 9, paint.Black.Alpha(0.18))
	p.c.Round(r, 9, look.Rule)
	p.c.Round(r.Inset(1.2), 8, look.Raised)
}
