package sight

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// info is the information of a picture on six numbers, the turn (0 … 2) first
// and the translation (3 … 5) after it, both in the axes of the present camera:
// lower half of Λ, row by row, and η = Σ Aᵀ·r, all for unit variance. Beside it
// stands a seventh number, an error common to many tracks.
type info struct {
	l    [21]float64
	eta  [6]float64
	c    [6]float64 // cross terms with the common error
	cc   float64
	cEta float64
}

// at returns where element (i, j), j ≤ i, stands.
func at(i, j int) int { return i*(i+1)/2 + j }

// point takes in the bearing of a point at inverse depth rho, weighed by w. With
// u the expected bearing, its derivatives with respect to turn and translation are
//
//	B = | ux·uy    −1 − ux²   uy |      k·| 1  0  −ux |   k = −rho/y.Z
//	    | 1 + uy²  −ux·uy    −ux |        | 0  1  −uy |
//
// It is written out because it takes much of a picture's time.
func (n *info) point(o *seen, rho float64, w *weight) {
	x, y := o.ux, o.uy
	m := float64(x * y)
	a, b := -1-float64(x*x), 1+float64(y*y)
	// W·B, row by row.
	p0 := float64(w.xx*m) + float64(w.xy*b)
	p1 := float64(w.xx*a) - float64(w.xy*m)
	p2 := float64(w.xx*y) - float64(w.xy*x)
	q0 := float64(w.xy*m) + float64(w.yy*b)
	q1 := float64(w.xy*a) - float64(w.yy*m)
	q2 := float64(w.xy*y) - float64(w.yy*x)
	l, k := &n.l, -float64(rho*o.inv)
	l[0] += float64(m*p0) + float64(b*q0)
	l[1] += float64(a*p0) - float64(m*q0)
	l[2] += float64(a*p1) - float64(m*q1)
	l[3] += float64(y*p0) - float64(x*q0)
	l[4] += float64(y*p1) - float64(x*q1)
	l[5] += float64(y*p2) - float64(x*q2)
	l[6] += float64(k * p0)
	l[7] += float64(k * p1)
	l[8] += float64(k * p2)
	l[10] += float64(k * q0)
	l[11] += float64(k * q1)
	l[12] += float64(k * q2)
	l[15] -= float64(k * (float64(x*p0) + float64(y*q0)))
	l[16] -= float64(k * (float64(x*p1) + float64(y*q1)))
	l[17] -= float64(k * (float64(x*p2) + float64(y*q2)))
	kk := float64(k * k)
	s, t := float64(x*w.xx)+float64(y*w.xy), float64(x*w.xy)+float64(y*w.yy)
	l[9] += float64(kk * w.xx)
	l[13] += float64(kk * w.xy)
	l[14] += float64(kk * w.yy)
	l[18] -= float64(kk * s)
	l[19] -= float64(kk * t)
	l[20] += float64(kk * (float64(x*s) + float64(y*t)))
	rx, ry := float64(w.xx*o.rx)+float64(w.xy*o.ry), float64(w.xy*o.rx)+float64(w.yy*o.ry)
	n.eta[0] += float64(m*rx) + float64(b*ry)
	n.eta[1] += float64(a*rx) - float64(m*ry)
	n.eta[2] += float64(y*rx) - float64(x*ry)
	n.eta[3] += float64(k * rx)
	n.eta[4] += float64(k * ry)
	n.eta[5] -= float64(k * (float64(x*rx) + float64(y*ry)))
}

// shared takes in how the same bearing depends on an error common to all depths,
// which moves it along the epipolar line; along is its information there.
func (n *info) shared(o *seen, rho, along float64) {
	g := float64(rho * along)
	jx, jy := float64(g*o.jx), float64(g*o.jy)
	x, y, k := o.ux, o.uy, -float64(rho*o.inv)
	m := float64(x * y)
	n.c[0] += float64(m*jx) + float64((1+float64(y*y))*jy)
	n.c[1] -= float64((1+float64(x*x))*jx) + float64(m*jy)
	n.c[2] += float64(y*jx) - float64(x*jy)
	n.c[3] += float64(k * jx)
	n.c[4] += float64(k * jy)
	n.c[5] -= float64(k * (float64(x*jx) + float64(y*jy)))
	n.cc += float64(g * rho * o.jj)
	n.cEta += float64(jx*o.rx) + float64(jy*o.ry)
}

