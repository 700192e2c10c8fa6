package scene

import (
	"math"

	"github.com/go-gl/gl/v4.1-core/gl"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/render/paint"
	"lapwing/sim"
)

// Draw draws the world as seen from v into the part r (pixels, from the lower
// left corner) of what is drawn into.
func (s *Scene) Draw(v View, o Options, c *sim.Conditions, w *sim.World, r Port) {
	s.spin(&c.Craft, w)
	aspect := float64(r.Width) / float64(r.Height)
	e := lookFrom(v, &o, &c.Place, w.Craft.PosW, aspect)
	s.render(&e, v, &o, c, w, r)
}

// Port is a part of what is drawn into, in pixels from its lower left corner.
type Port struct{ X, Y, Width, Height int }

func (s *Scene) render(e *eye, v View, o *Options, c *sim.Conditions, w *sim.World, r Port) {
	gl.Viewport(int32(r.X), int32(r.Y), int32(r.Width), int32(r.Height))
	gl.Scissor(int32(r.X), int32(r.Y), int32(r.Width), int32(r.Height))
	gl.Enable(gl.SCISSOR_TEST)
	gl.ClearColor(0.75, 0.8, 0.78, 1)
	gl.Clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT)
	gl.Enable(gl.DEPTH_TEST)
	gl.DepthFunc(gl.LEQUAL)
	gl.DepthMask(true)
	gl.Enable(gl.CULL_FACE)
	gl.Disable(gl.BLEND)

	view := e.matrix(float64(r.Width) / float64(r.Height))
	s.light.read(c, w)
	for _, p := range []*paint.Program{s.plain, s.grained, s.netted, s.far} {
		p.Use()
		p.Matrix("view", &view)
		s.light.set(p)
	}
	s.drawSolid(v, o, c, w, &view)
	gl.Enable(gl.BLEND)
	gl.BlendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA)
	gl.DepthMask(false)
	s.drawThin(v, c, w)
	if o.Ghost {
		ghost := placed(w.Estimate.Belief.PosW, w.Estimate.Belief.QWB, 1)
		thing(s.plain, s.ghost, &ghost, 0.55)
	}
	gl.DepthMask(true)
	gl.Disable(gl.SCISSOR_TEST)
}

var here = paint.Identity()

// thing draws m with p at a place and with that opacity.
func thing(p *paint.Program, m *paint.Mesh, at *paint.Mat4, opacity float64) {
	p.Use()
	p.Matrix("place", at)
	p.Float("opacity", float32(opacity))
	m.Draw()
}

func (s *Scene) drawSolid(v View, o *Options, c *sim.Conditions, w *sim.World, view *paint.Mat4) {
	if v != camera {
		craft := placed(w.Craft.PosW, w.Craft.QWB, 1)
		thing(s.plain, s.body, &craft, 1)
	}
	s.drawPeople(v, c, w)
	s.drawLamps()
	if o.CageLines {
		thing(s.plain, s.cage, &here, 1)
	}
	s.still(s.plain, s.solid, view)
	s.grained.Use()
	s.grained.Int("noise", 0)
	gl.ActiveTexture(gl.TEXTURE0)
	gl.BindTexture(gl.TEXTURE_2D, s.noise)
	s.still(s.grained, s.patterned, view)
	s.still(s.grained, s.specked, view)
	s.far.Use()
	s.garden.draw(view)
}

// still draws what of a field is in the picture.
func (s *Scene) still(p *paint.Program, f *field, view *paint.Mat4) {
	p.Use()
	p.Matrix("place", &here)
	p.Float("opacity", 1)
	f.draw(view)
}

// walked is how far person 0 must have moved to be seen from his own place.
const walked = 0.4 // m

func (s *Scene) drawPeople(v View, c *sim.Conditions, w *sim.World) {
	for i := range c.Place.PersonCount {
		if i == 0 && v == PilotsPlace && w.Input.PersonShiftW.Norm() < walked {
			continue
		}
		at := where(&c.Place, &w.Input, i)
		m := placed(at, kernel.QuatYaw(facing(at, w.Craft.PosW)), 1)
		thing(s.plain, s.people[i], &m, 1)
	}
}

