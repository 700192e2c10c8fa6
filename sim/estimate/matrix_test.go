package estimate

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"lapwing/dynamics/kernel"
)

// The block form against plain matrices of gonum, on random covariances. 1e-12 of
// the largest element is the tolerance throughout.

// randomCov returns a positive definite covariance; without the clone its
// blocks are zero.
func randomCov(rng *rand.Rand, live int) (p Cov, dense *mat.Dense) {
	n := 3 * live
	a := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			a.Set(i, j, rng.NormFloat64())
		}
	}
	var full mat.Dense
	full.Mul(a, a.T())
	dense = mat.NewDense(Size, Size, nil)
	for i := range n {
		for j := i; j < n; j++ {
			dense.Set(i, j, full.At(i, j))
			dense.Set(j, i, full.At(i, j))
		}
	}
	return fromDense(dense), dense
}

func fromDense(d *mat.Dense) (p Cov) {
	for i := range Blocks {
		for j := i; j < Blocks; j++ {
			for k := range 9 {
				p[place(i, j)][k] = d.At(3*i+k/3, 3*j+k%3)
			}
		}
	}
	return p
}

func assertCov(t *testing.T, want mat.Matrix, got *Cov) {
	t.Helper()
	worst := 0.0
	for i := range Size {
		for j := range Size {
			worst = max(worst, math.Abs(want.At(i, j)-got.At(i, j)))
		}
		b := got[place(i/3, i/3)]
		require.Equal(t, b, b.Transpose(), "blocks on the diagonal are symmetric bit for bit")
	}
	assert.LessOrEqual(t, worst, 1e-12*mat.Max(want))
}

func set(d *mat.Dense, i, j int, m kernel.Mat3) {
	for k := range 9 {
		d.Set(3*i+k/3, 3*j+k%3, m[k])
	}
}

func scaled(m kernel.Mat3, k float64) kernel.Mat3 {
	for i := range m {
		m[i] *= k
	}
	return m
}

func skew(v kernel.Vec3) kernel.Mat3 {
	return kernel.Mat3{0, -v.Z, v.Y, v.Z, 0, -v.X, -v.Y, v.X, 0}
}

// Goal: prediction in blocks is F·P·Fᵀ + Q. Method: F and Q written out as full
// matrices from the equations in the comment of Motion.
func TestPredictIsFPF(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, live := range []int{Live, Blocks} {
		for range 20 {
			p, dense := randomCov(rng, live)
			v := func(k float64) kernel.Vec3 {
				return kernel.Vec3{X: k * rng.NormFloat64(), Y: k * rng.NormFloat64(), Z: k * rng.NormFloat64()}
			}
			m := Motion{T: 0.005, TurnB: v(0.03), DvW: v(0.05)}
			q := kernel.QuatExp(v(1))
			g := Growth{Vel: 0.1, Att: 0.2, GyroBias: 0.3, AccelBias: 0.4}

			f := mat.NewDense(Size, Size, nil)
			for i := range Size {
				f.Set(i, i, 1)
			}
			one, r := kernel.MatIdentity(), q.Matrix()
			cross := skew(m.DvW)
			set(f, BlockPos, BlockVel, scaled(one, m.T))
			set(f, BlockVel, BlockAtt, scaled(cross.Mul(&r), -1))
			set(f, BlockVel, BlockAccelBias, scaled(r, -m.T))
			set(f, BlockAtt, BlockAtt, kernel.QuatExp(m.TurnB.Neg()).Matrix())
			set(f, BlockAtt, BlockGyroBias, scaled(one, -m.T))
			var want mat.Dense
			want.Product(f, dense, f.T())
			for k := range 3 {
				for b, v := range map[int]float64{BlockVel: g.Vel, BlockAtt: g.Att, BlockGyroBias: g.GyroBias, BlockAccelBias: g.AccelBias} {
					want.Set(3*b+k, 3*b+k, want.At(3*b+k, 3*b+k)+m.T*v)
				}
			}
			Predict(&p, &m, &g, q, live == Blocks)
			assertCov(t, &want, &p)
		}
	}
}