// common takes the common error out of the information, by Schur's complement.
// sigma is its standard deviation.
func (n *info) common(sigma float64) {
	if sigma == 0 {
		return
	}
	w, k := 1/(n.cc+1/float64(sigma*sigma)), 0
	for i := range 6 {
		u := w * n.c[i]
		n.eta[i] -= float64(u * n.cEta)
		for j := range i + 1 {
			n.l[k] -= float64(u * n.c[j])
			k++
		}
	}
}

// turnOnly takes the translation out of the information, as a number of no
// interest that is known to sigma (m) about each axis: for tracks of unknown
// depth, an error of translation and one of their mean depth look alike.
func (n *info) turnOnly(sigma float64) {
	prior := 1 / max(float64(sigma*sigma), 1e-12)
	for k := 5; k >= 3; k-- {
		inv := 1 / (n.l[at(k, k)] + prior)
		for i := range k {
			u := n.l[at(k, i)] * inv
			n.eta[i] -= float64(u * n.eta[k])
			for j := range i + 1 {
				n.l[at(i, j)] -= float64(u * n.l[at(k, j)])
			}
		}
		for i := range k + 1 {
			n.l[at(k, i)] = 0
		}
		n.eta[k] = 0
	}
}

// join adds the information of m.
func (n *info) join(m *info) {
	for i := range n.l {
		n.l[i] += m.l[i]
	}
	for i := range n.eta {
		n.eta[i] += m.eta[i]
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
		a, b := axis.Sub(f.back.MulVec(axis)), f.back.MulVec(f.trans.Cross(axis))
		g := [6]float64{a.X, a.Y, a.Z, b.X, b.Y, b.Z}
		n.c, n.cc, n.cEta = [6]float64{}, 0, 0
		k := 0
		for i := range 6 {
			for j := range i {
				n.c[i] += float64(n.l[k] * g[j])
				n.c[j] += float64(n.l[k] * g[i])
				k++
			}
			n.c[i] += float64(n.l[k] * g[i])
			k++
		}
		for i := range 6 {
			n.cc += float64(g[i] * n.c[i])
			n.cEta += float64(g[i] * n.eta[i])
		}
		n.common(sigma)
	}
}

// rows splits the information, Λ = U·D·Uᵀ with U unit lower triangular, into
// rows √d·uᵀ with residuals (U⁻¹·η)/√d. Directions without information give no
// row: nothing is inverted.
func (n *info) rows(f *frame, out *estimate.Relative) {
	forth := f.mount.Mul(&f.rot)
	a, eta := n.l, n.eta
	for k := range 6 {
		d := a[at(k, k)]
		if !(d > 1e-9*n.l[at(k, k)]) || d < 1e-6 {
			continue
		}
		var u [6]float64
		for i := k; i < 6; i++ {
			u[i] = a[at(i, k)] / d
		}
		for i := k + 1; i < 6; i++ {
			eta[i] -= float64(u[i] * eta[k])
			for j := k + 1; j <= i; j++ {
				a[at(i, j)] -= float64(u[i] * a[at(j, k)])
			}
		}
		root := math.Sqrt(d)
		r := out.Rows
		out.Z[r] = eta[k] / root
		out.Turn[r] = f.mount.MulVec(Vec3{X: u[0], Y: u[1], Z: u[2]}.Scale(root))
		out.Trans[r] = forth.MulVec(Vec3{X: u[3], Y: u[4], Z: u[5]}.Scale(root))
		out.Rows++
	}
}

// weakest finds the direction of the translation known worst: the smallest
// eigenvector of Λ with the turn taken out, by powers of its adjugate.
func (n *info) weakest(f *frame, g *estimate.Guess, out *estimate.Sight) {
	out.WeakSigma = estimate.Blind
	a := n.l
	for k := range 3 {
		d := a[at(k, k)]
		if !(d > 1e-6) {
			continue
		}
		for i := k + 1; i < 6; i++ {
			u := a[at(i, k)] / d
			for j := k + 1; j <= i; j++ {
				a[at(i, j)] -= float64(u * a[at(j, k)])
			}
		}
	}
	xx, yx, yy, zx, zy, zz := a[at(3, 3)], a[at(4, 3)], a[at(4, 4)], a[at(5, 3)], a[at(5, 4)], a[at(5, 5)]
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
	out.WeakW = g.QWB.Rotate(f.mount.MulVec(v))
	if lambda > 1/(estimate.Blind*estimate.Blind) {
		out.WeakSigma = 1 / math.Sqrt(lambda)
	}
}
