package dynamics

import "math"

// How the craft meets the room.
//
// Points that can touch are the feet and then, for each rotor, the point of its
// guard ring (of its blade circle, where there is no guard) that is deepest
// under a surface. For one sub-step such a point is a fixed point of the body.
//
//  1. find pairs each point with the surfaces that it is inside of, or near
//  2. press moves the body by one RK4 sub-step: spring, damper and bristle of
//     each pair act in every stage
//  3. settle sees what is closed, re-roots the bristles and reports the touch
//
// The normal force is k·depth − c·speed and never pulls. Along the surface a
// bristle, rooted where the point touched first, holds with the same k and c
// until it bears more than μ times the normal force; then its root is dragged
// along. So a resting craft stays where it is to the last bit, which a friction
// law of speed alone cannot do. (P. A. Cundall and O. D. L. Strack, A discrete
// numerical model for granular assemblies, Géotechnique 29(1), 1979; from
// memory.) One hard surface for each point, the deepest, has the bristle; the
// other surfaces that it is inside of press without one. The net's mesh drags
// as a damper, within Coulomb's bound.

const (
	subSteps  = 4             // sub-steps of a tick while something is near
	subDT     = DT / subSteps // s
	nearBy    = 1e-3          // m, added to what the craft can travel in a tick
	maxGrips  = 32            // pairs of point and surface looked at together: what lies in a corner has fewer
	rimBlunt  = 0.01          // 1, of the radius: see ringPoint
	bladeStop = 0.975         // 1, what a sub-step leaves of the speed of a blade that touches: a time constant of 10 ms
	guardHard = 2             // 1, times BreakSpeed, above which a guard does not save the blade
	faces     = 6             // of a box, and of the room
	noGrip    = maxGrips      // no index
)

// grip is a point that is inside a surface or near it, during one sub-step.
type grip struct {
	pointB   Vec3    // m, body axes
	normalW  Vec3    // unit, room axes, away from the surface
	offset   float64 // m, depth = offset − normal·point
	k, c     float64 // N/m, N·s/m, along the normal
	holdK    float64 // N/m, of the bristle; 0 without one
	holdC    float64 // N·s/m, along the surface
	friction float64 // 1
	anchorW  Vec3    // m, root of the bristle
	closing  float64 // m/s, speed towards the surface at the beginning of the sub-step
	depth    float64 // m, at the beginning of the sub-step
	surface  Surface
	kind     Kind
	point    uint8 // feet, then rotors from MaxSkids
}

// pairs is the list of grips in one sub-step.
type pairs struct {
	grips [maxGrips]grip
	n     int
}

// finder holds what find needs while it walks over points and surfaces.
type finder struct {
	c      *Craft
	p      *Place
	s      *State
	margin float64 // m, surfaces nearer than this are taken
	rot    Mat3    // body → room
	shiftW Vec3    // m, of person 0

	point   uint8
	centreW Vec3    // m, foot or hub
	axisW   Vec3    // unit, of the ring
	radius  float64 // m, of the ring; 0 for a foot
	best    int     // index of the deepest hard grip of this point, or noGrip
}

// fillTouch derives the sphere that holds every point that can touch.
func (c *Craft) fillTouch() {
	c.touchReach = 0
	for i := range c.SkidCount {
		c.touchReach = max(c.touchReach, c.Skids[i].Norm())
	}
	for i := range c.RotorCount {
		r := &c.Rotors[i]
		c.touchReach = max(c.touchReach, r.PosB.Norm()+r.rim())
	}
}

