package paint

import "math"

// Mat4 is a 4 × 4 matrix, row by row, for column vectors.
type Mat4 [16]float32

// Identity returns the unit matrix.
func Identity() Mat4 { return Mat4{0: 1, 5: 1, 10: 1, 15: 1} }

// Mul returns a·b.
func (a *Mat4) Mul(b *Mat4) (c Mat4) {
	for i := range 4 {
		for j := range 4 {
			for k := range 4 {
				c[4*i+j] += a[4*i+k] * b[4*k+j]
			}
		}
	}
	return c
}

// Apply returns a·(x, y, z, 1).
func (a *Mat4) Apply(x, y, z float32) (v [4]float32) {
	for i := range 4 {
		v[i] = a[4*i]*x + a[4*i+1]*y + a[4*i+2]*z + a[4*i+3]
	}
	return v
}

// Perspective returns the projection of a picture whose height spans fovY (rad)
// and whose width is aspect times its height.
func Perspective(fovY, aspect, near, far float64) Mat4 {
	f := 1 / math.Tan(0.5*fovY)
	return Mat4{
		float32(f / aspect), 0, 0, 0,
		0, float32(f), 0, 0,
		0, 0, float32((far + near) / (near - far)), float32(2 * far * near / (near - far)),
		0, 0, -1, 0,
	}
}
