package dynamics

import "math"

// What a closed pair of point and surface does: its force, the RK4 sub-step under
// all of them, and what is kept and reported afterwards. contact.go tells how
// the pairs are found and what the model is.

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
	rot := q.Matrix()
	omegaW := rot.MulVec(w)
	for i := range g.n {
		e := &g.grips[i]
		armW := rot.MulVec(e.pointB)
		f, normal := e.force(posW, armW, v.Add(omegaW.Cross(armW)))
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

	a1, b1, d1 := h.accelerate(q0, v0.Sub(h.windW), w0)
	a1, b1 = g.pull(h, x0, q0, v0, w0, a1, b1)

	x, q, v2, w := x0.AddScaled(half, v0), addQuat(q0, d1, 0.5*half), v0.AddScaled(half, a1), w0.AddScaled(half, b1)
	a2, b2, d2 := h.accelerate(q, v2.Sub(h.windW), w)
	a2, b2 = g.pull(h, x, q, v2, w, a2, b2)

	x, q, v3, w := x0.AddScaled(half, v2), addQuat(q0, d2, 0.5*half), v0.AddScaled(half, a2), w0.AddScaled(half, b2)
	a3, b3, d3 := h.accelerate(q, v3.Sub(h.windW), w)
	a3, b3 = g.pull(h, x, q, v3, w, a3, b3)

	x, q, v4, w := x0.AddScaled(dt, v3), addQuat(q0, d3, half), v0.AddScaled(dt, a3), w0.AddScaled(dt, b3)
	a4, b4, d4 := h.accelerate(q, v4.Sub(h.windW), w)
	a4, b4 = g.pull(h, x, q, v4, w, a4, b4)

	a2, b2, d2 = a2.Add(a3), b2.Add(b3), sumQuat(d2, d3)
	s.PosW = x0.AddScaled(third, v2.Add(v3)).AddScaled(sixth, v0.Add(v4))
	s.VelW = v0.AddScaled(third, a2).AddScaled(sixth, a1.Add(a4))
	s.OmegaB = w0.AddScaled(third, b2).AddScaled(sixth, b1.Add(b4))
	s.QWB = renorm(addQuat(addQuat(q0, d2, 0.5*third), sumQuat(d1, d4), 0.5*sixth))
}

// untilTouch returns how long it is until the first open grip closes at its
// present speed, where that is within dt (s), else dt. A sub-step that ends there
// meets the jump of the damper's force at its beginning and keeps RK4's accuracy.
func (g *pairs) untilTouch(dt float64) float64 {
	for i := range g.n {
		e := &g.grips[i]
		if e.depth < 0 && -e.depth < float64(e.closing*dt) {
			if t := -e.depth / e.closing; t > minSplit {
				dt = t
			}
		}
	}
	return dt
}

// settle sees what is closed after a sub-step: it re-roots the bristles, writes
// what each point is against, and reports.
// weight is the sub-step's share of the tick.
func (g *pairs) settle(c *Craft, s *State, weight float64) {
	var against [MaxPoints]Surface
	for i := range g.n {
		e := &g.grips[i]
		armW := s.QWB.Rotate(e.pointB)
		at := s.PosW.Add(armW)
		if e.offset-e.normalW.Dot(at) <= 0 {
			continue
		}
		_, normal := e.force(s.PosW, armW, s.VelW.Add(s.QWB.Rotate(s.OmegaB.Cross(e.pointB))))
		s.note(c, e, normal, weight)
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
func (s *State) note(c *Craft, e *grip, normal, weight float64) {
	t := &s.Touch
	t.Kinds |= e.kind
	if e.kind == TouchSkidFloor {
		t.Load += float64(normal * weight)
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
		s.RotorSpeed[i] *= 1 - float64(bladeStop*weight)
	}
}
