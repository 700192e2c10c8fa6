package scene

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/render/paint"
	"lapwing/sim"
	"lapwing/sim/sight"
)

// light is what lights the room now.
type light struct {
	ambient float64 // 1 is a bright overcast day
	eyes    float64 // factor by which eyes have adapted to the room as it was built
	lamps   [][4]float32
	places  []vec
	levels  []float64
}

// read takes the light from the world.
func (l *light) read(c *sim.Conditions, w *sim.World) {
	left := 1 - w.Effects.Dimmed
	l.ambient, l.eyes = left, 1
	l.lamps, l.places, l.levels = l.lamps[:0], l.places[:0], l.levels[:0]
	if c.Scene == nil {
		return
	}
	d := &c.Scene.Decor
	l.ambient, l.eyes = left*d.Ambient, adapted(d)
	for i := range d.LampCount {
		lamp := &d.Lamps[i]
		level := left * lamp.LevelAt(float64(w.Tick)*dynamics.DT)
		l.places = append(l.places, lamp.PosW)
		l.levels = append(l.levels, level)
		l.lamps = append(l.lamps, [4]float32{float32(lamp.PosW.X), float32(lamp.PosW.Y), float32(lamp.PosW.Z), float32(level * lamp.Strength)})
	}
}

// adapted is how far eyes open in a room with all its lamps on: half the way to
// seeing it as bright as day, on a scale of factors. What goes out later is seen
// to go out.
func adapted(d *sight.Decor) float64 {
	usual := d.Ambient
	for i := range d.LampCount {
		usual += 0.08 * d.Lamps[i].Strength // about what a lamp gives 3 m away
	}
	return 1 / math.Sqrt(min(max(usual, 0.2), 4))
}

// beyondPanes is by how much it is brighter outside than under shaded glass.
const beyondPanes = 2.0

func (l *light) set(p *paint.Program) {
	p.Float("ambient", float32(l.ambient))
	p.Float("eyes", float32(l.eyes))
	p.Float("outdoors", float32(min(beyondPanes*l.ambient*l.eyes, 1)))
	p.Int("lamps", int32(len(l.lamps)))
	p.Vec4s("lamp", l.lamps)
}

// lampShade is a hanging lamp whose light is at the origin.
func (b *builder) lampShade() {
	b.tube(vec{Z: 0.02}, vec{Z: 0.16}, 0.17, 0.05, 10, lampShade)
	b.tube(vec{Z: 0.16}, vec{Z: 0.8}, 0.006, 0.006, 4, lampShade)
}

// lampGlow is its lit face.
func (b *builder) lampGlow() {
	b.light = glowing
	b.disc(vec{Z: 0.015}, vec{Z: -1}, 0.165, 12, lampGlow, lampGlow)
}

// hangs tells whether a light is a lamp under the roof, and not a window.
func (s *Scene) hangs(at vec) bool {
	const free, drop = 0.3, 1.3 // m
	lo, hi := s.room.lo, s.room.hi
	return at.X > lo.X+free && at.X < hi.X-free && at.Y > lo.Y+free && at.Y < hi.Y-free && at.Z > hi.Z-drop
}

// leastGlow is what a dark lamp's face shows.
const leastGlow = 0.12

func (s *Scene) drawLamps() {
	for i, at := range s.light.places {
		if !s.hangs(at) {
			continue
		}
		m := placed(at, kernel.Quat{W: 1}, 1)
		thing(s.plain, s.lamp, &m, 1)
		s.plain.Float("glow", float32(max(s.light.levels[i], leastGlow)))
		thing(s.plain, s.glow, &m, 1)
	}
	s.plain.Float("glow", 1)
}
