package dynamics

import "math"

// held is what stays the same over all stages of one tick: the craft, the air
// and what the rotors do.
type held struct {
	Wrench

	craft    *Craft
	diagonal bool    // Inertia and its inverse have nothing off the diagonal
	gravity  float64 // m/s², downward in the room
	windW    Vec3    // m/s
	drag     Vec3    // 1/m, ½·density·DragArea/mass along each body axis
	pushB    Vec3    // m/s², thrust for each kilogram

	// The in-plane drag of all rotors, summed once a tick. Rotor i at place p
	// gives −k·(v + ω×p) across body z, so force and moment are linear in v
	// and ω through the sums of k, k·p and k·p·p over the rotors.
	hubK   float64 // 1/s, Σk/mass
	hubKP  Vec3    // m/s, Σk·p/mass
	hubP   Vec3    // N·s, Σk·p
	hubXZ  float64 // N·m·s, Σk·px·pz
	hubYZ  float64 // N·m·s, Σk·py·pz
	hubZZ  float64 // N·m·s, Σk·pz²
	hubXXY float64 // N·m·s, Σk·(px² + py²)
}

// hold fills h for one tick from what rotorStep left in h.Wrench.
func (h *held) hold(c *Craft, p *Place, s *State) {
	massInv := 1 / c.Mass
	i := &c.Inertia
	h.craft = c
	h.diagonal = i[1] == 0 && i[2] == 0 && i[5] == 0
	h.gravity = p.Air.Gravity
	h.windW = s.Gust.WindW
	h.drag = c.DragArea.Scale(0.5 * p.Air.Density * massInv)
	h.pushB = h.ForceB.Scale(massInv)
	h.sumHubs(c, massInv)
}

// sumHubs sums the in-plane drag over the rotors.
func (h *held) sumHubs(c *Craft, massInv float64) {
	var k, x, y, z, xz, yz, zz, rr float64
	for i := range min(c.RotorCount, MaxRotors) {
		p, ki := &c.Rotors[i].PosB, h.DragK[i]
		kx, ky, kz := float64(ki*p.X), float64(ki*p.Y), float64(ki*p.Z)
		k, x, y, z = k+ki, x+kx, y+ky, z+kz
		xz += float64(kx * p.Z)
		yz += float64(ky * p.Z)
		zz += float64(kz * p.Z)
		rr += float64(kx*p.X) + float64(ky*p.Y)
	}
	h.hubK, h.hubP = float64(k*massInv), Vec3{X: x, Y: y, Z: z}
	h.hubKP = h.hubP.Scale(massInv)
	h.hubXZ, h.hubYZ, h.hubZZ, h.hubXXY = xz, yz, zz, rr
}

// accelerate returns the accelerations of a body that touches nothing, which
// moves with u against the air (m/s, room axes) and turns with w (rad/s, body
// axes): of the centre of gravity in room axes (m/s²) and about it in body axes
// (rad/s²), and twice the rate of the attitude (1/s), q⊗(0, ω).
//
// Forces: thrust (held), frame drag −½ρ·A∘v·|v| in body axes, in-plane drag of
// the rotors, weight. Moments follow Euler's equation with the rotors' angular
// momentum h, I·dω/dt = M − ω×(I·ω + h): Landau and Lifshitz, Mechanics, 3rd ed.
// 1976, §36 (from memory). It is the hot spot of a rehearsal, so it is written
// out in scalars that stay in registers, and what is known late is added last.
func (h *held) accelerate(q Quat, u, w Vec3) (accW, alphaB Vec3, dq Quat) {
	x2, y2, z2 := q.X+q.X, q.Y+q.Y, q.Z+q.Z
	xx, yy, zz := float64(q.X*x2), float64(q.Y*y2), float64(q.Z*z2)
	xy, xz, yz := float64(q.X*y2), float64(q.X*z2), float64(q.Y*z2)
	wx, wy, wz := float64(q.W*x2), float64(q.W*y2), float64(q.W*z2)
	m00, m01, m02 := 1-(yy+zz), xy-wz, xz+wy
	m10, m11, m12 := xy+wz, 1-(xx+zz), yz-wx
	m20, m21, m22 := xz-wy, yz+wx, 1-(xx+yy)

	speed := math.Sqrt(float64(u.X*u.X) + float64(u.Y*u.Y) + float64(u.Z*u.Z))
	ax := float64(m00*u.X) + float64(m10*u.Y) + float64(m20*u.Z)
	ay := float64(m01*u.X) + float64(m11*u.Y) + float64(m21*u.Z)
	az := float64(m02*u.X) + float64(m12*u.Y) + float64(m22*u.Z)

	fx := (h.pushB.X - (float64(w.Y*h.hubKP.Z) - float64(w.Z*h.hubKP.Y))) - float64(ax*(float64(h.drag.X*speed)+h.hubK))
	fy := (h.pushB.Y - (float64(w.Z*h.hubKP.X) - float64(w.X*h.hubKP.Z))) - float64(ay*(float64(h.drag.Y*speed)+h.hubK))
	fz := h.pushB.Z - float64(az*float64(h.drag.Z*speed))
	accW.X = float64(m00*fx) + float64(m01*fy) + float64(m02*fz)
	accW.Y = float64(m10*fx) + float64(m11*fy) + float64(m12*fz)
	accW.Z = float64(m20*fx) + float64(m21*fy) + (float64(m22*fz) - h.gravity)

	i := &h.craft.Inertia
	lx, ly, lz := float64(i[0]*w.X)+h.SpinB.X, float64(i[4]*w.Y)+h.SpinB.Y, float64(i[8]*w.Z)+h.SpinB.Z
	if !h.diagonal {
		lx += float64(i[1]*w.Y) + float64(i[2]*w.Z)
		ly += float64(i[3]*w.X) + float64(i[5]*w.Z)
		lz += float64(i[6]*w.X) + float64(i[7]*w.Y)
	}
	mx := ((h.MomentB.X + (float64(ly*w.Z) - float64(lz*w.Y))) + (float64(h.hubXZ*w.Z) - float64(h.hubZZ*w.X))) +
		float64(h.hubP.Z*ay)
	my := ((h.MomentB.Y + (float64(lz*w.X) - float64(lx*w.Z))) + (float64(h.hubYZ*w.Z) - float64(h.hubZZ*w.Y))) -
		float64(h.hubP.Z*ax)
	mz := ((h.MomentB.Z + (float64(lx*w.Y) - float64(ly*w.X))) +
		((float64(h.hubXZ*w.X) + float64(h.hubYZ*w.Y)) - float64(h.hubXXY*w.Z))) +
		(float64(h.hubP.Y*ax) - float64(h.hubP.X*ay))
	j := &h.craft.InertiaInv
	alphaB.X, alphaB.Y, alphaB.Z = float64(j[0]*mx), float64(j[4]*my), float64(j[8]*mz)
	if !h.diagonal {
		alphaB.X += float64(j[1]*my) + float64(j[2]*mz)
		alphaB.Y += float64(j[3]*mx) + float64(j[5]*mz)
		alphaB.Z += float64(j[6]*mx) + float64(j[7]*my)
	}

	dq.W = -(float64(q.X*w.X) + float64(q.Y*w.Y)) - float64(q.Z*w.Z)
	dq.X = float64(q.W*w.X) + (float64(q.Y*w.Z) - float64(q.Z*w.Y))
	dq.Y = float64(q.W*w.Y) + (float64(q.Z*w.X) - float64(q.X*w.Z))
	dq.Z = float64(q.W*w.Z) + (float64(q.X*w.Y) - float64(q.Y*w.X))
	return accW, alphaB, dq
}

