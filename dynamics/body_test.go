package dynamics

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
)

// freeBody returns a body of 1 kg with the given inertia, without air, weight
// and rotors, ready for fly.
func freeBody(inertia Mat3, omegaB Vec3) (h *held, s *State) {
	c := &Craft{Mass: 1, Inertia: inertia}
	c.InertiaInv, _ = inertia.Inverse()
	p := &Place{}
	s = &State{QWB: Quat{W: 1}, OmegaB: omegaB}
	h = &held{}
	h.hold(c, p, s)
	return h, s
}

// flyTo takes n equal steps to time t.
func flyTo(h *held, s *State, t float64, n int) {
	for range n {
		h.fly(s, t/float64(n))
	}
}

func diag(x, y, z float64) Mat3 { return kernel.MatDiag(Vec3{X: x, Y: y, Z: z}) }

// Goal: the torque-free asymmetric top follows its closed form to 1e-6 at 1 kHz,
// and halving the step divides the error by 16. I = (1, 2, 3), ω0 = (1, 0, 1).
// Source: Landau and Lifshitz, Mechanics, 3rd ed. 1976, §37, eqs 37.8–37.12 (from
// memory); numbers from the elliptic functions with k² = 1/3, λ = 1.
func TestAsymmetricTop(t *testing.T) {
	rows := []struct{ t, x, y, z float64 }{
		{1, 0.5778024718, 0.8161766375, 0.8820158155},
		{2, -0.2163783691, 0.9763095828, 0.8259983048},
		{5, -0.1643504298, -0.9864020155, 0.8219916998},
		{10, -0.9210699984, 0.3893970441, 0.9744006606},
	}
	miss := func(end float64, n int, want Vec3) float64 {
		h, s := freeBody(diag(1, 2, 3), Vec3{X: 1, Z: 1})
		flyTo(h, s, end, n)
		return s.OmegaB.Sub(want).Norm()
	}
	for _, r := range rows {
		want := Vec3{X: r.x, Y: r.y, Z: r.z}
		assert.Less(t, miss(r.t, int(1000*r.t), want), 1e-9, "t = %v", r.t) // the table has ten digits
	}
	last := Vec3{X: rows[3].x, Y: rows[3].y, Z: rows[3].z}
	order := math.Log2(miss(10, 200, last) / miss(10, 400, last))
	assert.InDelta(t, 4, order, 0.1, "order between steps of 50 and 25 ms")

	// After a period it is back. T = 4K(1/3)/λ, same source.
	assert.Less(t, miss(6.93566754103, 7000, Vec3{X: 1, Z: 1}), 1e-9)
}

// Goal: the same law as a published test problem, y1' = y2·y3, y2' = −y1·y3,
// y3' = −0.51·y1·y2, y(0) = (0, 1, 1). It is Euler's equation of I = (2, 3, 1),
// whose coefficients are (1, −1/3, −1), with the rates scaled.
// Source: Hull, Enright, Fellen and Sedgwick, Comparing numerical methods for
// ordinary differential equations, SIAM J. Numer. Anal. 9(4), 1972, problem B5;
// y(20) = (sn, cn, dn)(20 | 0.51), recomputed with the elliptic functions.
func TestPublishedTop(t *testing.T) {
	sx, sy, sz := math.Sqrt(1.0/3/0.51), math.Sqrt(1/0.51), math.Sqrt(1.0/3)
	h, s := freeBody(diag(2, 3, 1), Vec3{Y: 1 / sy, Z: 1 / sz})
	flyTo(h, s, 20, 20000)
	assert.InDelta(t, -0.9396570798729, s.OmegaB.X*sx, 1e-9)
	assert.InDelta(t, -0.3421177754001, s.OmegaB.Y*sy, 1e-9)
	assert.InDelta(t, 0.7414126596200, s.OmegaB.Z*sz, 1e-9)
}

