package kernel

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func assertVec(t *testing.T, want, got Vec3, tol float64, msg string) {
	t.Helper()
	assert.InDelta(t, 0, got.Sub(want).Norm(), tol, "%s: want %v, got %v", msg, want, got)
}

func randomVec(r *rand.Rand) Vec3 {
	return Vec3{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
}

// randomQuat returns a rotation that is even over all rotations.
func randomQuat(r *rand.Rand) Quat {
	return Quat{r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}.Normalized()
}

// Goal: the exponential update of a constant rate is the closed form. A rate of
// π/2 rad/s about z for 1 s is the quaternion (cos π/4, 0, 0, sin π/4), whatever
// the step.
func TestConstantRate(t *testing.T) {
	for _, steps := range []int{1, 10, 1000, 10000} {
		q := QuatIdentity
		dt := 1 / float64(steps)
		for range steps {
			q = q.Mul(QuatExp(Vec3{Z: math.Pi / 2}.Scale(dt)))
		}
		assert.InDelta(t, math.Sqrt2/2, q.W, 1e-12)
		assert.InDelta(t, 0, q.X, 1e-12)
		assert.InDelta(t, 0, q.Y, 1e-12)
		assert.InDelta(t, math.Sqrt2/2, q.Z, 1e-12)
	}
}

// Goal: the sign and size of the coning drift. A body whose rotation vector is
// θ(cos Ωt, sin Ωt, 0) turns about its own z at the mean rate Ω(1 − cos θ), with
// a minus sign for a vector that turns from x to y (J. E. Bortz, "A new
// mathematical formulation for strapdown inertial navigation", IEEE Trans. AES-7,
// 1971; P. G. Savage, "Strapdown inertial navigation integration algorithm
// design", 1998; from memory, recomputed here). θ = 5°, Ω = 2π·10 rad/s give
// 0.23909417 rad/s. Method: the body rate from the exact attitude by the
// logarithm of small steps, averaged over one turn; and the reverse, the rates
// put together again give the attitude, but turn it by the drift about z in each
// round where the body's z rate is left out.
func TestConing(t *testing.T) {
	const theta, rate, n = 5 * math.Pi / 180, 2 * math.Pi * 10, 20000
	attitude := func(time float64) Quat {
		return QuatExp(Vec3{theta * Cos(rate*time), theta * Sin(rate*time), 0})
	}
	const period = 2 * math.Pi / rate
	q, sum := attitude(0), 0.0
	rebuilt, without := q, q
	for i := 1; i <= n; i++ {
		next := attitude(period * float64(i) / n)
		step := q.Conj().Mul(next).Log()
		sum += step.Z
		rebuilt = rebuilt.Mul(QuatExp(step))
		without = without.Mul(QuatExp(Vec3{step.X, step.Y, 0}))
		q = next
	}
	const want = 0.23909417 // rad/s
	assert.InDelta(t, want, rate*(1-math.Cos(theta)), 1e-8)
	assert.InDelta(t, -want, sum/period, 1e-7)
	assertSameRotation(t, attitude(0), rebuilt, 1e-11)
	assert.InEpsilon(t, want*period, attitude(0).Conj().Mul(without).Log().Norm(), 5e-3)
}

// assertSameRotation takes q and −q as one.
func assertSameRotation(t *testing.T, want, got Quat, tol float64) {
	t.Helper()
	assert.InDelta(t, 0, want.Conj().Mul(got).Log().Norm(), tol, "want %v, got %v", want, got)
}

// Goal: q and −q are one rotation for everything that reads them.
func TestSignOfQuaternion(t *testing.T) {
	r := source(500)
	for range 1000 {
		q, v := randomQuat(r), randomVec(r)
		n := Quat{-q.W, -q.X, -q.Y, -q.Z}
		assert.Equal(t, q.Rotate(v), n.Rotate(v))
		assert.Equal(t, q.RotateInv(v), n.RotateInv(v))
		assert.Equal(t, q.Matrix(), n.Matrix())
		assert.Equal(t, q.AxisZ(), n.AxisZ())
		assert.Equal(t, q.Log(), n.Log())
		assert.Equal(t, q.Tilt(), n.Tilt())
		assert.Equal(t, q.Yaw(), n.Yaw())
		r1, p1, y1 := q.Euler()
		r2, p2, y2 := n.Euler()
		assert.Equal(t, [3]float64{r1, p1, y1}, [3]float64{r2, p2, y2})
	}
}

// Goal: the ways to turn a vector agree: Rotate, RotateInv, Matrix, the product
// q·v·q⁻¹, Rodrigues' formula, and turning twice.
func TestRotationsAgree(t *testing.T) {
	r := source(501)
	for range 1000 {
		q, p, v := randomQuat(r), randomQuat(r), randomVec(r)
		m := q.Matrix()
		tr := m.Transpose()
		assertVec(t, v, q.RotateInv(q.Rotate(v)), 1e-14*10, "there and back")
		assertVec(t, q.Rotate(v), m.MulVec(v), 1e-14, "matrix")
		assertVec(t, q.RotateInv(v), tr.MulVec(v), 1e-14*10, "transposed matrix")
		assertVec(t, q.Mul(Quat{0, v.X, v.Y, v.Z}).Mul(q.Conj()).Vec(), q.Rotate(v), 1e-14*10, "q·v·q⁻¹")
		assertVec(t, q.Rotate(p.Rotate(v)), q.Mul(p).Rotate(v), 1e-14*10, "first p, then q")
		assertVec(t, q.Rotate(Vec3{Z: 1}), q.AxisZ(), 1e-14, "axis z")
		assert.InDelta(t, 1, m.Det(), 1e-14*10)

		phi := randomVec(r)
		angle, axis := phi.Norm(), phi.Unit(Vec3{})
		rodrigues := v.Scale(math.Cos(angle)).Add(axis.Cross(v).Scale(math.Sin(angle))).
			Add(axis.Scale(axis.Dot(v) * (1 - math.Cos(angle))))
		assertVec(t, rodrigues, QuatExp(phi).Rotate(v), 1e-14*10, "Rodrigues")
	}
}

// Goal: the stated directions: +roll puts the right side (−y) down, +pitch the
// nose (x) down, +yaw turns the nose left (towards y).
func TestAngleSigns(t *testing.T) {
	cases := []struct {
		name       string
		q          Quat
		body, room Vec3
	}{
		{"roll", QuatEuler(math.Pi/2, 0, 0), Vec3{Y: -1}, Vec3{Z: -1}},
		{"pitch", QuatEuler(0, math.Pi/2, 0), Vec3{X: 1}, Vec3{Z: -1}},
		{"yaw", QuatEuler(0, 0, math.Pi/2), Vec3{X: 1}, Vec3{Y: 1}},
		{"yaw alone", QuatYaw(math.Pi / 2), Vec3{X: 1}, Vec3{Y: 1}},
		// Yaw is applied last: the nose goes down, then turns left with its head down.
		{"order", QuatEuler(0, math.Pi/2, math.Pi/2), Vec3{Z: 1}, Vec3{Y: 1}},
	}
	for _, c := range cases {
		assertVec(t, c.room, c.q.Rotate(c.body), 1e-15, c.name)
	}
}

// Goal: Euler angles and rotation vectors survive the way there and back.
func TestRoundTrips(t *testing.T) {
	r := source(502)
	for range 2000 {
		roll, pitch, yaw := between(r, -3.1, 3.1), between(r, -1.5, 1.5), between(r, -3.1, 3.1)
		q := QuatEuler(roll, pitch, yaw)
		r2, p2, y2 := q.Euler()
		// Near pitch ±90° the angles lose digits as 1/cos(pitch).
		tol := 1e-14 / math.Cos(pitch)
		assert.InDelta(t, roll, r2, tol)
		assert.InDelta(t, pitch, p2, tol)
		assert.InDelta(t, yaw, y2, tol)
		assert.InDelta(t, yaw, q.Yaw(), tol)
		assert.InDelta(t, math.Acos(Clamp(math.Cos(roll)*math.Cos(pitch), -1, 1)), q.Tilt(), 1e-7)

		phi := randomVec(r).Unit(Vec3{X: 1}).Scale(math.Abs(spread(r, 1e-14, 3.14)))
		assertVec(t, phi, QuatExp(phi).Log(), 1e-14*phi.Norm()+1e-300, "log of exp")
		assert.InDelta(t, 1, math.Sqrt(QuatExp(phi).dot4()), 1e-15)
	}
	assert.Equal(t, QuatIdentity, QuatExp(Vec3{}))
	assert.Equal(t, Vec3{}, QuatIdentity.Log())
	_, pitch, _ := QuatEuler(0.3, math.Pi/2, 0.2).Euler()
	assert.InDelta(t, math.Pi/2, pitch, 2e-8, "straight down")
}

// dot4 returns |q|².
func (q Quat) dot4() float64 { return q.W*q.W + q.X*q.X + q.Y*q.Y + q.Z*q.Z }

// Goal: a bad number is seen, and the fallback of Unit is used.
func TestFiniteUnitClamp(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		assert.False(t, IsFinite(bad))
		assert.False(t, Vec3{X: bad}.Finite() || Vec3{Y: bad}.Finite() || Vec3{Z: bad}.Finite())
		assert.False(t, Quat{W: bad}.Finite() || Quat{X: bad}.Finite() || Quat{Y: bad}.Finite() || Quat{Z: bad}.Finite())
	}
	assert.True(t, Vec3{1, 2, math.MaxFloat64}.Finite() && QuatIdentity.Finite())
	assert.Equal(t, Vec3{Z: 1}, Vec3{X: 1e-13}.Unit(Vec3{Z: 1}))
	assertVec(t, Vec3{0.6, 0, 0.8}, Vec3{3, 0, 4}.Unit(Vec3{}), 1e-15, "unit")
	assert.Equal(t, []float64{-1, 0.5, 2}, []float64{Clamp(-3, -1, 2), Clamp(0.5, -1, 2), Clamp(3, -1, 2)})
	assert.True(t, math.IsNaN(Clamp(math.NaN(), -1, 1)), "a NaN is not hidden")
	assert.Equal(t, 5.0, Vec3{3, 4, 12}.NormXY())
	assert.Equal(t, 13.0, Vec3{3, 4, 12}.Norm())
}