// addQuat returns q + k·d.
func addQuat(q, d Quat, k float64) Quat {
	return Quat{W: q.W + float64(k*d.W), X: q.X + float64(k*d.X), Y: q.Y + float64(k*d.Y), Z: q.Z + float64(k*d.Z)}
}

// sumQuat returns a + b.
func sumQuat(a, b Quat) Quat {
	return Quat{W: a.W + b.W, X: a.X + b.X, Y: a.Y + b.Y, Z: a.Z + b.Z}
}

// renorm brings a quaternion that is nearly of unit length to unit length. One
// Newton step of 1/√n at n = 1 leaves an error of 3/8·(n−1)², which after an
// RK4 step is far below rounding.
func renorm(q Quat) Quat {
	k := 1.5 - float64(0.5*(float64(q.W*q.W)+float64(q.X*q.X)+float64(q.Y*q.Y)+float64(q.Z*q.Z)))
	return Quat{W: float64(q.W * k), X: float64(q.X * k), Y: float64(q.Y * k), Z: float64(q.Z * k)}
}

// fly moves a body that touches nothing by dt seconds with one step of the
// classical fourth-order Runge–Kutta method (Hairer, Nørsett and Wanner, Solving
// Ordinary Differential Equations I, 2nd ed. 1993, table II.1.2; from memory).
// The position needs no stages of its own, for nothing depends on it: its sum
// over the stages is dt·v + dt²/6·(a1 + a2 + a3).
func (h *held) fly(s *State, dt float64) {
	half, third, sixth := 0.5*dt, dt*(1.0/3), dt*(1.0/6)
	q0, v0, w0 := s.QWB, s.VelW, s.OmegaB
	u0 := v0.Sub(h.windW)

	a1, b1, d1 := h.accelerate(q0, u0, w0)
	a2, b2, d2 := h.accelerate(addQuat(q0, d1, 0.5*half), u0.AddScaled(half, a1), w0.AddScaled(half, b1))
	a3, b3, d3 := h.accelerate(addQuat(q0, d2, 0.5*half), u0.AddScaled(half, a2), w0.AddScaled(half, b2))
	a2, b2, d2 = a2.Add(a3), b2.Add(b3), sumQuat(d2, d3)
	a4, b4, d4 := h.accelerate(addQuat(q0, d3, half), u0.AddScaled(dt, a3), w0.AddScaled(dt, b3))

	s.PosW = s.PosW.AddScaled(dt, v0).AddScaled(dt*sixth, a1.Add(a2))
	s.VelW = v0.AddScaled(third, a2).AddScaled(sixth, a1.Add(a4))
	s.OmegaB = w0.AddScaled(third, b2).AddScaled(sixth, b1.Add(b4))
	s.QWB = renorm(addQuat(addQuat(q0, d2, 0.5*third), sumQuat(d1, d4), 0.5*sixth))
}