// clear tells whether the whole craft is so far from everything that nothing
// can touch in this tick: one sphere round the centre of gravity against room,
// net, boxes and people.
func (c *Craft) clear(p *Place, s *State, in *Input) bool {
	r := c.touchReach + nearBy + float64(2*DT*(math.Abs(s.VelW.X)+math.Abs(s.VelW.Y)+math.Abs(s.VelW.Z)))
	x, y, z := s.PosW.X, s.PosW.Y, s.PosW.Z
	lo, hi := &p.Min, &p.Max
	if p.HasNet {
		lo, hi = &p.NetMin, &p.NetMax
	}
	if !(z-r > p.Min.Z && z+r < hi.Z && x-r > lo.X && x+r < hi.X && y-r > lo.Y && y+r < hi.Y) {
		return false
	}
	for i := range min(p.BoxCount, MaxBoxes) {
		b := &p.Boxes[i]
		if z-r < b.Max.Z && z+r > b.Min.Z && x-r < b.Max.X && x+r > b.Min.X && y-r < b.Max.Y && y+r > b.Min.Y {
			return false
		}
	}
	for i := range min(p.PersonCount, MaxPeople) {
		m := &p.People[i]
		px, py, pz := m.PosW.X, m.PosW.Y, m.PosW.Z
		if i == 0 {
			px, py, pz = px+in.PersonShiftW.X, py+in.PersonShiftW.Y, pz+in.PersonShiftW.Z
		}
		dx, dy, reach := x-px, y-py, m.Radius+r
		if z-r < pz+m.Height && float64(dx*dx)+float64(dy*dy) < float64(reach*reach) {
			return false
		}
	}
	return true
}

// find lists the pairs of points and surfaces that are closed or nearer than
// margin.
func (g *pairs) find(c *Craft, p *Place, s *State, in *Input, margin float64) {
	g.n = 0
	f := finder{c: c, p: p, s: s, margin: margin, rot: s.QWB.Matrix(), shiftW: in.PersonShiftW}
	for i := range min(c.SkidCount, MaxSkids) {
		f.point, f.radius = uint8(i), 0
		f.centreW = s.PosW.Add(f.rot.MulVec(c.Skids[i]))
		g.findPoint(&f)
	}
	for i := range min(c.RotorCount, MaxRotors) {
		r := &c.Rotors[i]
		f.point, f.radius = uint8(MaxSkids+i), r.rim()
		f.centreW = s.PosW.Add(f.rot.MulVec(r.PosB))
		f.axisW = f.rot.MulVec(r.AxisB)
		g.findPoint(&f)
	}
}

// rim returns the radius that touches first: the guard's, or the blade's.
func (r *Rotor) rim() float64 {
	if r.Guard > 0 {
		return r.Guard
	}
	return 0.5 * r.Diameter
}

// findPoint pairs one point with all surfaces; the deepest hard one gets the
// bristle.
func (g *pairs) findPoint(f *finder) {
	f.best = noGrip
	p := f.p
	for i := range faces {
		n, at := axisFace(&p.Min, &p.Max, i, -1)
		g.tryPlane(f, n, at, roomFaces[i], kindOfRoom(f, roomFaces[i]))
	}
	for i := range min(p.BoxCount, MaxBoxes) {
		g.tryBox(f, &p.Boxes[i], SurfaceBox+Surface(i))
	}
	for i := range min(p.PersonCount, MaxPeople) {
		shift := Vec3{}
		if i == 0 {
			shift = f.shiftW
		}
		g.tryPerson(f, &p.People[i], shift)
	}
	if f.best != noGrip {
		g.root(f, &g.grips[f.best])
	}
	if p.HasNet {
		g.findNet(f)
	}
}

// roomFaces names the room's faces in the order of axisFace.
var roomFaces = [faces]Surface{
	SurfaceWallXMin, SurfaceWallXMax, SurfaceWallYMin, SurfaceWallYMax, SurfaceFloor, SurfaceCeiling,
}

// netFaces names the net's; it has no floor.
var netFaces = [faces]Surface{
	SurfaceNetXMin, SurfaceNetXMax, SurfaceNetYMin, SurfaceNetYMax, SurfaceNone, SurfaceNetTop,
}

// axisFace returns face i (x−, x+, y−, y+, z−, z+) of a box as the plane
// n·p = at with n pointing out of the box (side +1) or into it (side −1).
func axisFace(lo, hi *Vec3, i int, side float64) (n Vec3, at float64) {
	switch i {
	case 0:
		return Vec3{X: -side}, -side * lo.X
	case 1:
		return Vec3{X: side}, side * hi.X
	case 2:
		return Vec3{Y: -side}, -side * lo.Y
	case 3:
		return Vec3{Y: side}, side * hi.Y
	case 4:
		return Vec3{Z: -side}, -side * lo.Z
	}
	return Vec3{Z: side}, side * hi.Z
}

