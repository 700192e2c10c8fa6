package kernel

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

const solveTol = 1e-12 // relative to the largest element; the matrices are well conditioned

// randomMatrix returns a rows × cols matrix of standard normal elements.
func randomMatrix(r *rand.Rand, rows, cols int) []float64 {
	a := make([]float64, rows*cols)
	for i := range a {
		a[i] = r.NormFloat64()
	}
	return a
}

// randomPositive returns b·bᵀ + n·1.
func randomPositive(r *rand.Rand, n int) []float64 {
	b := mat.NewDense(n, n, randomMatrix(r, n, n))
	a := mat.NewDense(n, n, nil)
	a.Mul(b, b.T())
	for i := range n {
		a.Set(i, i, a.At(i, i)+float64(n))
	}
	return a.RawMatrix().Data
}

func clone(a []float64) []float64 { return append([]float64(nil), a...) }

// assertAll compares element by element, relative to the largest of want.
func assertAll(t *testing.T, want, got []float64, msg string, n int) {
	t.Helper()
	scale := 0.0
	for _, w := range want {
		scale = max(scale, math.Abs(w))
	}
	for i := range want {
		assert.InDelta(t, want[i], got[i], solveTol*scale, "%s, n = %d, element %d", msg, n, i)
	}
}

// Goal: the solvers agree with gonum for every order. Method: random matrices,
// well conditioned, several of each order.
func TestSolversAgainstGonum(t *testing.T) {
	r := source(400)
	for n := 1; n <= maxOrder; n++ {
		for range 5 {
			a, b := randomPositive(r, n), randomMatrix(r, n, 1)
			var chol mat.Cholesky
			require.True(t, chol.Factorize(mat.NewSymDense(n, clone(a))))
			l, x := clone(a), clone(b)
			require.True(t, Cholesky(n, l))
			var wantL mat.TriDense
			chol.LTo(&wantL)
			for i := range n {
				for j := range n {
					assert.InDelta(t, wantL.At(i, j), l[i*n+j], solveTol*10, "factor")
				}
			}
			SolveCholesky(n, l, x)
			want := mat.NewVecDense(n, nil)
			require.NoError(t, chol.SolveVecTo(want, mat.NewVecDense(n, clone(b))))
			assertAll(t, want.RawVector().Data, x, "cholesky", n)

			x, w := clone(b), clone(a)
			require.True(t, SolveLU(n, w, x))
			assertAll(t, want.RawVector().Data, x, "lu", n)

			// The inverse also of a matrix without symmetry, rows turned so that
			// the pivots are off the diagonal.
			g := clone(a)
			for i := range g {
				g[i] += 0.1 * r.NormFloat64()
			}
			g = append(clone(g[n*(n/2):]), g[:n*(n/2)]...)
			var inv mat.Dense
			require.NoError(t, inv.Inverse(mat.NewDense(n, n, clone(g))))
			out := make([]float64, n*n)
			before := clone(g)
			require.True(t, Inverse(n, g, out))
			assert.Equal(t, before, g, "a is kept")
			assertAll(t, inv.RawMatrix().Data, out, "inverse", n)
		}
	}
}

// Goal: the pseudo-inverse agrees with gonum's least-norm solution (QR).
func TestPseudoInverseAgainstGonum(t *testing.T) {
	r := source(401)
	for rows := 1; rows <= 4; rows++ {
		for cols := rows; cols <= 8; cols++ {
			a := randomMatrix(r, rows, cols)
			for i := range rows {
				a[i*cols+i] += 4
			}
			out := make([]float64, cols*rows)
			require.True(t, PseudoInverse(rows, cols, a, out))
			var want mat.Dense
			one := mat.NewDense(rows, rows, nil)
			for i := range rows {
				one.Set(i, i, 1)
			}
			require.NoError(t, want.Solve(mat.NewDense(rows, cols, clone(a)), one))
			assertAll(t, want.RawMatrix().Data, out, "pseudo-inverse", cols)
		}
	}
}

// Goal: what has no answer is refused, not answered with rubbish.
func TestSolversRefuse(t *testing.T) {
	nan := math.NaN()
	b := []float64{1, 1}
	assert.False(t, Cholesky(2, []float64{1, 2, 2, 1}), "indefinite")
	assert.False(t, Cholesky(2, []float64{0, 0, 0, 1}), "zero pivot")
	assert.False(t, Cholesky(1, []float64{nan}), "NaN")
	assert.False(t, SolveLU(2, []float64{1, 2, 2, 4}, b), "singular")
	assert.False(t, SolveLU(1, []float64{nan}, b), "NaN")
	assert.False(t, SolveLU(2, []float64{1, nan, 1, 1}, b), "NaN off the pivot")
	assert.False(t, Inverse(2, []float64{1, 2, 2, 4}, make([]float64, 4)), "singular")
	assert.False(t, Inverse(17, make([]float64, 289), make([]float64, 289)), "too large")
	assert.False(t, PseudoInverse(2, 3, []float64{1, 2, 3, 2, 4, 6}, make([]float64, 6)), "rank 1")
	assert.False(t, PseudoInverse(2, 3, []float64{1, 2, 3, 0, 0, 0}, make([]float64, 6)), "zero row")
	assert.False(t, PseudoInverse(5, 8, make([]float64, 40), make([]float64, 40)), "too many rows")
	assert.False(t, PseudoInverse(3, 2, []float64{1, 0, 0, 1, 1, 1}, make([]float64, 6)), "more rows than columns")
	assert.True(t, SolveLU(2, []float64{0, 1, 1, 0}, b), "needs a swap")
}

// Goal: Mat3 agrees with gonum and with itself.
func TestMat3AgainstGonum(t *testing.T) {
	r := source(402)
	for range 100 {
		m, n := Mat3(randomMatrix(r, 3, 3)), Mat3(randomMatrix(r, 3, 3))
		for i := 0; i < 9; i += 4 {
			m[i] += 5
		}
		gm, gn := mat.NewDense(3, 3, m[:]), mat.NewDense(3, 3, n[:])
		var product, inverse mat.Dense
		product.Mul(gm, gn)
		p := m.Mul(&n)
		assertAll(t, product.RawMatrix().Data, p[:], "product", 3)
		require.NoError(t, inverse.Inverse(gm))
		inv, ok := m.Inverse()
		require.True(t, ok)
		assertAll(t, inverse.RawMatrix().Data, inv[:], "inverse", 3)
		assert.InDelta(t, mat.Det(gm), m.Det(), 1e-12*math.Abs(m.Det()))
		tr := m.Transpose()
		assert.Equal(t, m, tr.Transpose())
		v := Vec3{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		back := inv.MulVec(m.MulVec(v))
		assertVec(t, v, back, 1e-12, "m⁻¹·m·v")
	}
	singular := Mat3{1, 2, 3, 2, 4, 6, 0, 0, 1}
	_, ok := singular.Inverse()
	assert.False(t, ok)
	assert.Equal(t, MatIdentity(), MatDiag(Vec3{1, 1, 1}))
}