// drawThin draws what lets light through, from the floor upwards.
func (s *Scene) drawThin(v View, c *sim.Conditions, w *sim.World) {
	thing(s.plain, s.decals, &here, 1)
	s.drawShadow(c, w)
	thing(s.netted, s.net, &here, 1)
	if v != camera {
		s.drawRotors(&c.Craft, w)
		s.drawSmoke(c, w)
	}
}

// Where the shadow lies and how soft it is tells the height: the main cue that a
// flat picture gives. An even sky casts it straight down.
const (
	shadeDark   = 0.85 // opacity on the floor
	shadeFade   = 0.40 // 1/m, by which height thins it
	shadeSpread = 0.22 // by which a metre of height widens it
)

func (s *Scene) drawShadow(c *sim.Conditions, w *sim.World) {
	craft := &w.Craft
	base := below(&c.Place, craft.PosW)
	height := max(craft.PosW.Z-base, 0)
	dark := shadeDark / (1 + shadeFade*height)
	spot := func(at vec, radius, k float64) {
		at.Z = base + 0.022
		m := placed(at, kernel.Quat{W: 1}, radius*(1.15+shadeSpread*height))
		thing(s.plain, s.shade, &m, k*dark)
	}
	spot(craft.PosW, 0.55*c.Craft.Reach(), 1)
	for i := range c.Craft.RotorCount {
		r := &c.Craft.Rotors[i]
		spot(craft.PosW.Add(craft.QWB.Rotate(r.PosB)), max(r.Guard, r.Diameter/2), 0.62)
	}
}

// below is the height of the surface straight under p.
func below(place *dynamics.Place, p vec) float64 {
	z := place.Min.Z
	for i := range place.BoxCount {
		b := &place.Boxes[i]
		if p.X > b.Min.X && p.X < b.Max.X && p.Y > b.Min.Y && p.Y < b.Max.Y && b.Max.Z <= p.Z {
			z = max(z, b.Max.Z)
		}
	}
	return z
}

// Speeds between which blades turn into a disc for the eye.
const (
	bladesSeen = 25.0 // rad/s
	bladesGone = 110.0
)

func (s *Scene) drawRotors(c *dynamics.Craft, w *sim.World) {
	if w.Input.PropsOff {
		return
	}
	for i := range c.RotorCount {
		r, speed := &c.Rotors[i], w.Craft.RotorSpeed[i]
		blur := kernel.Clamp((speed-bladesSeen)/(bladesGone-bladesSeen), 0, 1)
		hub := w.Craft.PosW.Add(w.Craft.QWB.Rotate(r.PosB))
		tilt := w.Craft.QWB.Mul(upright(r.AxisB))
		m := placed(hub, tilt.Mul(kernel.QuatYaw(s.turn[i])), r.Diameter/2)
		if w.Craft.Broken[i] {
			thing(s.plain, s.stubs, &m, 1)
			continue
		}
		thing(s.plain, s.blades, &m, 1-0.8*blur)
		disc := s.whirl
		if r.PosB.X > 0.02 {
			disc = s.whirlFront
		}
		full := 0.45 + 0.55*min(speed/(0.6*r.SpeedMax), 1)
		thing(s.plain, disc, &m, blur*full)
	}
}

// drawSmoke lets smoke rise from the pack, where a person would see it.
func (s *Scene) drawSmoke(c *sim.Conditions, w *sim.World) {
	if !w.Percept.Smoke {
		return
	}
	const puffs, life = 7, 2100 // ticks
	size := c.Craft.Reach()
	for k := range int64(puffs) {
		age := float64((w.Tick+k*life/puffs)%life) / life
		at := w.Craft.PosW.Add(vec{X: 0.2 * size * math.Sin(3*age+float64(k)), Y: 0.3 * size * age, Z: 2.6 * size * age})
		m := placed(at, kernel.Quat{W: 1}, size*(0.12+0.45*age))
		thing(s.plain, s.puff, &m, 1-age)
	}
}

// upright is the turn that brings z to axis.
func upright(axis vec) kernel.Quat {
	q := kernel.Quat{W: 1 + axis.Z, X: -axis.Y, Y: axis.X}
	return q.Normalized()
}