// kindOfRoom says what sort of touch a room's face makes.
func kindOfRoom(f *finder, s Surface) Kind {
	switch s {
	case SurfaceFloor:
		return f.standing()
	case SurfaceCeiling:
		return TouchCeiling
	}
	return TouchWall
}

// standing is the sort of touch on a floor or a box's top.
func (f *finder) standing() Kind {
	if f.point < MaxSkids {
		return TouchSkidFloor
	}
	return TouchRotorFloor
}

// deepest returns the point (m, room axes) of the foot or ring that is deepest
// under a plane with normal n, and how far the ring reaches towards it.
//
// The rim is blunted by a hundredth of its radius R: with t = |n − (n·a)a| the
// sine of its tilt, it reaches R(√(t² + ε²) − ε) instead of R·t, and the point
// is the gradient of that. Without it a ring lying flat would press with a point
// that jumps across the whole ring at the least tilt.
func (f *finder) deepest(n Vec3) (at Vec3, reach float64) {
	if f.radius == 0 {
		return f.centreW, 0
	}
	t := n.AddScaled(-n.Dot(f.axisW), f.axisW)
	e := math.Sqrt(t.NormSq() + float64(rimBlunt*rimBlunt))
	return f.centreW.AddScaled(-f.radius/e, t), float64(f.radius * (e - rimBlunt))
}

// tryPlane takes the plane n·p = at if the point is near it.
func (g *pairs) tryPlane(f *finder, n Vec3, at float64, surface Surface, kind Kind) {
	height := n.Dot(f.centreW) - at
	if height > f.radius+f.margin {
		return
	}
	point, reach := f.deepest(n)
	g.add(f, n, point, reach-height, surface, kind)
}

// tryBox takes the face of the box through which the point is least inside.
func (g *pairs) tryBox(f *finder, b *Box, surface Surface) {
	least, face := math.Inf(-1), 0
	for i := range faces {
		n, at := axisFace(&b.Min, &b.Max, i, 1)
		height := n.Dot(f.centreW) - at
		if height > f.radius+f.margin {
			return
		}
		_, reach := f.deepest(n)
		if height-reach > least {
			least, face = height-reach, i
		}
	}
	if least > f.margin {
		return
	}
	n, _ := axisFace(&b.Min, &b.Max, face, 1)
	point, _ := f.deepest(n)
	kind := TouchWall
	if face == faces-1 {
		kind = f.standing()
	}
	g.add(f, n, b.under(point, face), -least, surface, kind)
}

// under moves a ring's point along the face to where the face is.
func (b *Box) under(p Vec3, face int) Vec3 {
	if face > 1 {
		p.X = max(b.Min.X, min(b.Max.X, p.X))
	}
	if face < 2 || face > 3 {
		p.Y = max(b.Min.Y, min(b.Max.Y, p.Y))
	}
	if face < 4 {
		p.Z = max(b.Min.Z, min(b.Max.Z, p.Z))
	}
	return p
}

// tryPerson takes the side or the top of an upright cylinder, through which the
// point is least inside.
func (g *pairs) tryPerson(f *finder, m *Person, shiftW Vec3) {
	foot := m.PosW.Add(shiftW)
	out := f.centreW.Sub(foot)
	out.Z = 0
	over := f.centreW.Z - foot.Z - m.Height
	dist := out.Norm()
	if over > f.radius+f.margin || dist > m.Radius+f.radius+f.margin {
		return
	}
	n := out.Unit(Vec3{X: 1})
	point, reach := f.deepest(n)
	depth := m.Radius + reach - dist
	up := Vec3{Z: 1}
	topPoint, topReach := f.deepest(up)
	if topDepth := topReach - over; topDepth < depth {
		n, point, depth = up, topPoint, topDepth
	}
	if depth > -f.margin {
		g.add(f, n, point, depth, SurfacePerson, TouchPerson)
	}
}

