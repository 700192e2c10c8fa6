// Package stage puts together what is on the window: the scene above, the strip
// of instruments below it, and whatever page lies over both.
//
// It stands apart so that the station's pages and its tests draw the very same
// picture, into a window or off the screen. The way of the data in a frame:
//
//  1. Enter builds scene and inset for a run, once
//  2. Draw takes a Picture, which says what is to be seen and how
//  3. the scene is drawn: straight into its place, or with smooth edges into a
//     target of its own that is then copied
//  4. strip, inset and page are drawn on the canvas
package stage

import (
	"image"

	"github.com/go-gl/gl/v4.1-core/gl"

	"lapwing/render/paint"
	"lapwing/render/scene"
	"lapwing/render/strip"
	"lapwing/sim"
)

// Stage draws frames of one size until it changes.
type Stage struct {
	canvas *paint.Canvas
	smooth int           // samples of the scene for each pixel
	target *paint.Target // of the scene, where smooth is above 1
	scene  *scene.Scene
	inset  *scene.Inset
	seen   sim.World // as the picture shows it: stands while the picture is frozen
}

// Size is the size of a frame.
type Size struct {
	Width, Height int     // px
	Scale         float64 // px a point: the screen's times the person's choice
}

// Picture is what is to be seen in a frame.
type Picture struct {
	View    scene.View
	Options scene.Options
	Look    strip.Look
	Shown   strip.Shown
	Over    func(c *paint.Canvas, whole paint.Rect) // a page over it, nil for none
}

// Samples for each pixel of the scene. Smooth edges cost two to three times as
// much where the processor draws.
const (
	Plain  = 1
	Smooth = 4
)

// New makes a stage with Plain or Smooth edges. It needs a current OpenGL
// context.
func New(smooth int) (*Stage, error) {
	canvas, err := paint.NewCanvas()
	return &Stage{canvas: canvas, smooth: smooth}, err
}

// Enter builds the scene of a run and lets the one before go.
func (s *Stage) Enter(c *sim.Conditions) error {
	s.Leave()
	built, err := scene.New(c)
	if err != nil {
		return err
	}
	s.scene, s.seen = built, sim.Start(c)
	s.inset, err = scene.NewInset(insetWidth, insetHeight)
	return err
}

// The inset's picture, a third of the camera's own.
const (
	insetWidth  = 212
	insetHeight = 159
)

// Leave lets the scene go.
func (s *Stage) Leave() {
	if s.scene != nil {
		s.scene.Release()
		s.inset.Release()
		s.scene, s.inset = nil, nil
	}
}

// Draw draws the world of a run that was entered, into what is drawn into.
func (s *Stage) Draw(size Size, p *Picture, c *sim.Conditions, w *sim.World) error {
	below := int(strip.Height*size.Scale + 0.5)
	if !w.Percept.Frozen {
		s.seen = *w
		s.inset.Update(s.scene, c, w)
	}
	port := scene.Port{Y: below, Width: size.Width, Height: max(size.Height-below, 1)}
	if err := s.drawScene(port, p, c, &s.seen); err != nil {
		return err
	}
	s.canvas.Begin(size.Width, size.Height, size.Scale)
	whole := s.canvas.Size()
	at := paint.Rect{Y: whole.H - strip.Height, W: whole.W, H: strip.Height}
	strip.Draw(s.canvas, at, p.Look, &p.Shown)
	s.inset.Show(s.canvas, strip.Inset(at), c, &s.seen)
	if p.Over != nil {
		p.Over(s.canvas, whole)
	}
	s.canvas.End()
	return nil
}

func (s *Stage) drawScene(port scene.Port, p *Picture, c *sim.Conditions, w *sim.World) error {
	if s.smooth <= Plain {
		s.scene.Draw(p.View, p.Options, c, w, port)
		return nil
	}
	if err := s.fit(port.Width, port.Height); err != nil {
		return err
	}
	s.target.Begin()
	s.scene.Draw(p.View, p.Options, c, w, scene.Port{Width: port.Width, Height: port.Height})
	s.target.End()
	s.target.Show(port.X, port.Y)
	return nil
}

// Page draws a page that fills the frame, without a run.
func (s *Stage) Page(size Size, ground paint.Color, page func(c *paint.Canvas, whole paint.Rect)) {
	gl.Viewport(0, 0, int32(size.Width), int32(size.Height))
	gl.ClearColor(float32(ground.R)/255, float32(ground.G)/255, float32(ground.B)/255, 1)
	gl.Clear(gl.COLOR_BUFFER_BIT)
	s.canvas.Begin(size.Width, size.Height, size.Scale)
	page(s.canvas, s.canvas.Size())
	s.canvas.End()
}

// fit makes the scene's target as large as it must be.
func (s *Stage) fit(width, height int) (err error) {
	if s.target != nil && s.target.Width == width && s.target.Height == height {
		return nil
	}
	if s.target != nil {
		s.target.Release()
	}
	s.target, err = paint.NewTarget(width, height, s.smooth)
	return err
}

// Shot draws a frame off the screen and returns it.
func Shot(size Size, draw func() error) (*image.RGBA, error) {
	t, err := paint.NewTarget(size.Width, size.Height, 1)
	if err != nil {
		return nil, err
	}
	defer t.Release()
	t.Begin()
	err = draw()
	t.End()
	return t.Image(), err
}
