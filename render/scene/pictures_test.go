package scene_test

import (
	"image"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/render/paint"
	"lapwing/render/paint/golden"
	"lapwing/render/scene"
	"lapwing/render/window/hidden"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/sight"
)

const (
	width, height = 1280, 560 // px, what a window of 1280 × 720 leaves above the strip
	samples       = 4
)

// standing returns a run at its start with the craft put at a place in the room,
// its rotors at hover: pictures then depend on no flight.
func standing(t testing.TB, room, craft string, at dynamics.Vec3, q dynamics.Quat) (*sim.Conditions, *sim.World) {
	t.Helper()
	b, err := scenarios.LoadInstead(scenarios.Catalogue(), "nothing-happens", scenarios.Instead{Room: room, Craft: craft})
	require.NoError(t, err)
	c := b.Rehearsal(7)
	w := sim.Start(&c)
	w.Craft.PosW, w.Craft.QWB = at, q
	for i := range c.Craft.RotorCount {
		w.Craft.RotorSpeed[i] = 0.6 * c.Craft.Rotors[i].SpeedMax
	}
	return &c, &w
}

// shoot draws a picture with smooth edges off the screen.
func shoot(t testing.TB, v scene.View, o scene.Options, c *sim.Conditions, w *sim.World) *image.RGBA {
	t.Helper()
	s, err := scene.New(c)
	require.NoError(t, err)
	defer s.Release()
	target, err := paint.NewTarget(width, height, samples)
	require.NoError(t, err)
	defer target.Release()
	target.Begin()
	s.Draw(v, o, c, w, scene.Port{Width: width, Height: height})
	target.End()
	return target.Image()
}

// TestPictures: goal: the scene looks as it did when a person last looked at it.
// Method: worlds put together by hand, one for each thing that must be seen,
// against kept pictures (package golden).
func TestPictures(t *testing.T) {
	hidden.Open(t, width, height)
	for _, shot := range []struct {
		name, room, craft string
		view              scene.View
		at                dynamics.Vec3
		q                 dynamics.Quat
		cage              bool
		change            func(c *sim.Conditions, w *sim.World)
	}{
		{name: "bay-pilot", room: "bay-3", craft: "quad-500g", at: dynamics.Vec3{X: 0.6, Y: 0.5, Z: 1.3}, q: kernel.QuatEuler(0.12, 0.05, 0.3)},
		{name: "bay-following", room: "bay-3", craft: "quad-500g", view: scene.Following, at: dynamics.Vec3{X: 0.6, Y: 0.5, Z: 1.3}, q: kernel.QuatYaw(0.3)},
		{name: "bay-top", room: "bay-3", craft: "octo-3kg", view: scene.Top, at: dynamics.Vec3{X: 2, Y: 0.5, Z: 1.3}, q: kernel.QuatYaw(0.3), cage: true},
		{name: "shed-pilot", room: "potting-shed", craft: "quad-250g", at: dynamics.Vec3{Y: -0.4, Z: 1.2}, q: kernel.QuatYaw(0)},
		{name: "aisle-pilot", room: "long-aisle", craft: "hexa-paired", at: dynamics.Vec3{X: -4, Z: 1.3}, q: kernel.QuatYaw(0)},
		{name: "motor-stopped", room: "bay-3", craft: "hexa-paired", view: scene.Following, at: dynamics.Vec3{X: 0.6, Y: -0.3, Z: 0.9}, q: kernel.QuatEuler(0, 0, 0.3), change: stopOne},
		{name: "smoke", room: "bay-3", craft: "quad-500g", view: scene.Following, at: dynamics.Vec3{X: 0.8, Z: 0.1}, q: kernel.QuatYaw(0), change: smoke},
		{name: "dark-room", room: "bay-3", craft: "hexa-paired", at: dynamics.Vec3{X: 0.6, Y: -0.3, Z: 1.2}, q: kernel.QuatYaw(0), change: dusk},
	} {
		c, w := standing(t, shot.room, shot.craft, shot.at, shot.q)
		if shot.change != nil {
			shot.change(c, w)
		}
		o := scene.DefaultOptions()
		o.CageLines = shot.cage
		golden.Check(t, golden.Folder, "scene-"+shot.name, shoot(t, shot.view, o, c, w))
	}
}

// stopOne has one rotor stand still and another broken.
func stopOne(_ *sim.Conditions, w *sim.World) {
	w.Craft.RotorSpeed[1] = 0
	w.Craft.Broken[3] = true
}

func smoke(_ *sim.Conditions, w *sim.World) {
	w.Percept.Smoke = true
	w.Tick = 1000
}

// dusk leaves two lamps, one of them out.
func dusk(c *sim.Conditions, _ *sim.World) {
	dark := *c.Scene
	dark.Decor.Ambient, dark.Decor.LampCount = 0.06, 2
	dark.Decor.Lamps[0] = sight.Lamp{PosW: dynamics.Vec3{X: 3, Y: 1.5, Z: 3}, Strength: 2.5}
	dark.Decor.Lamps[1] = sight.Lamp{PosW: dynamics.Vec3{X: 3, Y: -1.5, Z: 3}, Strength: 2.5, Count: 1}
	c.Scene = &dark
}

// TestDrawingWritesNothing: goal: the picture never reaches the world. Method:
// the world before and after.
func TestDrawingWritesNothing(t *testing.T) {
	hidden.Open(t, width, height)
	c, w := standing(t, "bay-3", "quad-500g", dynamics.Vec3{Z: 1}, kernel.QuatYaw(0))
	before := *w
	shoot(t, scene.PilotsPlace, scene.DefaultOptions(), c, w)
	require.Equal(t, before, *w)
}
