package stage_test

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/go-gl/gl/v4.1-core/gl"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/render/paint"
	"lapwing/render/paint/golden"
	"lapwing/render/scene"
	"lapwing/render/stage"
	"lapwing/render/strip"
	"lapwing/render/window/hidden"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

var size = stage.Size{Width: 1280, Height: 720, Scale: 1}

// carried returns a run in which the craft was held in the air and moved to and
// fro for three seconds, so that its camera follows landmarks.
func carried(t testing.TB, room, craft string) (*sim.Conditions, *sim.World) {
	t.Helper()
	b, err := scenarios.LoadInstead(scenarios.Catalogue(), "nothing-happens", scenarios.Instead{Room: room, Craft: craft})
	require.NoError(t, err)
	c := b.Rehearsal(7)
	w := sim.Start(&c)
	for range 3000 {
		sin, cos := math.Sincos(float64(w.Tick) / 600)
		w.Craft.PosW = c.Place.TakeOff.Add(dynamics.Vec3{X: 0.3 * sin, Y: 0.4 * sin, Z: 1.1})
		w.Craft.VelW = dynamics.Vec3{X: 0.5 * cos, Y: 0.6 * cos}
		w.Craft.QWB, w.Craft.OmegaB = dynamics.Quat{W: 1}, dynamics.Vec3{}
		sim.Advance(&c, &w)
	}
	for i := range c.Craft.RotorCount {
		w.Craft.RotorSpeed[i] = 0.6 * c.Craft.Rotors[i].SpeedMax
	}
	w.Tick = 3600000 / 50
	w.Hands = hands.Hands{Throttle: 480, Roll: 120, Pitch: -260, Response: hands.PositionHold, Armed: true}
	w.Percept = percept.Percept{Armed: true, Commanded: hands.PositionHold, Actual: hands.PositionHold, CellVolts: 3.86, HoverStick: 0.5}
	return &c, &w
}

// TestPictures: goal: scene, strip and inset stand where they should and look as
// they did when a person last looked at them. Method: worlds put together by
// hand against kept pictures (package golden).
func TestPictures(t *testing.T) {
	hidden.Open(t, size.Width, size.Height)
	s, err := stage.New(stage.Smooth)
	require.NoError(t, err)
	for _, shot := range []struct {
		name, room, craft string
		view              scene.View
		look              strip.Look
		size              stage.Size
		change            func(p *percept.Percept)
	}{
		{"well", "bay-3", "quad-500g", scene.PilotsPlace, strip.Paper(), size, func(*percept.Percept) {}},
		{"cautions", "bay-3", "hexa-paired", scene.Following, strip.Paper(), size, func(p *percept.Percept) {
			p.Actual, p.Camera, p.Battery, p.CellVolts = hands.Attitude, 1, 1, 3.48
		}},
		{"link-lost", "long-aisle", "quad-500g", scene.PilotsPlace, strip.Slate(), size, func(p *percept.Percept) {
			p.LinkLost, p.Landing = true, true
		}},
		{"large", "potting-shed", "quad-250g", scene.PilotsPlace, strip.Paper(), stage.Size{Width: 1600, Height: 900, Scale: 1.5}, func(p *percept.Percept) {
			p.Camera = 2
		}},
	} {
		c, w := carried(t, shot.room, shot.craft)
		shot.change(&w.Percept)
		require.NoError(t, s.Enter(c))
		p := stage.Picture{View: shot.view, Options: scene.DefaultOptions(), Look: shot.look, Shown: strip.Read(c, w)}
		img, err := stage.Shot(shot.size, func() error { return s.Draw(shot.size, &p, c, w) })
		require.NoError(t, err)
		golden.Check(t, golden.Folder, "stage-"+shot.name, img)
	}
}

