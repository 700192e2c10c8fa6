package estimate

import "lapwing/dynamics/kernel"

// The products of 3 × 3 blocks that the prediction is made of. They are written
// out, with every product rounded, because this is where most of the filter's
// time goes.

// addScaled sets x += t·y.
func addScaled(x *kernel.Mat3, t float64, y *kernel.Mat3) {
	x[0] += float64(t * y[0])
	x[1] += float64(t * y[1])
	x[2] += float64(t * y[2])
	x[3] += float64(t * y[3])
	x[4] += float64(t * y[4])
	x[5] += float64(t * y[5])
	x[6] += float64(t * y[6])
	x[7] += float64(t * y[7])
	x[8] += float64(t * y[8])
}

// addTwo sets x += a·y + b·z.
func addTwo(x, a, y, b, z *kernel.Mat3) {
	for i := 0; i < 9; i += 3 {
		a0, a1, a2 := a[i], a[i+1], a[i+2]
		b0, b1, b2 := b[i], b[i+1], b[i+2]
		x[i] += float64(a0*y[0]) + float64(a1*y[3]) + float64(a2*y[6]) + float64(b0*z[0]) + float64(b1*z[3]) + float64(b2*z[6])
		x[i+1] += float64(a0*y[1]) + float64(a1*y[4]) + float64(a2*y[7]) + float64(b0*z[1]) + float64(b1*z[4]) + float64(b2*z[7])
		x[i+2] += float64(a0*y[2]) + float64(a1*y[5]) + float64(a2*y[8]) + float64(b0*z[2]) + float64(b1*z[5]) + float64(b2*z[8])
	}
}

// addTwoT sets x += y·aᵀ + z·bᵀ.
func addTwoT(x, y, a, z, b *kernel.Mat3) {
	for i := 0; i < 9; i += 3 {
		y0, y1, y2 := y[i], y[i+1], y[i+2]
		z0, z1, z2 := z[i], z[i+1], z[i+2]
		x[i] += float64(y0*a[0]) + float64(y1*a[1]) + float64(y2*a[2]) + float64(z0*b[0]) + float64(z1*b[1]) + float64(z2*b[2])
		x[i+1] += float64(y0*a[3]) + float64(y1*a[4]) + float64(y2*a[5]) + float64(z0*b[3]) + float64(z1*b[4]) + float64(z2*b[5])
		x[i+2] += float64(y0*a[6]) + float64(y1*a[7]) + float64(y2*a[8]) + float64(z0*b[6]) + float64(z1*b[7]) + float64(z2*b[8])
	}
}

// turned sets x = e·x − t·y.
func turned(x, e *kernel.Mat3, t float64, y *kernel.Mat3) {
	for j := range 3 {
		x0, x1, x2 := x[j], x[3+j], x[6+j]
		x[j] = float64(e[0]*x0) + float64(e[1]*x1) + float64(e[2]*x2) - float64(t*y[j])
		x[3+j] = float64(e[3]*x0) + float64(e[4]*x1) + float64(e[5]*x2) - float64(t*y[3+j])
		x[6+j] = float64(e[6]*x0) + float64(e[7]*x1) + float64(e[8]*x2) - float64(t*y[6+j])
	}
}

// turnedT sets x = x·eᵀ − t·y.
func turnedT(x, e *kernel.Mat3, t float64, y *kernel.Mat3) {
	for i := 0; i < 9; i += 3 {
		x0, x1, x2 := x[i], x[i+1], x[i+2]
		x[i] = float64(e[0]*x0) + float64(e[1]*x1) + float64(e[2]*x2) - float64(t*y[i])
		x[i+1] = float64(e[3]*x0) + float64(e[4]*x1) + float64(e[5]*x2) - float64(t*y[i+1])
		x[i+2] = float64(e[6]*x0) + float64(e[7]*x1) + float64(e[8]*x2) - float64(t*y[i+2])
	}
}

// mirror makes a block on the diagonal symmetric bit for bit, from its upper
// half.
func mirror(x *kernel.Mat3) { x[3], x[6], x[7] = x[1], x[2], x[5] }

// addDiagonal adds v to the diagonal of x.
func addDiagonal(x *kernel.Mat3, v float64) {
	x[0] += v
	x[4] += v
	x[8] += v
}

// transpose sets x = yᵀ; in place, because a matrix that is returned is copied.
func transpose(x, y *kernel.Mat3) {
	x[0], x[1], x[2] = y[0], y[3], y[6]
	x[3], x[4], x[5] = y[1], y[4], y[7]
	x[6], x[7], x[8] = y[2], y[5], y[8]
}
