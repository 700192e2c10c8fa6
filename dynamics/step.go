package dynamics

// Step moves craft and air on by one tick, DT. The steps are those of the
// package's documentation.
//
// Craft and Place must have been prepared. s is changed in place; the whole
// future follows from *s and the inputs.
func Step(c *Craft, p *Place, s *State, in *Input) {
	var h held
	velW, omegaB, qWB := s.VelW, s.OmegaB, s.QWB

	airStep(p, s, in)
	airB := qWB.RotateInv(velW.Sub(s.Gust.WindW))
	power := rotorStep(c, p, s, in, airB, &h.Wrench)
	if in.pulls() {
		h.pull(in, qWB)
	}
	batteryStep(c, s, in, power)
	h.hold(c, p, s)
	if c.clear(p, s, in) {
		s.Touch, s.Against = Touch{}, [MaxPoints]Surface{}
		h.fly(s, DT)
	} else {
		h.moveNear(p, s, in)
	}
	s.felt(p.Air.Gravity, velW, omegaB, qWB)
}

// moveNear moves a body with something close by: in one step if no point can
// reach a surface in this tick, else in sub-steps with contact.
func (h *held) moveNear(p *Place, s *State, in *Input) {
	var g pairs
	s.Touch = Touch{}
	reach := h.craft.touchReach
	travel := float64(2 * DT * (s.VelW.Norm() + float64(s.OmegaB.Norm()*reach)))
	g.find(h.craft, p, s, in, nearBy+travel)
	if g.n == 0 {
		s.Against = [MaxPoints]Surface{}
		h.fly(s, DT)
		return
	}
	left, splits := DT, 0
	for first := true; left > 0; first = false {
		if !first {
			g.find(h.craft, p, s, in, nearBy+travel)
		}
		dt := min(subDT, left)
		if left-dt < 0.5*subDT {
			dt = left // the rest of a tick that was split
		}
		if until := g.untilTouch(dt); until < dt && splits < maxSplits {
			dt = until
			splits++
		}
		g.press(s, h, dt)
		g.settle(h.craft, s, dt*(1/DT))
		left -= dt
	}
}

// felt writes the mean accelerations of the tick that began with the given
// velocity (m/s), rate (rad/s) and attitude: what the sensors integrate. The
// specific force is turned by the attitude half way.
func (s *State) felt(gravity float64, velW, omegaB Vec3, qWB Quat) {
	f := s.VelW.Sub(velW).Scale(1 / DT)
	f.Z += gravity
	q := sumQuat(qWB, s.QWB) // of length near 2, so the turn is scaled by its square
	k := 2 / (float64(q.W*q.W) + float64(q.X*q.X) + float64(q.Y*q.Y) + float64(q.Z*q.Z))
	u := q.Vec()
	t := f.Cross(u)
	s.SpecificForceB = f.AddScaled(float64(k*q.W), t).AddScaled(k, t.Cross(u))
	s.AlphaB = s.OmegaB.Sub(omegaB).Scale(1 / DT)
}