// Goal: spin about the middle axis flips over and over, half a period apart; spin
// about the first and third axis stays. I = (1, 2, 3), ω0 = (0, 1, 0.01).
// Source: as TestAsymmetricTop; T/2 = 2K/λ = 18.85103579 s, first zero at 9.4255 s.
func TestMiddleAxisFlips(t *testing.T) {
	h, s := freeBody(diag(1, 2, 3), Vec3{Y: 1, Z: 0.01})
	var zeros []float64
	for i := range 50000 {
		before := s.OmegaB.Y
		h.fly(s, DT)
		if before*s.OmegaB.Y < 0 {
			zeros = append(zeros, DT*(float64(i)+before/(before-s.OmegaB.Y)))
		}
	}
	require.Len(t, zeros, 3)
	assert.InEpsilon(t, 9.4255, zeros[0], 1e-3)
	assert.InEpsilon(t, 18.85103579, zeros[1]-zeros[0], 1e-6)
	assert.InEpsilon(t, 18.85103579, zeros[2]-zeros[1], 1e-6)

	for _, start := range []Vec3{{X: 1, Y: 0.01, Z: 0.01}, {X: 0.01, Y: 0.01, Z: 1}} {
		h, s := freeBody(diag(1, 2, 3), start)
		for range 60000 {
			h.fly(s, DT)
			// The small components trade energy through the ratio of inertias only.
			assert.LessOrEqual(t, min(math.Abs(s.OmegaB.X), math.Abs(s.OmegaB.Z)), 0.03)
			require.Less(t, math.Abs(s.OmegaB.Y), 0.03)
		}
	}
}

// Goal: the symmetric top precesses in body axes at (I3 − I1)/I1·ω3 = 4 rad/s.
// Source: Goldstein, Classical Mechanics, 3rd ed., §5.6 (from memory).
func TestSymmetricTop(t *testing.T) {
	for _, r := range []struct{ t, x, y float64 }{
		{0.1, 0.9210609940, 0.3894183423},
		{1, -0.6536436209, -0.7568024953},
	} {
		h, s := freeBody(diag(0.0025, 0.0025, 0.0045), Vec3{X: 1, Z: 5})
		flyTo(h, s, r.t, int(1000*r.t))
		assert.InDelta(t, r.x, s.OmegaB.X, 1e-8)
		assert.InDelta(t, r.y, s.OmegaB.Y, 1e-8)
		assert.InDelta(t, 5, s.OmegaB.Z, 1e-12)
	}
}

// Goal: over 60 s at 1 kHz a tumbling body keeps energy and angular momentum in
// room axes to 1e-9 and its quaternion's length to 1e-12. The tensor is full.
func TestInvariants(t *testing.T) {
	turn := kernel.QuatEuler(0.4, -0.7, 1.1).Matrix()
	back := turn.Transpose()
	inertia := diag(2e-3, 3e-3, 4.4e-3)
	inertia = turn.Mul(&inertia)
	inertia = inertia.Mul(&back)
	inertia[3], inertia[6], inertia[7] = inertia[1], inertia[2], inertia[5]
	for _, start := range []Vec3{{X: 3, Y: -2, Z: 1}, {X: 2, Y: 3, Z: -3}} {
		h, s := freeBody(inertia, start)
		require.False(t, h.diagonal)
		s.VelW = Vec3{X: 1, Y: 2, Z: 3}
		energy := func() float64 { return 0.5 * s.OmegaB.Dot(inertia.MulVec(s.OmegaB)) }
		momentum := func() Vec3 { return s.QWB.Rotate(inertia.MulVec(s.OmegaB)) }
		e0, l0 := energy(), momentum()
		for range 60000 {
			h.fly(s, DT)
		}
		q := s.QWB
		assert.InEpsilon(t, e0, energy(), 1e-9)
		assert.Less(t, momentum().Sub(l0).Norm()/l0.Norm(), 1e-9)
		assert.InDelta(t, 1, math.Sqrt(q.W*q.W+q.X*q.X+q.Y*q.Y+q.Z*q.Z), 1e-12)
		assert.Equal(t, Vec3{X: 1, Y: 2, Z: 3}, s.VelW, "nothing pulls")
	}
}

