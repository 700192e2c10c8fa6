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
//     each pair act in every stage                                  (grip.go)
//  3. settle sees what is closed, re-roots the bristles and reports  (grip.go)
//
// The normal force is k·depth − c·speed and never pulls. Along the surface a
// bristle, rooted where the point touched first, holds with the same k and c
// until it bears more than μ times the normal force; then its root is dragged
// along. So a resting craft stays where it is, to rounding, which a friction
// law of speed alone cannot do. (P. A. Cundall and O. D. L. Strack, A discrete
// numerical model for granular assemblies, Géotechnique 29(1), 1979; from
// memory.) One hard surface for each point, the deepest, has the bristle; the
// other surfaces that it is inside of press without one. The net's mesh drags
// as a damper, within Coulomb's bound.

const (
	subSteps  = 4             // sub-steps of a tick while something is near
	subDT     = DT / subSteps // s
	nearBy    = 1e-3          // m, added to what the craft can travel in a tick
	maxSplits = 4             // sub-steps of a tick that may end early where a point meets a surface
	minSplit  = 1e-6          // s, shortest of these
	maxGrips  = 32            // pairs of point and surface looked at together: what lies in a corner has fewer
	rimBlunt  = 0.01          // 1, of the radius: see deepest
	bladeStop = 0.1           // 1, share of its speed that a blade loses in a tick of touching: a time constant of 10 ms
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
	far   [MaxPoints]bool // points that no surface is near in the whole tick
}

// finder holds what find needs while it walks over points and surfaces.
type finder struct {
	c      *Craft
	p      *Place
	s      *State
	margin float64 // m, surfaces nearer than this are taken
	rot    Mat3    // body → room
	omegaW Vec3    // rad/s
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
// margin, which must cover what a point can travel in the rest of the tick: a
// point found far stays out of later calls.
func (g *pairs) find(c *Craft, p *Place, s *State, in *Input, margin float64) {
	g.n = 0
	f := finder{c: c, p: p, s: s, margin: margin, rot: s.QWB.Matrix(), shiftW: in.PersonShiftW}
	f.omegaW = f.rot.MulVec(s.OmegaB)
	for i := range min(c.SkidCount, MaxSkids) {
		f.point, f.radius = uint8(i), 0
		if !g.far[i] {
			f.centreW = s.PosW.Add(f.rot.MulVec(c.Skids[i]))
			g.findPoint(&f)
		}
	}
	for i := range min(c.RotorCount, MaxRotors) {
		if g.far[MaxSkids+i] {
			continue
		}
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
	p, before := f.p, g.n
	inside := depths(&p.Min, &p.Max, &f.centreW)
	for i, height := range inside {
		if height <= f.radius+f.margin {
			g.tryPlane(f, i, height, roomFaces[i], kindOfRoom(f, roomFaces[i]))
		}
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
	g.far[f.point] = g.n == before
}

// roomFaces names the room's faces in the order of inward.
var roomFaces = [faces]Surface{
	SurfaceWallXMin, SurfaceWallXMax, SurfaceWallYMin, SurfaceWallYMax, SurfaceFloor, SurfaceCeiling,
}

// netFaces names the net's; it has no floor.
var netFaces = [faces]Surface{
	SurfaceNetXMin, SurfaceNetXMax, SurfaceNetYMin, SurfaceNetYMax, SurfaceNone, SurfaceNetTop,
}

// inward holds the normals of a block's faces, x−, x+, y−, y+, z−, z+, pointing
// into it.
var inward = [faces]Vec3{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {Z: 1}, {Z: -1}}

// depths returns how far a place is inside each face of a block, m.
func depths(lo, hi, at *Vec3) [faces]float64 {
	return [faces]float64{at.X - lo.X, hi.X - at.X, at.Y - lo.Y, hi.Y - at.Y, at.Z - lo.Z, hi.Z - at.Z}
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

// tryPlane takes face i of room or net, with the centre at the given height (m)
// over it.
func (g *pairs) tryPlane(f *finder, i int, height float64, surface Surface, kind Kind) {
	point, reach := f.deepest(inward[i])
	g.add(f, inward[i], point, reach-height, surface, kind)
}

// tryBox takes the face of the box through which the point is least inside.
func (g *pairs) tryBox(f *finder, b *Box, surface Surface) {
	inside := depths(&b.Min, &b.Max, &f.centreW)
	for _, d := range inside {
		if d < -(f.radius + f.margin) {
			return
		}
	}
	depth, face := math.Inf(1), 0
	for i, d := range inside {
		if _, reach := f.deepest(inward[i]); d+reach < depth { // a ring reaches as far either way
			depth, face = d+reach, i
		}
	}
	if depth < -f.margin {
		return
	}
	n := inward[face].Neg()
	point, _ := f.deepest(n)
	kind := TouchWall
	if face == faces-1 {
		kind = f.standing()
	}
	g.add(f, n, b.under(point, face), depth, surface, kind)
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
	e.closing = -n.Dot(f.s.VelW.Add(f.omegaW.Cross(armW)))
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
	inside := depths(&p.NetMin, &p.NetMax, &f.centreW)
	for i, height := range inside {
		if netFaces[i] == SurfaceNone || height > f.radius+f.margin {
			continue
		}
		before := g.n
		g.tryPlane(f, i, height, netFaces[i], TouchNet)
		if g.n > before {
			e := &g.grips[before]
			e.k, e.c, e.holdC = p.NetStiffness, p.NetDamping, p.NetDamping
		}
	}
	f.best = hard
}
