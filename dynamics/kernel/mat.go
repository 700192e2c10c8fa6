package kernel

// Mat3 is a 3 × 3 matrix, row by row.
type Mat3 [9]float64

// MatIdentity returns the unit matrix.
func MatIdentity() Mat3 { return Mat3{1, 0, 0, 0, 1, 0, 0, 0, 1} }

// MatDiag returns the diagonal matrix of v.
func MatDiag(v Vec3) Mat3 { return Mat3{v.X, 0, 0, 0, v.Y, 0, 0, 0, v.Z} }

// MulVec returns m·v.
func (m *Mat3) MulVec(v Vec3) Vec3 {
	return Vec3{
		float64(m[0]*v.X) + float64(m[1]*v.Y) + float64(m[2]*v.Z),
		float64(m[3]*v.X) + float64(m[4]*v.Y) + float64(m[5]*v.Z),
		float64(m[6]*v.X) + float64(m[7]*v.Y) + float64(m[8]*v.Z),
	}
}

// Mul returns m·n.
func (m *Mat3) Mul(n *Mat3) (p Mat3) {
	for i := 0; i < 9; i += 3 {
		for j := range 3 {
			p[i+j] = float64(m[i]*n[j]) + float64(m[i+1]*n[3+j]) + float64(m[i+2]*n[6+j])
		}
	}
	return p
}

// Transpose returns mᵀ.
func (m *Mat3) Transpose() Mat3 {
	return Mat3{m[0], m[3], m[6], m[1], m[4], m[7], m[2], m[5], m[8]}
}

// Det returns the determinant.
func (m *Mat3) Det() float64 {
	r0, r1, r2 := Vec3{m[0], m[1], m[2]}, Vec3{m[3], m[4], m[5]}, Vec3{m[6], m[7], m[8]}
	return r0.Dot(r1.Cross(r2))
}

// Inverse returns m⁻¹; ok is false where the determinant is not a positive or
// negative finite number.
func (m *Mat3) Inverse() (inv Mat3, ok bool) {
	r0, r1, r2 := Vec3{m[0], m[1], m[2]}, Vec3{m[3], m[4], m[5]}, Vec3{m[6], m[7], m[8]}
	d := m.Det()
	if d == 0 || !IsFinite(1/d) {
		return Mat3{}, false
	}
	a, b, c := r1.Cross(r2).Scale(1/d), r2.Cross(r0).Scale(1/d), r0.Cross(r1).Scale(1/d)
	return Mat3{a.X, b.X, c.X, a.Y, b.Y, c.Y, a.Z, b.Z, c.Z}, true
}

// Matrix returns the rotation matrix of q: with qWB, its columns are the body
// axes in room components.
func (q Quat) Matrix() (m Mat3) {
	m.SetQuat(q)
	return m
}

// SetQuat makes m the rotation matrix of q. In the tick it serves instead of
// Matrix, whose result is copied.
func (m *Mat3) SetQuat(q Quat) {
	x2, y2, z2 := q.X+q.X, q.Y+q.Y, q.Z+q.Z
	xx, yy, zz := float64(q.X*x2), float64(q.Y*y2), float64(q.Z*z2)
	xy, xz, yz := float64(q.X*y2), float64(q.X*z2), float64(q.Y*z2)
	wx, wy, wz := float64(q.W*x2), float64(q.W*y2), float64(q.W*z2)
	m[0], m[1], m[2] = 1-(yy+zz), xy-wz, xz+wy
	m[3], m[4], m[5] = xy+wz, 1-(xx+zz), yz-wx
	m[6], m[7], m[8] = xz-wy, yz+wx, 1-(xx+yy)
}