// TestFrozenPicture: goal: while the picture stands still, the scene does and the
// strip goes on. Method: the craft moves on between two frames, frozen.
func TestFrozenPicture(t *testing.T) {
	hidden.Open(t, size.Width, size.Height)
	s, err := stage.New(stage.Plain)
	require.NoError(t, err)
	c, w := carried(t, "bay-3", "quad-500g")
	require.NoError(t, s.Enter(c))
	frame := func() *image.RGBA {
		p := stage.Picture{Options: scene.DefaultOptions(), Look: strip.Paper(), Shown: strip.Read(c, w)}
		img, err := stage.Shot(size, func() error { return s.Draw(size, &p, c, w) })
		require.NoError(t, err)
		return img
	}
	before := frame()
	w.Percept.Frozen = true
	w.Craft.PosW.Z += 0.5
	w.Tick += 5000
	after := frame()
	above := int(float64(size.Height)-strip.Height) * before.Stride
	require.Equal(t, before.Pix[:above], after.Pix[:above])
	require.NotEqual(t, before.Pix[above:], after.Pix[above:])
	w.Percept.Frozen = false
	require.NotEqual(t, before.Pix[:above], frame().Pix[:above])
}

// TestPage: goal: a page fills the frame in its own colour, and a page over a
// run lies over it. Method: single pixels.
func TestPage(t *testing.T) {
	hidden.Open(t, size.Width, size.Height)
	s, err := stage.New(stage.Plain)
	require.NoError(t, err)
	box := func(c *paint.Canvas, whole paint.Rect) {
		c.Rect(paint.Rect{X: whole.W / 2, Y: 10, W: 40, H: 20}, paint.Blue)
	}
	img, err := stage.Shot(size, func() error {
		s.Page(size, paint.White, box)
		return nil
	})
	require.NoError(t, err)
	require.Equal(t, color.RGBA{255, 255, 255, 255}, img.RGBAAt(5, 700))
	require.Equal(t, color.RGBA{0x00, 0x72, 0xB2, 255}, img.RGBAAt(660, 20))
	c, w := carried(t, "bay-3", "quad-500g")
	require.NoError(t, s.Enter(c))
	img, err = stage.Shot(size, func() error {
		p := stage.Picture{Options: scene.DefaultOptions(), Look: strip.Paper(), Shown: strip.Read(c, w), Over: box}
		return s.Draw(size, &p, c, w)
	})
	require.NoError(t, err)
	require.Equal(t, color.RGBA{0x00, 0x72, 0xB2, 255}, img.RGBAAt(660, 20))
}

// BenchmarkFrame is a whole frame as the station draws it, with the craft on its
// way round the room.
func BenchmarkFrame(b *testing.B) {
	for _, f := range []struct {
		name, room string
		view       scene.View
		smooth     int
	}{{"pilots-place", "bay-3", scene.PilotsPlace, stage.Plain}, {"pilots-place", "bay-3", scene.PilotsPlace, stage.Smooth},
		{"following", "bay-3", scene.Following, stage.Plain}, {"top", "bay-3", scene.Top, stage.Plain},
		{"pilots-place", "long-aisle", scene.PilotsPlace, stage.Plain}} {
		b.Run(fmt.Sprintf("room=%s/view=%s/samples=%d", f.room, f.name, f.smooth), func(b *testing.B) {
			hidden.Open(b, size.Width, size.Height) // a context belongs to one thread
			c, w := carried(b, f.room, "quad-500g")
			s, err := stage.New(f.smooth)
			require.NoError(b, err)
			require.NoError(b, s.Enter(c))
			frame := func() {
				w.Tick += 16
				w.Sight.Frames, w.Sight.Shot.Tick = 1, w.Tick/40
				sin, cos := math.Sincos(float64(w.Tick) / 1000)
				w.Craft.PosW = dynamics.Vec3{X: c.Place.TakeOff.X + cos, Y: 0.8 * sin, Z: 1.2}
				for i := range c.Craft.RotorCount {
					w.Craft.RotorSpeed[i] = 900
				}
				p := stage.Picture{View: f.view, Options: scene.DefaultOptions(), Look: strip.Paper(), Shown: strip.Read(c, w)}
				require.NoError(b, s.Draw(size, &p, c, w))
				gl.Finish()
			}
			for range 20 { // the driver compiles at first use
				frame()
			}
			var times []time.Duration
			for b.Loop() {
				from := time.Now()
				frame()
				times = append(times, time.Since(from))
			}
			slices.Sort(times)
			b.ReportMetric(times[len(times)/2].Seconds()*1000, "median-ms")
			b.ReportMetric(times[len(times)*95/100].Seconds()*1000, "p95-ms")
		})
	}
}
