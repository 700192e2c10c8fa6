package estimate

import (
	"math"

	"lapwing/dynamics/kernel"
)

// MaxRowBlocks bounds the blocks that one measured number depends on.
const MaxRowBlocks = 4

// Row is one measured number: its residual against the estimate, its variance,
// and how it depends on the error state, block by block.
type Row struct {
	Residual float64 // measured less predicted
	Var      float64 // > 0, variance of the measurement
	Count    int     // blocks used
	Block    [MaxRowBlocks]int
	H        [MaxRowBlocks]kernel.Vec3
}

// Update takes one measured number into the covariance and the error state
// collected so far, and returns the innovation squared over its variance.
// Numbers with independent noise may be taken one after another; dx then holds
// the sum of corrections, and each residual stays the one against the estimate
// before the first. live is the number of blocks in use.
//
// The covariance is P − u·uᵀ with u = P·Hᵀ/√s, which equals the Joseph form for
// the optimal gain and is symmetric bit for bit.
func Update(p *Cov, dx *Delta, row *Row, live int) float64 {
	var u Delta
	nu := row.Residual
	for n := range row.Count {
		column(p, row.Block[n], row.H[n], &u, live)
		nu -= row.H[n].Dot(dx[row.Block[n]])
	}
	s := row.Var
	for n := range row.Count {
		s += row.H[n].Dot(u[row.Block[n]])
	}
	root := 1 / math.Sqrt(s)
	gain := nu * root
	for i := range live {
		u[i] = u[i].Scale(root)
		dx[i] = dx[i].AddScaled(gain, u[i])
	}
	takeOff(p, &u, live)
	return float64(gain * gain)
}

// column adds P·Hᵀ for one block of H.
func column(p *Cov, b int, h kernel.Vec3, u *Delta, live int) {
	for i := range b {
		u[i] = u[i].Add(p[place(i, b)].MulVec(h))
	}
	k := place(b, b)
	for i := b; i < live; i++ {
		m := &p[k+i-b]
		u[i].X += float64(m[0]*h.X) + float64(m[3]*h.Y) + float64(m[6]*h.Z)
		u[i].Y += float64(m[1]*h.X) + float64(m[4]*h.Y) + float64(m[7]*h.Z)
		u[i].Z += float64(m[2]*h.X) + float64(m[5]*h.Y) + float64(m[8]*h.Z)
	}
}

// takeOff sets P ← P − u·uᵀ.
func takeOff(p *Cov, u *Delta, live int) {
	for i := range live {
		ax, ay, az := u[i].X, u[i].Y, u[i].Z // copies, or each store to P would have them read again
		k := place(i, i)
		for j := i; j < live; j++ {
			m, bx, by, bz := &p[k], u[j].X, u[j].Y, u[j].Z
			m[0] -= float64(ax * bx)
			m[1] -= float64(ax * by)
			m[2] -= float64(ax * bz)
			m[3] -= float64(ay * bx)
			m[4] -= float64(ay * by)
			m[5] -= float64(ay * bz)
			m[6] -= float64(az * bx)
			m[7] -= float64(az * by)
			m[8] -= float64(az * bz)
			k++
		}
	}
}

// inject moves the collected error into the nominal state. The small change of
// the attitude error's own axes (a second-order term) is left out, as usual.
func inject(s *State, dx *Delta) {
	b := &s.Belief
	b.PosW = b.PosW.Add(dx[BlockPos])
	b.VelW = b.VelW.Add(dx[BlockVel])
	b.QWB = turnedBy(b.QWB, dx[BlockAtt])
	s.GyroBias = s.GyroBias.Add(dx[BlockGyroBias])
	s.AccelBias = s.AccelBias.Add(dx[BlockAccelBias])
	if s.Clone.Live {
		s.Clone.PosW = s.Clone.PosW.Add(dx[BlockClonePos])
		s.Clone.QWB = turnedBy(s.Clone.QWB, dx[BlockCloneAtt])
	}
}
