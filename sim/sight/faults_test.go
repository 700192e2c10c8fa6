package sight

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// wallRoom is a room with a wall of texture 3 m ahead, and nothing else to see.
func wallRoom(change func(p *dynamics.Place, d *Decor)) (sc Scene) {
	place := dynamics.Place{Min: Vec3{X: -3, Y: -3}, Max: Vec3{X: 3, Y: 3, Z: 3}}
	decor := Decor{Ambient: 1}
	decor.Texture[FaceXMax] = Texture{Density: 20, Contrast: 0.7}
	change(&place, &decor)
	Draw(&sc, &place, &decor, 1)
	return sc
}

// pictured takes pictures at the given ticks from the room's middle by a camera
// without errors, with new tracks after the first, and returns its state.
func pictured(sc *Scene, f func(tick int64) Faults, ticks ...int64) State {
	p := DefaultParams()
	p.Tilt, p.Noise, p.Walk, p.FocalError, p.MountError, p.TimeError = 0, 0, 0, 0, 0, 0
	s := Start(&p, 1)
	craft := dynamics.State{PosW: Vec3{Z: 1.5}, QWB: kernel.QuatIdentity}
	var rel estimate.Relative
	for i, tick := range ticks {
		fault := f(tick)
		Look(&p, sc, &s, &craft, &estimate.Guess{}, &fault, 1, tick, &rel)
		if i == 0 {
			s.search(&p, sc, 1)
		}
	}
	return s
}

func sound(int64) Faults { return Faults{} }

// from returns f from tick 40 on, and no fault before.
func from(f Faults) func(int64) Faults {
	return func(tick int64) Faults {
		if tick < 40 {
			return Faults{}
		}
		return f
	}
}

func live(s *State) (n int) {
	for i := range s.Tracks {
		if s.Tracks[i].ID >= 0 {
			n++
		}
	}
	return n
}

// Goal: what is seen elsewhere, a camera turned in its mount and a dead computer
// do to bearings what they say, and to nothing else.
func TestFaultsMoveBearings(t *testing.T) {
	sc := wallRoom(func(*dynamics.Place, *Decor) {})
	want := pictured(&sc, sound, 0, 40)
	require.Greater(t, live(&want), 15)

	moved := pictured(&sc, from(Faults{SeenOffsetW: Vec3{Y: 0.3}}), 0, 40)
	turned := pictured(&sc, from(Faults{MountYaw: 0.1}), 0, 40)
	for i := range want.Tracks {
		a, b, c := &want.Tracks[i], &moved.Tracks[i], &turned.Tracks[i]
		if a.ID < 0 {
			continue
		}
		if b.ID == a.ID { // to the left, so 3 m ahead things go right
			assert.InDelta(t, a.X+0.3/3, b.X, 1e-9)
			assert.InDelta(t, a.Y, b.Y, 1e-9)
		}
		if c.ID == a.ID { // turned left, the same
			assert.InDelta(t, math.Tan(math.Atan(a.X)+0.1), c.X, 1e-9)
		}
	}
	dead := pictured(&sc, from(Faults{Dead: true}), 0, 40)
	assert.EqualValues(t, 1, dead.Frames)
	assert.False(t, dead.Arrives(1000))
}

// Goal: leaves swing by what their patch says, with its period, and the rest of
// the wall does not.
func TestLeavesSwing(t *testing.T) {
	const sway, period = 0.06, 2.0
	sc := wallRoom(func(_ *dynamics.Place, d *Decor) {
		d.LeafCount = 1
		d.Leaves[0] = Leaves{Min: Vec3{X: 2.9}, Max: Vec3{X: 3, Y: 3, Z: 3}, SwayW: Vec3{Y: sway}, Period: period}
	})
	var low, high [MaxLandmarks]float64
	ticks := []int64{0}
	for tick := int64(40); tick <= 2000; tick += 40 {
		ticks = append(ticks, tick)
		s := pictured(&sc, sound, ticks...)
		for i := range s.Tracks {
			if tr := &s.Tracks[i]; tr.ID >= 0 {
				off := tr.X + sc.Landmarks[tr.ID].PosW.Y/3 // from where it stands without wind; the wall is 3 m ahead
				low[tr.ID], high[tr.ID] = min(low[tr.ID], off), max(high[tr.ID], off)
			}
		}
	}
	end := pictured(&sc, sound, ticks...)
	swinging := 0
	for i := range end.Tracks {
		tr := &end.Tracks[i]
		if tr.ID < 0 {
			continue
		}
		want := 0.0
		if sc.Landmarks[tr.ID].PosW.Y >= 0 {
			want = sway / 3
			swinging++
		}
		assert.InDelta(t, -want, low[tr.ID], 2e-4)
		assert.InDelta(t, want, high[tr.ID], 2e-4)
	}
	assert.Greater(t, swinging, 5)
}

// Goal: a person who walks in front of the camera hides what is behind, and gives
// it free again.
func TestPersonHides(t *testing.T) {
	sc := wallRoom(func(p *dynamics.Place, _ *Decor) {
		p.PersonCount = 1
		p.People[0] = dynamics.Person{PosW: Vec3{X: -2, Y: -2}, Radius: 0.3, Height: 2.5}
	})
	seen := pictured(&sc, sound, 0, 40)
	hidden := pictured(&sc, from(Faults{WalkedW: Vec3{X: 3, Y: 2}}), 0, 40)
	gone := 0
	for i := range seen.Tracks {
		a, b := &seen.Tracks[i], &hidden.Tracks[i]
		if a.ID >= 0 && b.ID < 0 {
			gone++
			assert.Less(t, math.Abs(a.X), 0.3/0.7+1e-9, "behind the person, 0.7 m ahead at the nearest")
		}
	}
	assert.Greater(t, gone, 5)
	assert.Greater(t, live(&hidden), 0)
}
