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

// card is a sheet of paper over the room.
func (p *pen) card(r paint.Rect) {
	p.c.Round(paint.Rect{X: r.X + 2, Y: r.Y + 3, W: r.W, H: r.H}, 9, paint.Black.Alpha(0.18))
	p.c.Round(r, 9, look.Rule)
	p.c.Round(r.Inset(1.2), 8, look.Raised)
}
