package path

import (
	"errors"
	"fmt"
	"math"

	"lapwing/dynamics/kernel"
)

// MaxPoints bounds the corners of a path.
const MaxPoints = 16

// Kind is the shape of a path.
type Kind uint8

// The shapes.
const (
	None        Kind = iota // no path is stored
	FigureEight             // a lemniscate, crossing itself in its middle
	Line                    // along Length and back, each lap
	Square                  // round Length × Width, each lap
	Waypoints               // through Points, each lap; stops at each
	kindCount
)

var kindWords = [kindCount]string{"none", "figure-eight", "line", "square", "waypoints"}

// String returns the word for k.
func (k Kind) String() string {
	if k >= kindCount {
		return "unknown"
	}
	return kindWords[k]
}

// ParseKind returns the shape called w.
func ParseKind(w string) (Kind, bool) {
	for i, word := range kindWords {
		if w == word {
			return Kind(i), true
		}
	}
	return None, false
}

// KindWords lists the shapes' words.
func KindWords() []string { return kindWords[:] }

// Params is the stored path. It never changes in a run.
//
// The figures lie level at Height round CentreW, with Length along the direction
// Heading and Width to its left.
type Params struct {
	Kind    Kind
	CentreW kernel.Vec3 // m, room axes, middle of the figure; Z is not used
	Heading float64     // rad, from room x towards y
	Length  float64     // m, > 0; of FigureEight, Line, Square
	Width   float64     // m, > 0; of FigureEight, Square
	Height  float64     // m, > 0; of FigureEight, Line, Square
	Laps    int         // ≥ 1

	Points [MaxPoints]kernel.Vec3 // m, room axes; of Waypoints
	Count  int                    // 1 … MaxPoints, points used

	Speed   float64 // m/s, > 0, never exceeded
	Accel   float64 // m/s², > 0, never exceeded
	YawRate float64 // rad/s, > 0, never exceeded

	YawAlong bool    // nose along the way; else it keeps Yaw
	Yaw      float64 // rad, heading of body x where YawAlong is not set
}

// Default is a figure-eight for a small room. The yaw rate is 45° a second:
// faster turning on the spot blurs a camera's picture and gives it no depth
// (common practice). The rest is a judgement.
func Default() Params {
	return Params{Kind: FigureEight, Length: 3, Width: 1.5, Height: 1.2, Laps: 1,
		Speed: 1, Accel: 2, YawRate: math.Pi / 4}
}

// Validate reports every fault at once. No path at all is no fault.
func (p *Params) Validate() error {
	if p.Kind == None {
		return nil
	}
	if p.Kind >= kindCount {
		return fmt.Errorf("path: no such shape")
	}
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf("path: "+format, args...)) }
	positive := func(name string, x, top float64) {
		if !(x > 0 && x <= top) {
			fault("%s: %g is not above 0 and up to %g", name, x, top)
		}
	}
	positive("speed (m/s)", p.Speed, 20)
	positive("acceleration (m/s²)", p.Accel, 20)
	positive("yaw rate (rad/s)", p.YawRate, 10)
	if p.Laps < 1 || p.Laps > 100 {
		fault("%d laps: 1 to 100 are possible", p.Laps)
	}
	if p.Kind != Waypoints {
		positive("length (m)", p.Length, 1000)
		positive("height (m)", p.Height, 100)
	}
	if p.Kind == FigureEight || p.Kind == Square {
		positive("width (m)", p.Width, 1000)
	}
	if !p.CentreW.Finite() || !kernel.IsFinite(p.Heading) || !kernel.IsFinite(p.Yaw) {
		fault("centre, heading and yaw must be finite")
	}
	if p.Kind == Waypoints {
		p.validatePoints(fault)
	}
	return errors.Join(errs...)
}

func (p *Params) validatePoints(fault func(string, ...any)) {
	if p.Count < 1 || p.Count > MaxPoints {
		fault("%d points: 1 to %d are possible", p.Count, MaxPoints)
		return
	}
	for i, point := range p.Points[:p.Count] {
		if !point.Finite() || !(point.Z > 0) {
			fault("point %d: (%g, %g, %g) is not above the floor", i+1, point.X, point.Y, point.Z)
		}
	}
}
