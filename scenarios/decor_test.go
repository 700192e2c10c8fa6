package scenarios

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/sim/sight"
)

// room reads a room from text.
func room(t *testing.T, text string) *value {
	t.Helper()
	var l loader
	find := single{Document{Kind: KindRoom, Name: "it", File: "it.yaml", Text: []byte(text)}}
	l.find = find
	f, ok := l.read(KindRoom, "it", nil)
	require.True(t, ok, "%v", l.rep.error())
	return f.root
}

const bareRoom = "kind: room\nversion: 1\ntitle: It\nsize_m: [6, 4, 3]\ncage: {min_m: [-2, -1, 0], max_m: [2, 1, 2.3]}\ntake_off_m: [0, 0, 0]\n"

// Goal: what a room file says of surfaces, light and leaves is what the camera
// gets, on the right side. Method: read one with each key, and one with none.
func TestDecorArrives(t *testing.T) {
	d := decorOf(room(t, bareRoom))
	want := sight.RichDecor()
	assert.Equal(t, want, d, "nothing said: rich and bright")

	d = decorOf(room(t, bareRoom+`
boxes:
  - {what: bench, min_m: [1, -1.5, 0], max_m: [2, -1.2, 1], texture: {contrast: 0.2}}
surfaces:
  floor: {density_per_m2: 9}
  wall_ahead: {density_per_m2: 0}
  wall_left: {density_per_m2: 3, contrast: 0.4}
light:
  ambient: 0.2
  lamps:
    - {what: lamp, position_m: [1, 0, 2.5], strength: 8, levels: [{at_s: 20, share: 1}, {at_s: 21, share: 0}]}
leaf_walls:
  - {what: vine, min_m: [-1, 1.9, 0], max_m: [1, 2, 2], amplitude_m: [0.04, 0, 0.01], period_s: 2.5}
`))
	want.Texture[sight.FaceFloor].Density = 9
	want.Texture[sight.FaceXMax].Density = 0
	want.Texture[sight.FaceYMax] = sight.Texture{Density: 3, Contrast: 0.4}
	want.BoxTexture[0].Contrast = 0.2
	want.Ambient, want.LampCount, want.LeafCount = 0.2, 1, 1
	want.Lamps[0] = sight.Lamp{PosW: dynamics.Vec3{X: 1, Z: 2.5}, Strength: 8, Count: 2}
	want.Lamps[0].At[0], want.Lamps[0].At[1], want.Lamps[0].Level[0] = 20, 21, 1
	want.Leaves[0] = sight.Leaves{Min: dynamics.Vec3{X: -1, Y: 1.9}, Max: dynamics.Vec3{X: 1, Y: 2, Z: 2},
		SwayW: dynamics.Vec3{X: 0.04, Z: 0.01}, Period: 2.5}
	assert.Equal(t, want, d)
}

// Goal: the rooms of the catalogue have all the landmarks that their files say,
// and the long aisle's long walls have none.
func TestRoomsOfTheCatalogue(t *testing.T) {
	for scenario, most := range map[string]float64{"figure-eight": 1, "nothing-happens": 1, "hold-and-land": 0} {
		b := load(t, scenario)
		c := b.Rehearsal(1)
		require.NotNil(t, c.Scene, scenario)
		assert.Equal(t, 1.0, c.Scene.Thinned, scenario)
		assert.Greater(t, c.Scene.Count, 900, scenario)
		onWalls := 0.0
		for i := range c.Scene.Count {
			if at := c.Scene.Landmarks[i].PosW; at.Y == c.Place.Max.Y && at.Z > 1 { // above the benches
				onWalls = 1
			}
		}
		assert.Equal(t, most, onWalls, scenario)
	}
}

// Goal: a craft that says so flies by poses from outside, others by landmarks.
func TestNavigatesBy(t *testing.T) {
	place := load(t, "nothing-happens").Place
	for name, fixes := range map[string]bool{"quad-500g": false, "measured-27g": true} {
		f, err := LoadCraft(Catalogue(), name, &place)
		require.NoError(t, err)
		assert.Equal(t, fixes, f.Sense.Fixes, name)
	}
	b, err := LoadInstead(Catalogue(), "nothing-happens", Instead{Craft: "measured-27g"})
	require.NoError(t, err)
	c := b.Rehearsal(1)
	assert.Nil(t, c.Scene)
}