// Goal: rotors spun up from the inside leave the total angular momentum alone:
// Izz·r = −Σ J·Ω, in a vacuum.
func TestSpinUpExchange(t *testing.T) {
	c, p, s, in := plusQuad(t)
	p.Air.Density = 0
	s.RotorSpeed = [MaxRotors]float64{}
	s.Queue = [MaxRotors][MaxDelay]float64{}
	in.Duty = [MaxRotors]float64{0.3, 0.8, 0.3, 0.8}
	for range 300 {
		Step(c, p, s, in)
		in.Tick++
	}
	spin := 0.0
	for i := range c.RotorCount {
		spin += c.Rotors[i].Spin * c.Rotors[i].Inertia * s.RotorSpeed[i]
	}
	require.Greater(t, math.Abs(spin), 1e-3)
	assert.InEpsilon(t, -spin, c.Inertia[8]*s.OmegaB.Z, 1e-12)
}

// Goal: a fall with quadratic drag follows v = vt·tanh(g·t/vt) and
// y = vt²/g·ln cosh(g·t/vt) to 1e-6, also lying on its side in the air. vt = 10 m/s.
// Source: Timmerman and van der Weele, Am. J. Phys. 67, 1999, p. 538 (from memory).
func TestDragFall(t *testing.T) {
	const g, mass, density = 9.80665, 0.5, 1.225
	area := 2 * mass * g / (density * 100)
	for _, r := range []struct{ t, v, y float64 }{
		{0.5, 4.544803, 1.179647},
		{1, 7.533536, 4.273984},
		{2, 9.611912, 13.131681},
		{3, 9.944481, 22.960212},
	} {
		for _, q := range []Quat{{W: 1}, kernel.QuatEuler(1, 0.5, 2)} {
			h, s := freeBody(diag(1, 1, 1), Vec3{})
			h.craft.Mass, h.craft.DragArea = mass, Vec3{X: area, Y: area, Z: area}
			h.hold(h.craft, &Place{Air: Air{Density: density, Gravity: g}}, s)
			s.QWB = q
			flyTo(h, s, r.t, int(1000*r.t))
			assert.InDelta(t, -r.v, s.VelW.Z, 1e-6)
			assert.InDelta(t, -r.y, s.PosW.Z, 1e-6)
		}
	}
}

// Goal: the terminal speed belongs to the body axis that meets the air.
// m = 0.5 kg, A = 0.02 m²: 20.006785 m/s. Source: vt = √(2mg/(ρA)).
func TestTerminalSpeed(t *testing.T) {
	h, s := freeBody(diag(1, 1, 1), Vec3{})
	h.craft.Mass, h.craft.DragArea = 0.5, Vec3{X: 0.02, Y: 0.5, Z: 0.5}
	h.hold(h.craft, &Place{Air: Air{Density: 1.225, Gravity: 9.80665}}, s)
	s.QWB = kernel.QuatEuler(0, math.Pi/2, 0) // nose down
	flyTo(h, s, 30, 30000)
	assert.InDelta(t, -20.006785, s.VelW.Z, 1e-6)
}

// Goal: the body's integrator is RK4: its errors on linear problems are those of
// the method to four digits. The decay is the rotors' in-plane drag with
// Σk/m = 1/s, y(1) = 1/e; the oscillator is a body with a rotor's angular momentum
// h/I = 1 rad/s, to t = 20 s.
// Source: errors of classical RK4, computed from its stability polynomial
// 1 + z + z²/2 + z³/6 + z⁴/24.
func TestOrderFour(t *testing.T) {
	for n, want := range map[int]float64{5: 5.796954e-6, 10: 3.332411e-7, 20: 1.997610e-8, 40: 1.222742e-9} {
		t.Run(fmt.Sprintf("decay in %d steps", n), func(t *testing.T) {
			h, s := freeBody(diag(1, 1, 1), Vec3{})
			h.craft.RotorCount, h.DragK[0] = 1, 1
			h.hold(h.craft, &Place{}, s)
			s.VelW = Vec3{X: 1}
			flyTo(h, s, 1, n)
			assert.InEpsilon(t, want, math.Abs(s.VelW.X-math.Exp(-1)), 1e-4)
		})
	}
	for n, want := range map[int]float64{100: 2.6656e-4, 200: 1.6665e-5, 400: 1.0416e-6, 800: 6.5104e-8} {
		t.Run(fmt.Sprintf("oscillator in %d steps", n), func(t *testing.T) {
			h, s := freeBody(diag(1, 1, 1), Vec3{X: 1})
			h.SpinB = Vec3{Z: 1}
			flyTo(h, s, 20, n)
			miss := s.OmegaB.Sub(Vec3{X: math.Cos(20), Y: math.Sin(20)})
			assert.InEpsilon(t, want, miss.Norm(), 1e-3)
		})
	}
}

