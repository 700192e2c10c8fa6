package estimate

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// takeFix gates a pose that has arrived against the clone of its exposure and
// updates with it, or rejects it. After Reaccept rejections in a row the next
// is believed: the filter takes it that its own pose, not the camera, was
// wrong, and opens its covariance to the step. Only its height is left out while
// the range finder holds the height above the floor: two sensors against one.
func takeFix(p *Params, s *State, f *sense.Fix) {
	if !s.Clone.Live {
		return
	}
	dPos := f.PosW.Sub(s.Clone.PosW)
	dAng := s.Clone.QWB.Conj().Mul(f.QWB).Log()
	nis := fixNIS(&s.Cov, p, dPos, dAng)
	s.Belief.NIS = nis
	s.noteNIS(p, nis)
	noHeight := false
	if nis > p.FixGate {
		s.Rejected++
		if s.Rejected < p.Reaccept {
			Drop(&s.Cov, &s.Clone)
			return
		}
		noHeight = s.Ground.holds()
		open(&s.Cov, s, dPos, dAng, noHeight)
	}
	s.Rejected = 0
	s.Belief.SinceFix = 0
	fixRows(p, s, dPos, dAng, noHeight)
	Drop(&s.Cov, &s.Clone)
}

// fixRows updates with the six numbers of a pose, or with five, without height.
func fixRows(p *Params, s *State, dPos, dAng kernel.Vec3, noHeight bool) {
	axes := [3]kernel.Vec3{{X: 1}, {Y: 1}, {Z: 1}}
	var dx Delta
	row := Row{Count: 1, Var: float64(p.FixPosSigma * p.FixPosSigma)}
	row.Block[0] = BlockClonePos
	for i := range axes {
		if i == 2 && noHeight {
			continue
		}
		row.H[0], row.Residual = axes[i], axes[i].Dot(dPos)
		Update(&s.Cov, &dx, &row, Blocks)
	}
	row.Block[0], row.Var = BlockCloneAtt, float64(p.FixAngSigma*p.FixAngSigma)
	for i := range axes {
		row.H[0], row.Residual = axes[i], axes[i].Dot(dAng)
		Update(&s.Cov, &dx, &row, Blocks)
	}
	inject(s, &dx)
}

// open adds the covariance of one unknown step of the room frame, as large as
// the residual, that moved clone and present pose together.
func open(p *Cov, s *State, dPos, dAng kernel.Vec3, noHeight bool) {
	j := dPos.NormSq()
	for _, b := range [...]int{pp, pc, cc} {
		p[b][0] += j
		p[b][4] += j
		if !noHeight {
			p[b][8] += j
		}
	}
	j = dAng.NormSq()
	addDiagonal(&p[tt], j)
	addDiagonal(&p[kk], j)
	rel := s.Belief.QWB.Conj().Mul(s.Clone.QWB) // body at exposure → body now
	r := rel.Matrix()
	addScaled(&p[tk], j, &r)
}

// fixNIS returns rᵀ·S⁻¹·r of a pose against the clone, by LDLᵀ.
func fixNIS(p *Cov, c *Params, dPos, dAng kernel.Vec3) float64 {
	var s [6][6]float64
	for i := range 3 {
		for j := range 3 {
			s[i][j] = p[cc][3*i+j]
			s[i+3][j] = p[ck][3*j+i]
			s[i+3][j+3] = p[kk][3*i+j]
		}
		s[i][i] += float64(c.FixPosSigma * c.FixPosSigma)
		s[i+3][i+3] += float64(c.FixAngSigma * c.FixAngSigma)
	}
	y := [6]float64{dPos.X, dPos.Y, dPos.Z, dAng.X, dAng.Y, dAng.Z}
	var nis float64
	for k := range 6 { // column k of L, then y ← L⁻¹·y on the way
		d := s[k][k]
		nis += float64(y[k]*y[k]) / d
		for i := k + 1; i < 6; i++ {
			l := s[i][k] / d
			y[i] -= float64(l * y[k])
			for j := k + 1; j <= i; j++ {
				s[i][j] -= float64(l * s[j][k])
			}
		}
	}
	return nis
}