// add appends a hard grip and remembers the deepest of this point. Pairs past
// the bound are left out.
func (g *pairs) add(f *finder, n, point Vec3, depth float64, surface Surface, kind Kind) {
	if depth < -f.margin || g.n == maxGrips {
		return
	}
	k := &f.c.Contact
	e := &g.grips[g.n]
	armW := point.Sub(f.s.PosW)
	*e = grip{
		pointB: f.s.QWB.RotateInv(armW), normalW: n, offset: depth + n.Dot(point),
		k: k.Stiffness, c: k.Damping, friction: k.Friction,
		depth: depth, surface: surface, kind: kind, point: f.point,
	}
	velW := f.s.VelW.Add(f.s.QWB.Rotate(f.s.OmegaB.Cross(e.pointB)))
	e.closing = -n.Dot(velW)
	if f.best == noGrip || depth > g.grips[f.best].depth {
		f.best = g.n
	}
	g.n++
}

// root gives a grip its bristle: the old one where the point touched the same
// surface before, else a fresh one rooted where the point is.
func (g *pairs) root(f *finder, e *grip) {
	e.holdK, e.holdC = f.c.Contact.Stiffness, f.c.Contact.Damping
	e.anchorW = f.s.PosW.Add(f.s.QWB.Rotate(e.pointB))
	if f.s.Against[e.point] == e.surface {
		e.anchorW = e.anchorW.Sub(f.s.BentW[e.point])
	}
}

// findNet pairs the point with the faces of the net.
func (g *pairs) findNet(f *finder) {
	p := f.p
	hard := f.best
	for i := range faces {
		if netFaces[i] == SurfaceNone {
			continue
		}
		before := g.n
		n, at := axisFace(&p.NetMin, &p.NetMax, i, -1)
		g.tryPlane(f, n, at, netFaces[i], TouchNet)
		if g.n > before {
			e := &g.grips[before]
			e.k, e.c, e.holdC = p.NetStiffness, p.NetDamping, p.NetDamping
		}
	}
	f.best = hard
}

// force returns what a grip gives with the body's point at arm armW (room axes)
// from posW and moving with velW: its force (N, room axes) and the normal part.
func (e *grip) force(posW, armW, velW Vec3) (f Vec3, normal float64) {
	n := e.normalW
	at := posW.Add(armW)
	depth := e.offset - n.Dot(at)
	if depth <= 0 {
		return Vec3{}, 0
	}
	vn := n.Dot(velW)
	normal = float64(e.k*depth) - float64(e.c*vn)
	if normal <= 0 {
		return Vec3{}, 0
	}
	slip := velW.AddScaled(-vn, n).Scale(-e.holdC)
	if e.holdK > 0 {
		bent := at.Sub(e.anchorW)
		slip = slip.AddScaled(-e.holdK, bent.AddScaled(-n.Dot(bent), n))
	}
	bound := float64(e.friction * normal)
	if size := slip.NormSq(); size > float64(bound*bound) {
		slip = slip.Scale(bound / math.Sqrt(size))
	}
	return slip.AddScaled(normal, n), normal
}

// pull adds what the grips do to the accelerations of the free body.
func (g *pairs) pull(h *held, posW Vec3, q Quat, v, w Vec3, accW, alphaB Vec3) (Vec3, Vec3) {
	var force, moment Vec3
	for i := range g.n {
		e := &g.grips[i]
		armW := q.Rotate(e.pointB)
		f, normal := e.force(posW, armW, v.Add(q.Rotate(w.Cross(e.pointB))))
		if normal > 0 {
			force = force.Add(f)
			moment = moment.Add(armW.Cross(f))
		}
	}
	return accW.AddScaled(1/h.craft.Mass, force), alphaB.Add(h.craft.InertiaInv.MulVec(q.RotateInv(moment)))
}

