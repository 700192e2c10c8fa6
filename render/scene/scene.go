// Package scene draws the glasshouse and the craft in it.
//
// It stands apart from the instruments, because it shows what a person at the
// pilot's place could see, and nothing that is only known. The way of the data:
//
//  1. New turns room and craft file into triangles, once        (room.go, garden.go, craft.go …)
//  2. Draw takes the World as it is, looks from a View           (view.go)
//  3. the light of lamps and sky is worked out at the vertices   (shader.go)
//  4. solid things are drawn, then shadows, net and rotor discs  (draw.go)
//
// It reads Conditions and World and never writes them. The only thing that it
// keeps of a flight is how far each rotor has turned.
package scene

import (
	"math"

	"github.com/go-gl/gl/v4.1-core/gl"

	"lapwing/dynamics"
	"lapwing/render/paint"
	"lapwing/sim"
)

// Options are a person's choices for the picture.
type Options struct {
	FovY      float64 // rad, angle of view over the picture's height, 0.3 … 1.6
	CageLines bool    // show where the craft may fly
	Ghost     bool    // show a blue craft where the estimate thinks it is: for a replay
}

// DefaultOptions returns what most people will want: a view that holds most of
// the bay and still shows a small craft at six metres (a judgement).
func DefaultOptions() Options { return Options{FovY: 0.60} }

// Scene is a room and a craft, ready to be drawn.
type Scene struct {
	plain, grained, netted, far *paint.Program
	noise                       uint32

	solid, patterned, garden, specked *field // what never moves: in the room, outside
	decals, net, cage                 *paint.Mesh
	people                            [dynamics.MaxPeople]*paint.Mesh
	lamp, glow                        *paint.Mesh

	body, ghost, blades, stubs, whirl, whirlFront, shade, puff *paint.Mesh

	room  struct{ lo, hi vec } // its walls
	light light
	turn  [dynamics.MaxRotors]float64 // rad, of each rotor
	tick  int64                       // of the last picture
}

// New builds the scene of a run. It needs a current OpenGL context.
func New(c *sim.Conditions) (*Scene, error) {
	s := &Scene{}
	var err error
	if s.plain, err = paint.NewProgram(vertexShader, plainShader); err != nil {
		return nil, err
	}
	if s.grained, err = paint.NewProgram(vertexShader, grainShader); err != nil {
		return nil, err
	}
	if s.far, err = paint.NewProgram(farShader, plainShader); err != nil {
		return nil, err
	}
	if s.netted, err = paint.NewProgram(vertexShader, netShader); err != nil {
		return nil, err
	}
	s.noise = noiseTexture()
	s.buildRoom(c)
	s.buildCraft(&c.Craft)
	return s, nil
}

func mesh(build func(b *builder)) *paint.Mesh {
	var b builder
	build(&b)
	m := paint.NewMesh(layout...)
	paint.Fill(m, b.vertices, b.indices, false)
	return m
}

func (s *Scene) buildRoom(c *sim.Conditions) {
	p := &c.Place
	s.room.lo, s.room.hi = p.Min, p.Max
	s.solid = newField(func(b *builder) {
		for i := range p.BoxCount {
			b.shelfFor(&p.Boxes[i], uint64(i+1))
		}
		b.bars(p)
		b.roof(p)
		b.ropes(p)
		if c.Scene != nil {
			b.landmarks(c.Scene, p)
		}
	})
	s.garden = newField(func(b *builder) {
		b.neighbours(p)
		b.sky()
	})
	s.patterned = newField(func(b *builder) {
		b.floor(p)
		b.lowWall(p)
	})
	s.specked = newField(func(b *builder) {
		b.ground(p)
		b.hedges(p)
	})
	s.decals = mesh(func(b *builder) {
		b.corners(p)
		b.takeOff(p.TakeOff, max(0.3, 1.25*c.Craft.Reach()))
	})
	s.net = mesh(func(b *builder) { b.net(p) })
	s.cage = mesh(func(b *builder) { b.cageLines(p) })
	for i := range p.PersonCount {
		coat := coatGreen
		if i%2 == 1 {
			coat = coatBlue
		}
		s.people[i] = mesh(func(b *builder) { b.figure(&p.People[i], coat, i == 0) })
	}
	s.lamp, s.glow = mesh((*builder).lampShade), mesh((*builder).lampGlow)
}

func (s *Scene) buildCraft(c *dynamics.Craft) {
	s.body = mesh(func(b *builder) { b.body(c) })
	s.ghost = mesh(func(b *builder) {
		b.body(c)
		b.tint(paint.Blue)
	})
	s.blades = mesh(func(b *builder) { b.blades(false) })
	s.stubs = mesh(func(b *builder) { b.blades(true) })
	s.whirl = mesh(func(b *builder) { b.whirl(false) })
	s.whirlFront = mesh(func(b *builder) { b.whirl(true) })
	s.shade = mesh((*builder).shade)
	s.puff = mesh((*builder).puff)
}

// tint gives all that was built a colour.
func (b *builder) tint(c paint.Color) {
	for i := range b.vertices {
		b.vertices[i].color = b.vertices[i].color.Mix(c, 0.8)
	}
}

// cageLines marks the edges of where the craft may fly.
func (b *builder) cageLines(p *dynamics.Place) {
	b.light = glowing
	lo, hi := p.CageMin, p.CageMax
	lo.Z += 0.012
	c := paint.Orange
	x := [2]float64{lo.X, hi.X}
	y := [2]float64{lo.Y, hi.Y}
	z := [2]float64{lo.Z, hi.Z}
	for i := range 2 {
		for j := range 2 {
			b.beam(vec{X: x[0], Y: y[i], Z: z[j]}, vec{X: x[1], Y: y[i], Z: z[j]}, 0.03, c)
			b.beam(vec{X: x[i], Y: y[0], Z: z[j]}, vec{X: x[i], Y: y[1], Z: z[j]}, 0.03, c)
			b.beam(vec{X: x[i], Y: y[j], Z: z[0]}, vec{X: x[i], Y: y[j], Z: z[1]}, 0.03, c)
		}
	}
}

// Release gives the scene's memory back.
func (s *Scene) Release() {
	for _, m := range []*paint.Mesh{s.decals, s.net, s.cage, s.lamp, s.glow,
		s.body, s.ghost, s.blades, s.stubs, s.whirl, s.whirlFront, s.shade, s.puff} {
		m.Release()
	}
	for _, f := range []*field{s.solid, s.patterned, s.garden, s.specked} {
		f.release()
	}
	for _, m := range s.people {
		if m != nil {
			m.Release()
		}
	}
	gl.DeleteTextures(1, &s.noise)
}

// spin turns the rotors on from the last picture's tick.
func (s *Scene) spin(c *dynamics.Craft, w *sim.World) {
	dt := float64(w.Tick-s.tick) * dynamics.DT
	s.tick = w.Tick
	if dt < 0 || dt > 0.5 { // another world: rotors stand anywhere
		dt = 0
	}
	for i := range c.RotorCount {
		r := &c.Rotors[i]
		s.turn[i] = math.Remainder(s.turn[i]+r.Spin*w.Craft.RotorSpeed[i]*dt, 2*math.Pi)
	}
}
