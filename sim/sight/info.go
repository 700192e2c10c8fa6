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

// mounting takes an error of the camera's mounting out of the information. A
// camera turned by e against the body sees the turn R as Exp(−e)·R·Exp(e) and
// the translation t as Exp(−e)·t: an error (I − Rᵀ)·e and t × e, which is
// nothing while hovering and grows with turn and distance. sigma (rad) is the
// standard deviation about each axis.
func (n *info) mounting(f *frame, sigma float64) {
	if sigma == 0 {
		return
	}
	for _, axis := range [3]Vec3{{X: 1}, {Y: 1}, {Z: 1}} {
		a, b := axis.Sub(f.back.MulVec(axis)), f.trans.Cross(axis)
		g := [6]float64{a.X, a.Y, a.Z, b.X, b.Y, b.Z}
		n.cc, n.cEta = 0, 0
		for i := range 6 {
			n.c[i] = 0
			for j := range i + 1 {
				n.c[i] += float64(n.l[i][j] * g[j])
			}
			for j := i + 1; j < 6; j++ {
				n.c[i] += float64(n.l[j][i] * g[j])
			}
			n.cc += float64(g[i] * n.c[i])
			n.cEta += float64(g[i] * n.eta[i])
		}
		n.common(sigma)
	}
}

// rows splits the information, Λ = U·D·Uᵀ with U unit lower triangular, into
// rows √d·uᵀ with residuals (U⁻¹·η)/√d. Directions without information give no
// row: nothing is inverted.
func (n *info) rows(p *Params, out *estimate.Relative) {
	m := mount(p.Tilt)
	var u [6][6]float64
	a, eta := n.l, n.eta
	for k := range 6 {
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

// weakest finds the direction of the translation known worst: the smallest
// eigenvector of Λ with the turn taken out, by powers of its adjugate.
func (n *info) weakest(p *Params, g *estimate.Guess, out *estimate.Sight) {
	out.WeakSigma = estimate.Blind
	a := n.l
	for k := range 3 {
		d := a[k][k]
		if !(d > 1e-6) {
			continue
		}
		for i := k + 1; i < 6; i++ {
			u := a[i][k] / d
			for j := k + 1; j <= i; j++ {
				a[i][j] -= float64(u * a[j][k])
			}
		}
	}
	xx, yx, yy, zx, zy, zz := a[3][3], a[4][3], a[4][4], a[5][3], a[5][4], a[5][5]
	xy, xz, yz := float64(zx*zy)-float64(yx*zz), float64(yx*zy)-float64(zx*yy), float64(zx*yx)-float64(xx*zy)
	adj := kernel.Mat3{
		float64(yy*zz) - float64(zy*zy), xy, xz,
		xy, float64(xx*zz) - float64(zx*zx), yz,
		xz, yz, float64(xx*yy) - float64(yx*yx),
	}
	v := Vec3{X: 0.6, Y: 0.48, Z: 0.64}
	for range 6 {
		v = adj.MulVec(v).Unit(v)
	}
	s := kernel.Mat3{xx, yx, zx, yx, yy, zy, zx, zy, zz}
	lambda := v.Dot(s.MulVec(v))
	m := mount(p.Tilt)
	key := g.QWB.Mul(g.Turn.Conj()) // body at the keyframe → room
	out.WeakW = key.Rotate(m.MulVec(v))
	if lambda > 1/(estimate.Blind*estimate.Blind) {
		out.WeakSigma = 1 / math.Sqrt(lambda)
	}
}
