package sight

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// info is the information of a picture on six numbers, the turn (0 … 2, camera
// axes now) first and the translation (3 … 5, camera axes of the keyframe)
// after it: lower half of Λ, row by row, and η = Σ Aᵀ·r, all for unit variance.
// Beside it stands a seventh number, an error common to all depths.
type info struct {
	l    [6][6]float64
	eta  [6]float64
	c    [6]float64 // cross terms with the common error
	cc   float64
	cEta float64
}

// add takes in one number: the residual z along the direction (ex, ey) of the
// picture, weight w, and how it depends on turn and translation; common is how
// it depends on the error common to all depths.
func (n *info) add(f *frame, t *Track, y *Vec3, inv, ux, uy, ex, ey, w, z, common float64, trans bool) {
	k := w * inv
	m := Vec3{X: k * ex, Y: k * ey, Z: -k * (float64(ex*ux) + float64(ey*uy))}
	turn := m.Cross(*y)
	z *= w
	var h [6]float64
	h[0], h[1], h[2] = turn.X, turn.Y, turn.Z
	last := 3
	if trans {
		g := f.rot.MulVec(m).Scale(-t.Rho)
		h[3], h[4], h[5] = g.X, g.Y, g.Z
		last = 6
	}
	for i := range last {
		a := h[i]
		n.eta[i] += float64(a * z)
		for j := range i + 1 {
			n.l[i][j] += float64(a * h[j])
		}
	}
	if trans && common != 0 {
		for i := range h {
			n.c[i] += float64(common * h[i])
		}
		n.cc += float64(common * common)
		n.cEta += float64(common * z)
	}
}

// common takes the error common to all depths out of the information, by
// Schur's complement. sigma is its standard deviation.
func (n *info) common(sigma float64) {
	if sigma == 0 {
		return
	}
	k := 1 / (n.cc + 1/float64(sigma*sigma))
	for i := range 6 {
		n.eta[i] -= float64(k * n.c[i] * n.cEta)
		for j := range i + 1 {
			n.l[i][j] -= float64(k * n.c[i] * n.c[j])
		}
	}
}

// rows splits the information, Λ = U·D·Uᵀ with U unit lower triangular, into
// rows √d·uᵀ with residuals (U⁻¹·η)/√d. Directions without information give no
// row: nothing is inverted.
func (n *info) rows(p *Params, g *estimate.Guess, out *estimate.Relative) {
	m := mount(p.Tilt)
	var u [6][6]float64
	a, eta := n.l, n.eta
	out.Sight.WeakSigma = estimate.Blind
	for k := range 6 {
		if k == 3 { // what is left is the translation with the turn taken out
			weakest(&a, &m, g, &out.Sight)
		}
		d := a[k][k]
		if !(d > 1e-9*n.l[k][k]) || d < 1e-6 {
			continue
		}
		for i := k; i < 6; i++ {
			u[i][k] = a[i][k] / d
		}
		for i := k + 1; i < 6; i++ {
			eta[i] -= float64(u[i][k] * eta[k])
			for j := k + 1; j <= i; j++ {
				a[i][j] -= float64(u[i][k] * a[j][k])
			}
		}
		root := math.Sqrt(d)
		r := out.Rows
		out.Z[r] = eta[k] / root
		out.Turn[r] = m.MulVec(Vec3{X: u[0][k], Y: u[1][k], Z: u[2][k]}.Scale(root))
		out.Trans[r] = m.MulVec(Vec3{X: u[3][k], Y: u[4][k], Z: u[5][k]}.Scale(root))
		out.Rows++
	}
}

// weakest finds the direction of the translation known worst, the smallest
// eigenvector of the 3 × 3 block left of Λ, by powers of its adjugate.
func weakest(a *[6][6]float64, m *kernel.Mat3, g *estimate.Guess, out *estimate.Sight) {
	xx, yx, yy, zx, zy, zz := a[3][3], a[4][3], a[4][4], a[5][3], a[5][4], a[5][5]
	adj := kernel.Mat3{
		float64(yy*zz) - float64(zy*zy), float64(zx*zy) - float64(yx*zz), float64(yx*zy) - float64(zx*yy),
		0, float64(xx*zz) - float64(zx*zx), float64(zx*yx) - float64(xx*zy),
		0, 0, float64(xx*yy) - float64(yx*yx),
	}
	adj[3], adj[6], adj[7] = adj[1], adj[2], adj[5]
	v := Vec3{X: 0.6, Y: 0.48, Z: 0.64}
	for range 6 {
		v = adj.MulVec(v).Unit(v)
	}
	s := kernel.Mat3{xx, yx, zx, yx, yy, zy, zx, zy, zz}
	lambda := v.Dot(s.MulVec(v))
	// Camera axes of the keyframe → its body → room.
	key := g.QWB.Mul(g.Turn.Conj())
	out.WeakW = key.Rotate(m.MulVec(v))
	if lambda > 1/(estimate.Blind*estimate.Blind) {
		out.WeakSigma = 1 / math.Sqrt(lambda)
	}
}
