// Package strip is the instruments: one strip under the scene, in words.
//
// It stands apart from the scene, because nothing of it may stand over the
// picture, and because it shows only what the station received: the percept's
// words, never the truth. The way of the data:
//
//  1. Read takes what the station shows from the last percept and the hands, as
//     a plain value                                             (shown.go)
//  2. Draw writes it: a line of cautions and warnings with the time, then two
//     columns commanded | actual, then health, then the sticks  (draw.go, rails.go)
//
// Every word that matters has a shape beside it, so that colour never stands
// alone: a disc is well, a lozenge is a caution, a triangle is a warning.
package strip

import "lapwing/render/paint"

// Height is how high the strip is, in points.
const Height = 160.0

// Look is the strip's colours.
type Look struct {
	Ground, Raised, Ink, Faint, Rule paint.Color
}

// Paper is a light strip with dark words, for a bright room.
func Paper() Look {
	return Look{paint.RGB(0xF1EBDB), paint.RGB(0xFBF8EF), paint.RGB(0x20231E), paint.RGB(0x69675A), paint.RGB(0xD2C8AE)}
}

// Slate is a dark strip with light words, for a dark room.
func Slate() Look {
	return Look{paint.RGB(0x23261F), paint.RGB(0x2E322A), paint.RGB(0xEFEBDD), paint.RGB(0xA9A794), paint.RGB(0x474C40)}
}

// Grade is how bad something is.
type Grade uint8

// The grades.
const (
	Well Grade = iota
	Caution
	Warning
	Old // what is shown was received some time ago
)

// Sign draws the shape of a grade round at, with that radius.
func Sign(c *paint.Canvas, at paint.Point, radius float64, g Grade) {
	p := func(x, y float64) paint.Point { return paint.Point{X: at.X + x*radius, Y: at.Y + y*radius} }
	switch g {
	case Well:
		c.Disc(at, 0.8*radius, paint.Green)
	case Caution:
		c.Polygon(paint.Orange, p(0, -1.1), p(1.1, 0), p(0, 1.1), p(-1.1, 0))
	case Warning:
		c.Polygon(paint.Vermillion, p(0, -1.1), p(1.15, 0.9), p(-1.15, 0.9))
		c.Rect(paint.Rect{X: at.X - 0.12*radius, Y: at.Y - 0.4*radius, W: 0.24 * radius, H: 0.65 * radius}, paint.White)
		c.Rect(paint.Rect{X: at.X - 0.12*radius, Y: at.Y + 0.42*radius, W: 0.24 * radius, H: 0.24 * radius}, paint.White)
	case Old:
		c.Ring(at, 0.85*radius, 0.3*radius, paint.SkyBlue)
	}
}