// Goal: the sums over the rotors give what each rotor's in-plane drag gives,
// force −k·(v + ω×p) across body z, one by one.
func TestHubDrag(t *testing.T) {
	c := &Craft{Mass: 0.7, Inertia: diag(0.002, 0.003, 0.004), RotorCount: 3}
	c.InertiaInv, _ = c.Inertia.Inverse()
	h := &held{}
	h.DragK = [MaxRotors]float64{0.01, 0.02, 0.05}
	for i, p := range []Vec3{{X: 0.1, Y: 0.2, Z: 0.03}, {X: -0.2, Y: 0.1, Z: 0.01}, {X: 0.05, Y: -0.1, Z: -0.02}} {
		c.Rotors[i].PosB = p
	}
	s := &State{}
	s.Gust.WindW = Vec3{X: -1, Y: 0.5, Z: 2}
	h.hold(c, &Place{}, s)
	q, v, w := kernel.QuatEuler(0.3, -0.2, 1), Vec3{X: 2, Y: -1, Z: 0.5}, Vec3{X: 1, Y: 2, Z: -3}
	acc, alpha, _ := h.accelerate(q, v.Sub(s.Gust.WindW), w)

	air := q.RotateInv(v.Sub(s.Gust.WindW))
	var force, moment Vec3
	for i := range 3 {
		hub := air.Add(w.Cross(c.Rotors[i].PosB))
		f := Vec3{X: hub.X, Y: hub.Y}.Scale(-h.DragK[i])
		force, moment = force.Add(f), moment.Add(c.Rotors[i].PosB.Cross(f))
	}
	moment = moment.Sub(w.Cross(c.Inertia.MulVec(w)))
	assert.InDelta(t, 0, acc.Sub(q.Rotate(force).Scale(1/c.Mass)).Norm(), 1e-14)
	assert.InDelta(t, 0, alpha.Sub(c.InertiaInv.MulVec(moment)).Norm(), 1e-12)
}

// Goal: the fast path of a diagonal tensor gives the same bits as the full one.
func TestDiagonalPath(t *testing.T) {
	h, s := freeBody(diag(0.002, 0.003, 0.004), Vec3{X: 3, Y: 2, Z: 1})
	h.SpinB, h.MomentB = Vec3{Z: 0.01}, Vec3{X: 0.001}
	other := *s
	flyTo(h, s, 1, 1000)
	h.diagonal = false
	flyTo(h, &other, 1, 1000)
	assert.Equal(t, *s, other)
}

// Goal: a quaternion and its negative are the same attitude: same motion, bit
// for bit.
func TestSignOfQuaternion(t *testing.T) {
	c, p, s, in := plusQuad(t)
	s.OmegaB, s.VelW, s.QWB = Vec3{X: 1, Y: -2, Z: 3}, Vec3{X: 1, Y: 2, Z: -1}, kernel.QuatEuler(0.5, 0.2, 1)
	other := *s
	other.QWB = Quat{W: -s.QWB.W, X: -s.QWB.X, Y: -s.QWB.Y, Z: -s.QWB.Z}
	for range 1000 {
		Step(c, p, s, in)
		Step(c, p, &other, in)
		in.Tick++
	}
	assert.Equal(t, s.PosW, other.PosW)
	assert.Equal(t, s.OmegaB, other.OmegaB)
	assert.Equal(t, s.SpecificForceB, other.SpecificForceB)
}