// Goal: an exposure is J·P·Jᵀ, and dropping the clone leaves the rest as it was.
func TestExposeIsJPJ(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	p, dense := randomCov(rng, Live)
	before := p
	j := mat.NewDense(Size, Size, nil)
	for i := range 3 * Live {
		j.Set(i, i, 1)
	}
	set(j, BlockClonePos, BlockPos, kernel.MatIdentity())
	set(j, BlockCloneAtt, BlockAtt, kernel.MatIdentity())
	var want mat.Dense
	want.Product(j, dense, j.T())
	var c Clone
	at := kernel.Vec3{X: 1, Y: 2, Z: 3}
	Expose(&p, &c, at, kernel.QuatIdentity)
	assertCov(t, &want, &p)
	assert.Equal(t, Clone{Live: true, PosW: at, QWB: kernel.QuatIdentity}, c)
	Drop(&p, &c)
	assert.Equal(t, before, p)
	assert.Equal(t, Clone{}, c)
}

// Goal: six numbers of a clone taken one after another are the full update by
// S⁻¹ in Joseph form; corrections, covariance and NIS agree. A row over several
// blocks likewise.
func TestRowsAreTheFullUpdate(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		p, dense := randomCov(rng, Blocks)
		h, noise, z := mat.NewDense(7, Size, nil), mat.NewDense(7, 7, nil), mat.NewDense(7, 1, nil)
		rows := make([]Row, 7)
		for i := range 7 {
			row := &rows[i]
			row.Residual, row.Var, row.Count = rng.NormFloat64(), 0.5+rng.Float64(), 1
			axis := [3]kernel.Vec3{{X: 1}, {Y: 1}, {Z: 1}}[i%3]
			row.Block[0], row.H[0] = BlockClonePos+i/3, axis
			if i == 6 {
				row.Count = MaxRowBlocks
				for k, b := range [...]int{BlockPos, BlockAtt, BlockClonePos, BlockCloneAtt} {
					row.Block[k] = b
					row.H[k] = kernel.Vec3{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
				}
			}
			for k := range row.Count {
				for a, x := range triple(row.H[k]) {
					h.Set(i, 3*row.Block[k]+a, x)
				}
			}
			noise.Set(i, i, row.Var)
			z.Set(i, 0, row.Residual)
		}
		var dx Delta
		nis := 0.0
		for i := range rows {
			nis += Update(&p, &dx, &rows[i], Blocks)
		}

		var s, inv, gain, d, m, joseph, part, wantNIS mat.Dense
		s.Product(h, dense, h.T())
		s.Add(&s, noise)
		require.NoError(t, inv.Inverse(&s))
		gain.Product(dense, h.T(), &inv)
		d.Mul(&gain, z)
		m.Mul(&gain, h)
		m.Sub(identity(Size), &m)
		joseph.Product(&m, dense, m.T())
		part.Product(&gain, noise, gain.T())
		joseph.Add(&joseph, &part)
		wantNIS.Product(z.T(), &inv, z)
		worst := 0.0
		for i := range Size {
			worst = max(worst, math.Abs(joseph.At(i, i/Size+i)-p.At(i, i)))
			assert.InDelta(t, d.At(i, 0), triple(dx[i/3])[i%3], 1e-11)
			for j := range Size {
				worst = max(worst, math.Abs(joseph.At(i, j)-p.At(i, j)))
			}
		}
		assert.Less(t, worst, 1e-12*mat.Max(dense))
		assert.InEpsilon(t, wantNIS.At(0, 0), nis, 1e-11)
	}
}

func identity(n int) *mat.Dense {
	d := mat.NewDense(n, n, nil)
	for i := range n {
		d.Set(i, i, 1)
	}
	return d
}

// Goal: the NIS before an update is rᵀ·S⁻¹·r.
func TestFixNIS(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	par := DefaultParams()
	par.FixPosSigma, par.FixAngSigma = 0.8, 0.6
	for range 20 {
		p, dense := randomCov(rng, Blocks)
		r := mat.NewDense(6, 1, nil)
		for i := range 6 {
			r.Set(i, 0, rng.NormFloat64())
		}
		s := mat.DenseCopyOf(dense.Slice(15, 21, 15, 21))
		for i := range 3 {
			s.Set(i, i, s.At(i, i)+0.64)
			s.Set(i+3, i+3, s.At(i+3, i+3)+0.36)
		}
		var inv, want mat.Dense
		require.NoError(t, inv.Inverse(s))
		want.Product(r.T(), &inv, r)
		got := fixNIS(&p, &par, kernel.Vec3{X: r.At(0, 0), Y: r.At(1, 0), Z: r.At(2, 0)}, kernel.Vec3{X: r.At(3, 0), Y: r.At(4, 0), Z: r.At(5, 0)})
		assert.InEpsilon(t, want.At(0, 0), got, 1e-11)
	}
}
