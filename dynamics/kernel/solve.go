package kernel

import "math"

// The solvers work in place on square matrices stored row by row in flat
// slices, n ≤ maxOrder, and allocate nothing. Slice a fixed array to call them:
// Cholesky(6, m[:]).
const maxOrder = 16

// Cholesky factors the symmetric positive definite a = l·lᵀ (n × n, only the
// lower triangle is read) in place: l is left in the lower triangle, zero
// above. It returns false, with a spoilt, where a is not positive definite.
func Cholesky(n int, a []float64) bool {
	for j := range n {
		d := a[j*n+j] - dot(a[j*n:j*n+j], a[j*n:j*n+j])
		if !(d > 0) || !IsFinite(d) {
			return false
		}
		d = math.Sqrt(d)
		a[j*n+j] = d
		for i := j + 1; i < n; i++ {
			a[i*n+j] = (a[i*n+j] - dot(a[i*n:i*n+j], a[j*n:j*n+j])) / d
			a[j*n+i] = 0
		}
	}
	return true
}

// dot returns Σ a·b over the shorter length, from the first to the last.
func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range min(len(a), len(b)) {
		sum += float64(a[i] * b[i])
	}
	return sum
}

// SolveCholesky solves l·lᵀ·x = b with the factor from Cholesky; x replaces b
// (length n).
func SolveCholesky(n int, l, b []float64) {
	for i := range n {
		b[i] = (b[i] - dot(l[i*n:i*n+i], b[:i])) / l[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		sum := b[i]
		for k := i + 1; k < n; k++ {
			sum -= float64(l[k*n+i] * b[k])
		}
		b[i] = sum / l[i*n+i]
	}
}

// SolveLU solves a·x = b by elimination with partial pivoting; x replaces b and
// a is destroyed. It returns false where a is singular or not finite.
func SolveLU(n int, a, b []float64) bool {
	for j := range n {
		if !pivot(n, j, 1, a, b) {
			return false
		}
		for i := j + 1; i < n; i++ {
			eliminate(n, i, j, j, 1, a, b)
		}
	}
	for i := n - 1; i >= 0; i-- {
		b[i] = (b[i] - dot(a[i*n+i+1:i*n+n], b[i+1:n])) / a[i*n+i]
	}
	return true
}

// pivot brings the largest element of column j at or below the diagonal onto
// it, swapping rows of a (n wide) and b (m wide). False where it is zero or not
// finite.
func pivot(n, j, m int, a, b []float64) bool {
	best := j
	for i := j + 1; i < n; i++ {
		if math.Abs(a[i*n+j]) > math.Abs(a[best*n+j]) {
			best = i
		}
	}
	p := a[best*n+j]
	if p == 0 || !IsFinite(1/p) || !IsFinite(p) {
		return false
	}
	if best != j {
		swapRows(n, best, j, a)
		swapRows(m, best, j, b)
	}
	return true
}

// swapRows exchanges rows i and k of a matrix of the given width.
func swapRows(width, i, k int, a []float64) {
	for c := range width {
		a[i*width+c], a[k*width+c] = a[k*width+c], a[i*width+c]
	}
}

// eliminate subtracts row j times a[i,j]/a[j,j] from row i of a, from column
// first on, and of b (m wide).
func eliminate(n, i, j, first, m int, a, b []float64) {
	f := a[i*n+j] / a[j*n+j]
	if f == 0 {
		return
	}
	for c := first; c < n; c++ {
		a[i*n+c] -= float64(f * a[j*n+c])
	}
	for c := range m {
		b[i*m+c] -= float64(f * b[j*m+c])
	}
}

// Inverse writes a⁻¹ (n × n, n ≤ 16) to out, which must not overlap a; a is
// kept. It returns false where a is singular or not finite.
func Inverse(n int, a, out []float64) bool {
	if n > maxOrder {
		return false
	}
	var work [maxOrder * maxOrder]float64
	w := work[:n*n]
	copy(w, a)
	for i := range n * n {
		out[i] = 0
	}
	for i := range n {
		out[i*n+i] = 1
	}
	for j := range n {
		if !pivot(n, j, n, w, out) {
			return false
		}
		for i := range n {
			if i != j {
				eliminate(n, i, j, j, n, w, out)
			}
		}
	}
	for i := range n {
		for c := range n {
			out[i*n+c] /= w[i*n+i]
		}
	}
	return true
}

// PseudoInverse writes aᵀ·(a·aᵀ)⁻¹ (cols × rows) to out: the smallest x that
// gives a·x = y is out·y. a (rows × cols, rows ≤ 4, cols ≤ 8) must have full
// row rank, or false is returned.
func PseudoInverse(rows, cols int, a, out []float64) bool {
	if rows > 4 || cols > 8 {
		return false
	}
	var gram [16]float64
	for i := range rows {
		for k := range rows {
			gram[i*rows+k] = dot(a[i*cols:(i+1)*cols], a[k*cols:(k+1)*cols])
		}
	}
	l, ok := factorFullRank(rows, gram)
	if !ok {
		return false
	}
	for c := range cols {
		var y [4]float64
		for i := range rows {
			y[i] = a[i*cols+c]
		}
		SolveCholesky(rows, l[:rows*rows], y[:rows])
		copy(out[c*rows:(c+1)*rows], y[:rows])
	}
	return true
}

// factorFullRank returns the Cholesky factor of gram = a·aᵀ; ok is false where a
// squared pivot falls below 1e-12 of its diagonal, that is, where a row of a is
// within 1e-6 of depending on those before it.
func factorFullRank(n int, gram [16]float64) (l [16]float64, ok bool) {
	l = gram
	if !Cholesky(n, l[:n*n]) {
		return l, false
	}
	for i := range n {
		if d := l[i*n+i]; !(float64(d*d) > float64(1e-12*gram[i*n+i])) {
			return l, false
		}
	}
	return l, true
}
