package kernel

import "math"

// Quat is a unit quaternion (w, x, y, z), Hamilton product. qWB turns body
// components into room components: vW = qWB · vB · qWB⁻¹.
type Quat struct{ W, X, Y, Z float64 }

// QuatIdentity is no rotation.
var QuatIdentity = Quat{W: 1}

// Mul returns the Hamilton product q·p: first p, then q.
func (q Quat) Mul(p Quat) Quat {
	return Quat{
		float64(q.W*p.W) - float64(q.X*p.X) - float64(q.Y*p.Y) - float64(q.Z*p.Z),
		float64(q.W*p.X) + float64(q.X*p.W) + float64(q.Y*p.Z) - float64(q.Z*p.Y),
		float64(q.W*p.Y) - float64(q.X*p.Z) + float64(q.Y*p.W) + float64(q.Z*p.X),
		float64(q.W*p.Z) + float64(q.X*p.Y) - float64(q.Y*p.X) + float64(q.Z*p.W),
	}
}

// Conj returns the inverse rotation.
func (q Quat) Conj() Quat { return Quat{q.W, -q.X, -q.Y, -q.Z} }

// Vec returns the vector part.
func (q Quat) Vec() Vec3 { return Vec3{q.X, q.Y, q.Z} }

// Normalized returns q/|q|.
func (q Quat) Normalized() Quat {
	n := math.Sqrt(float64(q.W*q.W) + float64(q.X*q.X) + float64(q.Y*q.Y) + float64(q.Z*q.Z))
	k := 1 / n
	return Quat{float64(q.W * k), float64(q.X * k), float64(q.Y * k), float64(q.Z * k)}
}

// Rotate turns v by q: with qWB, body components into room components.
func (q Quat) Rotate(v Vec3) Vec3 {
	u := Vec3{q.X, q.Y, q.Z}
	t := u.Cross(v).Scale(2)
	return v.AddScaled(q.W, t).Add(u.Cross(t))
}

// RotateInv turns v by the inverse of q: with qWB, room into body components.
func (q Quat) RotateInv(v Vec3) Vec3 { return q.Conj().Rotate(v) }

// AxisZ returns q·(0, 0, 1): with qWB, where the body's up points in the room.
func (q Quat) AxisZ() Vec3 {
	return Vec3{
		2 * (float64(q.X*q.Z) + float64(q.W*q.Y)),
		2 * (float64(q.Y*q.Z) - float64(q.W*q.X)),
		1 - float64(2*(float64(q.X*q.X)+float64(q.Y*q.Y))),
	}
}

// QuatExp returns the rotation by the rotation vector phi (rad).
func QuatExp(phi Vec3) Quat {
	angle := phi.Norm()
	half := float64(0.5 * angle)
	k := 0.5
	if angle > 1e-8 {
		k = Sin(half) / angle
	}
	return Quat{Cos(half), float64(k * phi.X), float64(k * phi.Y), float64(k * phi.Z)}
}

// Log returns the rotation vector (rad, length at most π) of q; q and −q give
// the same.
func (q Quat) Log() Vec3 {
	if q.W < 0 {
		q = Quat{-q.W, -q.X, -q.Y, -q.Z}
	}
	n := q.Vec().Norm()
	if n < 1e-12 {
		return q.Vec().Scale(2)
	}
	return q.Vec().Scale(2 * Atan2(n, q.W) / n)
}

// QuatYaw returns the rotation by yaw (rad) about z.
func QuatYaw(yaw float64) Quat { return Quat{W: Cos(0.5 * yaw), Z: Sin(0.5 * yaw)} }

// QuatEuler returns the rotation yaw about z, then pitch about y, then roll
// about x (rad). With z up, positive pitch is nose down, positive roll is right
// side down, positive yaw turns left.
func QuatEuler(roll, pitch, yaw float64) Quat {
	qx := Quat{W: Cos(0.5 * roll), X: Sin(0.5 * roll)}
	qy := Quat{W: Cos(0.5 * pitch), Y: Sin(0.5 * pitch)}
	return QuatYaw(yaw).Mul(qy).Mul(qx)
}

// Euler returns roll, pitch, yaw (rad) as in QuatEuler.
func (q Quat) Euler() (roll, pitch, yaw float64) {
	roll = Atan2(2*(float64(q.W*q.X)+float64(q.Y*q.Z)), 1-float64(2*(float64(q.X*q.X)+float64(q.Y*q.Y))))
	pitch = Asin(Clamp(2*(float64(q.W*q.Y)-float64(q.Z*q.X)), -1, 1))
	return roll, pitch, q.Yaw()
}

// Yaw returns the heading (rad, −π … π) of body x in the room.
func (q Quat) Yaw() float64 {
	return Atan2(2*(float64(q.W*q.Z)+float64(q.X*q.Y)), 1-float64(2*(float64(q.Y*q.Y)+float64(q.Z*q.Z))))
}

// Tilt returns the angle (rad, 0 … π) between body z and room z.
func (q Quat) Tilt() float64 {
	z := q.AxisZ()
	return Atan2(z.NormXY(), z.Z)
}

// Finite tells whether every component is a finite number.
func (q Quat) Finite() bool { return IsFinite(q.W) && IsFinite(q.X) && IsFinite(q.Y) && IsFinite(q.Z) }