// press moves the body by one RK4 step of dt seconds under what h holds and the
// grips.
func (g *pairs) press(s *State, h *held, dt float64) {
	half, third, sixth := 0.5*dt, dt*(1.0/3), dt*(1.0/6)
	x0, q0, v0, w0 := s.PosW, s.QWB, s.VelW, s.OmegaB

	a1, b1, d1 := h.accelerate(q0, v0, w0)
	a1, b1 = g.pull(h, x0, q0, v0, w0, a1, b1)

	x, q, v2, w := x0.AddScaled(half, v0), addQuat(q0, d1, 0.5*half), v0.AddScaled(half, a1), w0.AddScaled(half, b1)
	a2, b2, d2 := h.accelerate(q, v2, w)
	a2, b2 = g.pull(h, x, q, v2, w, a2, b2)

	x, q, v3, w := x0.AddScaled(half, v2), addQuat(q0, d2, 0.5*half), v0.AddScaled(half, a2), w0.AddScaled(half, b2)
	a3, b3, d3 := h.accelerate(q, v3, w)
	a3, b3 = g.pull(h, x, q, v3, w, a3, b3)

	x, q, v4, w := x0.AddScaled(dt, v3), addQuat(q0, d3, half), v0.AddScaled(dt, a3), w0.AddScaled(dt, b3)
	a4, b4, d4 := h.accelerate(q, v4, w)
	a4, b4 = g.pull(h, x, q, v4, w, a4, b4)

	a2, b2, d2 = a2.Add(a3), b2.Add(b3), sumQuat(d2, d3)
	s.PosW = x0.AddScaled(third, v2.Add(v3)).AddScaled(sixth, v0.Add(v4))
	s.VelW = v0.AddScaled(third, a2).AddScaled(sixth, a1.Add(a4))
	s.OmegaB = w0.AddScaled(third, b2).AddScaled(sixth, b1.Add(b4))
	s.QWB = renorm(addQuat(addQuat(q0, d2, 0.5*third), sumQuat(d1, d4), 0.5*sixth))
}

// settle sees what is closed after a sub-step: it re-roots the bristles, writes
// what each point is against, and reports.
func (g *pairs) settle(c *Craft, s *State) {
	var against [MaxPoints]Surface
	for i := range g.n {
		e := &g.grips[i]
		armW := s.QWB.Rotate(e.pointB)
		at := s.PosW.Add(armW)
		if e.offset-e.normalW.Dot(at) <= 0 {
			continue
		}
		_, normal := e.force(s.PosW, armW, s.VelW.Add(s.QWB.Rotate(s.OmegaB.Cross(e.pointB))))
		s.note(c, e, normal)
		now := &against[e.point]
		switch {
		case e.holdK > 0: // the deepest hard one
			*now = e.surface
			s.BentW[e.point] = e.bent(at, normal)
		case *now == SurfaceNone:
			*now = e.surface
			s.BentW[e.point] = Vec3{}
		}
	}
	s.Against = against
}

// bent returns how far the bristle is bent after a sub-step that ended with the
// point at the given place (m, room axes): from its root, but no further than
// friction bears. The root follows a point that slides.
func (e *grip) bent(at Vec3, normal float64) Vec3 {
	bent := at.Sub(e.anchorW)
	bent = bent.AddScaled(-e.normalW.Dot(bent), e.normalW)
	length := bent.Norm()
	bound := float64(e.friction*normal) / e.holdK
	if length <= bound {
		return bent
	}
	return bent.Scale(bound / length)
}

// note writes a closed grip into the tick's report and lets blades suffer.
func (s *State) note(c *Craft, e *grip, normal float64) {
	t := &s.Touch
	t.Kinds |= e.kind
	if e.kind == TouchSkidFloor {
		t.Load += normal * (1.0 / subSteps)
	}
	began := e.depth <= 0 // open when the sub-step began
	if began {
		t.Speed = max(t.Speed, e.closing)
	}
	if e.point < MaxSkids {
		return
	}
	i := e.point - MaxSkids
	r := &c.Rotors[i]
	bears := r.BreakSpeed
	if r.Guard > 0 {
		bears *= guardHard
	}
	if began && e.closing > bears {
		s.Broken[i] = true
	}
	if r.Guard == 0 {
		// The surface takes up the blade's momentum, not the frame.
		s.RotorSpeed[i] *= bladeStop
	}
}
