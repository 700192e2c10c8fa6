package sight

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

func randomVec(r *rand.Rand) Vec3 {
	return Vec3{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
}

// row takes in a number z of unit variance that depends on the turn by a and on
// the translation by b, and cross how it depends on a common error: the plain
// way, against which the written-out one is tested.
func (n *info) row(a, b *Vec3, z float64) {
	g := [6]float64{a.X, a.Y, a.Z, b.X, b.Y, b.Z}
	for i := range 6 {
		n.eta[i] += g[i] * z
		for j := range i + 1 {
			n.l[at(i, j)] += g[i] * g[j]
		}
	}
}

func (n *info) cross(a, b *Vec3, z, common float64) {
	for i, g := range [6]float64{a.X, a.Y, a.Z, b.X, b.Y, b.Z} {
		n.c[i] += common * g
	}
	n.cc += common * common
	n.cEta += common * z
}

// filled returns information of n random numbers of unit variance, with common
// error weights, and the same as dense matrices A (n × 6), c and z.
func filled(r *rand.Rand, n int) (sum info, a *mat.Dense, c, z *mat.VecDense) {
	a, c, z = mat.NewDense(n, 6, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		turn, move := randomVec(r), randomVec(r)
		v, w := r.NormFloat64(), r.NormFloat64()
		sum.row(&turn, &move, v)
		sum.cross(&turn, &move, v, w)
		a.SetRow(i, []float64{turn.X, turn.Y, turn.Z, move.X, move.Y, move.Z})
		c.SetVec(i, w)
		z.SetVec(i, v)
	}
	return sum, a, c, z
}

// reference returns Aᵀ·W·A and Aᵀ·W·z with W the inverse of I + σ²·c·cᵀ.
func reference(t *testing.T, a *mat.Dense, c, z *mat.VecDense, sigma float64) (lambda mat.Dense, eta mat.VecDense) {
	n, _ := a.Dims()
	s := mat.NewDense(n, n, nil)
	s.Outer(sigma*sigma, c, c)
	for i := range n {
		s.Set(i, i, s.At(i, i)+1)
	}
	var w, wa mat.Dense
	require.NoError(t, w.Inverse(s))
	wa.Mul(&w, a)
	lambda.Mul(a.T(), &wa)
	eta.MulVec(wa.T(), z)
	return lambda, eta
}

func assertInfo(t *testing.T, want *mat.Dense, wantEta *mat.VecDense, got *info, tol float64) {
	t.Helper()
	for i := range 6 {
		assert.InDelta(t, wantEta.AtVec(i), got.eta[i], tol)
		for j := range i + 1 {
			assert.InDelta(t, want.At(i, j), got.l[at(i, j)], tol)
		}
	}
}

// Goal: taking out an error common to all numbers equals the weighting with
// their full covariance, which is then not diagonal. Reference: gonum.
func TestCommonErrorIsMarginalised(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	sum, a, c, z := filled(r, 12)
	sum.common(0.7)
	lambda, eta := reference(t, a, c, z, 0.7)
	assertInfo(t, &lambda, &eta, &sum, 1e-11)
}

// Goal: the mounting's error is taken out as three common errors, one about
// each axis, of what one does to the relative pose.
func TestMountingErrorIsMarginalised(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	sum, a, _, z := filled(r, 12)
	g := estimate.Guess{TransB: Vec3{X: 0.5, Y: -0.2, Z: 0.1}, Turn: kernel.QuatExp(Vec3{X: 0.1, Y: 0.3, Z: 0.8})}
	p := DefaultParams()
	f := newFrame(&p, &g)
	const sigma = 0.3
	sum.mounting(&f, sigma)

	n, _ := a.Dims()
	s := mat.NewDense(n, n, nil)
	for _, axis := range [3]Vec3{{X: 1}, {Y: 1}, {Z: 1}} {
		// By difference: the relative pose seen by a camera turned by a little.
		const h = 1e-6
		e := kernel.QuatExp(axis.Scale(h))
		q := fromMatrix(&f.rot)
		seen := e.Conj().Mul(q).Mul(e)
		turn := q.Conj().Mul(seen).Log().Scale(1 / h)
		move := f.back.MulVec(e.Conj().Rotate(f.trans).Sub(f.trans)).Scale(1 / h)
		var c mat.VecDense
		c.MulVec(a, mat.NewVecDense(6, []float64{turn.X, turn.Y, turn.Z, move.X, move.Y, move.Z}))
		var o mat.Dense
		o.Outer(sigma*sigma, &c, &c)
		s.Add(s, &o)
	}
	for i := range n {
		s.Set(i, i, s.At(i, i)+1)
	}
	var w, wa, lambda mat.Dense
	var eta mat.VecDense
	require.NoError(t, w.Inverse(s))
	wa.Mul(&w, a)
	lambda.Mul(a.T(), &wa)
	eta.MulVec(wa.T(), z)
	assertInfo(t, &lambda, &eta, &sum, 1e-4)
}

func fromMatrix(m *kernel.Mat3) kernel.Quat {
	w := 0.5 * math.Sqrt(1+m[0]+m[4]+m[8])
	k := 0.25 / w
	return kernel.Quat{W: w, X: k * (m[7] - m[5]), Y: k * (m[2] - m[6]), Z: k * (m[3] - m[1])}
}

// Goal: what is left of the turn when the translation is taken out, known to
// sigma before, is the inverse of its block of the inverse.
func TestTranslationIsTakenOut(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	sum, _, _, _ := filled(r, 9)
	full := mat.NewSymDense(6, nil)
	for i := range 6 {
		for j := range i + 1 {
			full.SetSym(i, j, sum.l[at(i, j)])
		}
		if i >= 3 {
			full.SetSym(i, i, full.At(i, i)+1/(0.4*0.4))
		}
	}
	var cov, left mat.Dense
	require.NoError(t, cov.Inverse(full))
	require.NoError(t, left.Inverse(cov.Slice(0, 3, 0, 3)))
	sum.turnOnly(0.4)
	for i := range 6 {
		for j := range i + 1 {
			want := 0.0
			if i < 3 {
				want = left.At(i, j)
			}
			assert.InDelta(t, want, sum.l[at(i, j)], 1e-11)
		}
	}
}

// Goal: the rows are a square root of the information and carry its residual,
// in body axes; where the information is singular, rows are missing and
// nothing is made up: the rows stay orthogonal to the blind direction.
func TestRowsAreASquareRoot(t *testing.T) {
	p := DefaultParams()
	g := estimate.Guess{TransB: Vec3{X: 0.3, Y: 0.1}, Turn: kernel.QuatExp(Vec3{Z: 0.4})}
	f := newFrame(&p, &g)
	for _, n := range []int{1, 3, 5, 6, 20} {
		r := rand.New(rand.NewPCG(4, uint64(n)))
		sum, a, _, z := filled(r, n)
		var out estimate.Relative
		sum.rows(&f, &out)
		assert.Equal(t, min(n, 6), out.Rows)
		// Rows back in the axes of the information.
		u := mat.NewDense(out.Rows, 6, nil)
		zu := mat.NewVecDense(out.Rows, out.Z[:out.Rows])
		mt := f.mount.Transpose()
		for i := range out.Rows {
			turn := mt.MulVec(out.Turn[i])
			move := f.back.MulVec(mt.MulVec(out.Trans[i]))
			u.SetRow(i, []float64{turn.X, turn.Y, turn.Z, move.X, move.Y, move.Z})
		}
		var got, want mat.Dense
		got.Mul(u.T(), u)
		want.Mul(a.T(), a)
		assert.True(t, mat.EqualApprox(&got, &want, 1e-9), "%d numbers", n)
		var ge, we mat.VecDense
		ge.MulVec(u.T(), zu)
		we.MulVec(a.T(), z)
		assert.True(t, mat.EqualApprox(&ge, &we, 1e-9), "%d numbers", n)
	}
}

// Goal: the weakest direction is the smallest eigenvector of the translation's
// information with the turn taken out.
func TestWeakestDirection(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	sum, _, _, _ := filled(r, 30)
	for i := range 6 { // clearly weak along one axis
		sum.l[at(5, min(i, 5))] *= 0.1
	}
	full := mat.NewSymDense(6, nil)
	for i := range 6 {
		for j := range i + 1 {
			full.SetSym(i, j, sum.l[at(i, j)])
		}
	}
	var cov mat.Dense
	require.NoError(t, cov.Inverse(full))
	c := mat.NewSymDense(3, nil)
	for i := range 3 {
		for j := range i + 1 {
			c.SetSym(i, j, cov.At(3+i, 3+j))
		}
	}
	var eig mat.EigenSym
	require.True(t, eig.Factorize(c, true))
	p := DefaultParams()
	g := estimate.Guess{Turn: kernel.QuatIdentity, QWB: kernel.QuatIdentity}
	f := newFrame(&p, &g)
	var out estimate.Sight
	sum.weakest(&f, &g, &out)
	assert.InEpsilon(t, math.Sqrt(eig.Values(nil)[2]), out.WeakSigma, 0.01)
	var v mat.Dense
	eig.VectorsTo(&v)
	mt := f.mount.Transpose()
	dir := mt.MulVec(out.WeakW)
	assert.InDelta(t, 1, math.Abs(dir.Dot(Vec3{X: v.At(0, 2), Y: v.At(1, 2), Z: v.At(2, 2)})), 0.01)
}
