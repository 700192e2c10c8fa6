package estimate

import (
	"math"

	"lapwing/dynamics/kernel"
)

// takeRelative gates a picture and updates with its rows, then makes it the
// keyframe where the front end asks for that. A picture outside the gate leaves
// nothing behind. After Reaccept of them in a row the next is believed: the
// filter takes it that its own motion, not the camera's, was wrong, opens its
// covariance to that, and the front end takes a new keyframe (Guess.Refused).
func takeRelative(p *Params, sp *SightParams, s *Sighted, rel *Relative) {
	if !s.Shot.Live {
		return
	}
	s.Sight = rel.Sight
	if s.Clone.Live && rel.Rows > 0 {
		before, kept := s.Cov, s.Belief
		var dx Delta
		nis := s.relativeRows(rel, &dx)
		s.Belief.NIS = nis
		s.noteNIS(p, nis)
		if nis > sp.Gate && s.Rejected >= sp.Reaccept {
			s.Cov, dx = before, Delta{}
			s.openMotion(sp)
			s.relativeRows(rel, &dx)
			nis = 0
		}
		if nis > sp.Gate {
			s.Cov = before
			s.Rejected++
		} else {
			s.Rejected = 0
			inject(&s.State, &dx)
			s.correctShot(&kept)
			if rel.Sight.Known >= sp.FixTracks && rel.Sight.WeakSigma < sp.FixSigma {
				s.Belief.SinceFix = 0
			}
		}
	}
	if rel.Rekey {
		s.rekey()
	}
}

// openMotion adds what a motion that was not felt may have done to velocity,
// horizontal position and heading since the pictures were last believed.
func (s *Sighted) openMotion(sp *SightParams) {
	addDiagonal(&s.Cov[vv], float64(sp.OpenVel*sp.OpenVel))
	s.Cov[pp][0] += float64(sp.OpenPos * sp.OpenPos)
	s.Cov[pp][4] += float64(sp.OpenPos * sp.OpenPos)
	s.Cov[tt][8] += float64(sp.OpenYaw * sp.OpenYaw)
}

// relativeRows updates the covariance, row by row, and returns the NIS.
//
// With t the translation from keyframe to exposure in the keyframe's body axes
// and φ the rotation error in those of the exposure,
//
//	δt = R_Kᵀ·(pos₀ − pos_K) + t × att_K,  δφ = att₀ − Rᵀ·att_K.
func (s *Sighted) relativeRows(rel *Relative, dx *Delta) (nis float64) {
	tau, back := s.since(s.Belief.QWB)
	forth := back.Transpose()
	key, turn := s.Clone.QWB, s.Clone.QWB.Conj().Mul(s.Shot.QWB)
	t := key.RotateInv(s.Shot.PosW.Sub(s.Clone.PosW))
	for i := range rel.Rows {
		var h Delta
		g := key.Rotate(rel.Trans[i])
		h[BlockPos] = g
		h[BlockVel] = g.Scale(-tau)
		h[BlockAtt] = forth.MulVec(rel.Turn[i])
		h[BlockGyroBias] = h[BlockAtt].Scale(tau)
		h[BlockClonePos] = g.Neg()
		h[BlockCloneAtt] = rel.Trans[i].Cross(t).Sub(turn.Rotate(rel.Turn[i]))
		nis += updateDense(&s.Cov, dx, &h, rel.Z[i])
	}
	return nis
}

// updateDense is Update for a number of unit variance that depends on many
// blocks.
func updateDense(p *Cov, dx *Delta, h *Delta, residual float64) float64 {
	var u Delta
	nu := residual
	for b := range Blocks {
		if h[b] == (kernel.Vec3{}) {
			continue // half of a picture's rows say nothing of the turn
		}
		column(p, b, h[b], &u, Blocks)
		nu -= h[b].Dot(dx[b])
	}
	v := 1.0
	for b := range Blocks {
		v += h[b].Dot(u[b])
	}
	root := 1 / math.Sqrt(v)
	gain := nu * root
	for i := range Blocks {
		u[i] = u[i].Scale(root)
		dx[i] = dx[i].AddScaled(gain, u[i])
	}
	takeOff(p, &u, Blocks)
	return float64(gain * gain)
}

// rekey makes the pose at the exposure the keyframe: P ← J·P·Jᵀ with J the
// carrying back of the present error.
func (s *Sighted) rekey() {
	tau, r := s.since(s.Belief.QWB)
	rT := r.Transpose()
	p := &s.Cov
	vp, tp, gp, ap := p[pv].Transpose(), p[pt].Transpose(), p[pg].Transpose(), p[pa].Transpose()
	tv, gv, av := p[vt].Transpose(), p[vg].Transpose(), p[va].Transpose()
	gt, at, ag := p[tg].Transpose(), p[ta].Transpose(), p[ga].Transpose()

	place := func(to int, x, y *kernel.Mat3) { // of x's row with the position then
		p[to] = *x
		addScaled(&p[to], -tau, y)
	}
	turn := func(to int, x, y *kernel.Mat3) { // of x's row with the attitude then
		m := *x
		addScaled(&m, tau, y)
		p[to] = m.Mul(&rT)
	}
	place(pc, &p[pp], &p[pv])
	place(vc, &vp, &p[vv])
	place(tc, &tp, &tv)
	place(gc, &gp, &gv)
	place(ac, &ap, &av)
	turn(pk, &p[pt], &p[pg])
	turn(vk, &p[vt], &p[vg])
	turn(tk, &p[tt], &p[tg])
	turn(gk, &gt, &p[gg])
	turn(ak, &at, &ag)
	place(cc, &p[pc], &p[vc])
	mirror(&p[cc])
	place(ck, &p[pk], &p[vk])
	m := p[tk]
	addScaled(&m, tau, &p[gk])
	p[kk] = r.Mul(&m)
	mirror(&p[kk])
	s.Clone = Clone{Live: true, PosW: s.Shot.PosW, QWB: s.Shot.QWB}
}

func sqrtOrZero(v float64) float64 {
	if v > 0 {
		return math.Sqrt(v)
	}
	return 0
}
