package estimate

import "lapwing/dynamics/kernel"

// Blocks of three of the error state. The attitude error is a small rotation
// vector in body axes: true qWB = estimated qWB · Exp(error). Errors are truth
// less estimate.
const (
	BlockPos       = iota // m, room axes
	BlockVel              // m/s, room axes
	BlockAtt              // rad, body axes
	BlockGyroBias         // rad/s, body axes
	BlockAccelBias        // m/s², body axes
	BlockClonePos         // m, room axes, at the last exposure
	BlockCloneAtt         // rad, body axes at the last exposure
	Blocks

	// Live is the number of blocks without the clone's.
	Live = BlockClonePos
)

// Size is the number of error states.
const Size = 3 * Blocks

// Delta is an error state, block by block.
type Delta [Blocks]kernel.Vec3

// Cov is the covariance of the error state: the blocks on and above the
// diagonal, row of blocks by row of blocks; each block is 3 × 3, row by row.
// Blocks on the diagonal are kept symmetric bit for bit, the blocks below are
// not stored, so the whole is symmetric by construction.
type Cov [Blocks * (Blocks + 1) / 2]kernel.Mat3

// place returns where block (i, j), i ≤ j, stands.
func place(i, j int) int { return i*Blocks - i*(i-1)/2 + j - i }

// Places of the blocks that the prediction names.
const (
	pp = iota
	pv
	pt
	pg
	pa
	pc
	pk
	vv
	vt
	vg
	va
	vc
	vk
	tt
	tg
	ta
	tc
	tk
	gg
	ga
	gc
	gk
	aa
	ac
	ak
	cc
	ck
	kk
)

// At returns the covariance of error states i and j, 0 … Size−1.
func (p *Cov) At(i, j int) float64 {
	if i > j {
		i, j = j, i
	}
	return p[place(i/3, j/3)][3*(i%3)+j%3]
}

// setDiag puts variance s² on the diagonal of block b.
func (p *Cov) setDiag(b int, s kernel.Vec3) {
	p[place(b, b)] = kernel.MatDiag(kernel.Vec3{X: float64(s.X * s.X), Y: float64(s.Y * s.Y), Z: float64(s.Z * s.Z)})
}

// addDiag adds variance v to the diagonal of block b.
func (p *Cov) addDiag(b int, v float64) {
	m := &p[place(b, b)]
	m[0] += v
	m[4] += v
	m[8] += v
}
