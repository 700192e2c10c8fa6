package scene

import (
	"math"

	"github.com/go-gl/gl/v4.1-core/gl"

	"lapwing/render/paint"
	"lapwing/sim"
	"lapwing/sim/sight"
)

// Inset is what the craft's own camera saw last, with the landmarks that it
// follows.
type Inset struct {
	target *paint.Target
	tick   int64 // of the exposure that it holds
	black  bool
}

// NewInset makes an inset of that size in pixels.
func NewInset(width, height int) (*Inset, error) {
	t, err := paint.NewTarget(width, height, 1)
	return &Inset{target: t, tick: -1}, err
}

// Update draws the camera's picture where there is a new one. It draws into the
// inset's own target, so it is called before or after, not between, other parts.
func (i *Inset) Update(s *Scene, c *sim.Conditions, w *sim.World) {
	shot := &w.Sight.Shot
	if w.Sight.Frames == 0 || shot.Tick == i.tick {
		return
	}
	i.tick, i.black = shot.Tick, shot.Light <= 0
	i.target.Begin()
	if i.black {
		gl.ClearColor(0, 0, 0, 1)
		gl.Clear(gl.COLOR_BUFFER_BIT)
	} else {
		e := cameraEye(&c.Sight, shot)
		o := DefaultOptions()
		s.render(&e, camera, &o, c, w, Port{Width: i.target.Width, Height: i.target.Height})
	}
	i.target.End()
}

// cameraEye is where the camera stood at its last exposure.
func cameraEye(p *sight.Params, shot *sight.Shot) eye {
	sin, cos := math.Sincos(p.Tilt)
	ahead := shot.QWB.Rotate(vec{X: cos, Z: -sin})
	up := shot.QWB.Rotate(vec{X: sin, Z: cos})
	return eye{at: shot.PosW, to: shot.PosW.Add(ahead), up: up, fovY: 2 * math.Atan(0.5*p.Height/p.Focal), near: 0.05, far: 150}
}

// Release gives the inset's memory back.
func (i *Inset) Release() { i.target.Release() }

// Show draws the inset into r of the canvas, in grey, and on it the landmarks
// that are followed: a hollow ring for one that was just found, a lozenge while
// its distance settles, a disc once it is well known; the better known the
// brighter. Without a picture it stays dark.
func (i *Inset) Show(canvas *paint.Canvas, r paint.Rect, c *sim.Conditions, w *sim.World) {
	p := &c.Sight
	if k := p.Height / p.Width; k > 0 { // as large as fits, in the camera's own shape
		if r.H > r.W*k {
			r.Y, r.H = r.Y+r.H-r.W*k, r.W*k
		} else {
			r.X, r.W = r.X+r.W-r.H/k, r.H/k
		}
	}
	canvas.Rect(r, paint.Black)
	if w.Sight.Frames == 0 || i.black {
		return
	}
	canvas.Picture(r, i.target.Texture(), 1)
	canvas.Rect(r, paint.Black.Alpha(0.25))
	for k := range w.Sight.Tracks {
		t := &w.Sight.Tracks[k]
		if t.ID < 0 {
			continue
		}
		at := paint.Point{X: r.X + r.W*(0.5+t.X*p.Focal/p.Width), Y: r.Y + r.H*(0.5+t.Y*p.Focal/p.Height)}
		if r.Inset(3).Holds(at) {
			track(canvas, at, t.Rel)
		}
	}
}

// Shares of uncertainty of a landmark's distance between which its mark changes.
const (
	justFound = 0.8
	wellKnown = 0.25
)

func track(c *paint.Canvas, at paint.Point, uncertain float64) {
	const r = 3.2
	switch {
	case uncertain > justFound:
		c.Ring(at, r, 1.2, paint.SkyBlue.Alpha(0.8))
	case uncertain > wellKnown:
		c.Polygon(paint.Orange.Alpha(0.9), paint.Point{X: at.X, Y: at.Y - r}, paint.Point{X: at.X + r, Y: at.Y},
			paint.Point{X: at.X, Y: at.Y + r}, paint.Point{X: at.X - r, Y: at.Y})
	default:
		c.Disc(at, 0.9*r, paint.Yellow)
	}
}
