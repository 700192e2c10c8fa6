package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
)

// Goal: a quad without one rotor can spin about a fixed axis and stay where it
// is, at the published rates and thrusts; so can one with two opposing rotors
// left. Method: the body's own equations are solved for the spin at which nothing
// changes (rates by balance about z and x, thrust by the vertical balance), then
// one turn is flown, after which all is as it was. Rotors in front and rear turn
// clockwise, left anticlockwise, right is lost; the left one gives share times
// the thrust of the front one.
// Source: M. W. Mueller and R. D'Andrea, "Stability and control of a quadrocopter
// despite the complete loss of one, two, or three propellers", ICRA 2014, pp.
// 45–52 (parameters and published values, to be met within 8 %, from memory; the
// values asserted to 0.5 % were computed again from its equations).
func TestSpinAfterLostRotor(t *testing.T) {
	for _, row := range []struct {
		share                        float64
		front, q, r, y, z, turn      float64 // N, rad/s, rad/s, axis in the body, s
		power                        float64 // of an ideal rotor, over that of the hover with four
		frontPub, qPub, rPub, yP, zP float64
	}{
		{0.5, 2.040, 5.366, 18.808, 0.2744, 0.9616, 0.3212, 1.263, 2.05, 5.69, 18.89, 0.289, 0.958},
		{0, 2.4525, 0, 30.143, 0, 1, 2 * math.Pi / 30.143, math.Sqrt2, 0, 0, 0, 0, 0}, // mg/2, kT·mg/γ
	} {
		near := func(name string, want, published, got float64) {
			assert.InDelta(t, want, got, max(0.005*want, 1e-9), "%s, share %v", name, row.share)
			if published > 0 {
				assert.InEpsilon(t, published, got, 0.08, "%s as published", name)
			}
		}
		q, r, front := steadySpin(row.share)
		n := math.Hypot(q, r)
		near("front", row.front, row.frontPub, front)
		near("rate about y", row.q, row.qPub, q)
		near("rate about z", row.r, row.rPub, r)
		near("axis y", row.y, row.yP, q/n)
		near("axis z", row.z, row.zP, r/n)
		near("time of a turn", row.turn, 0, 2*math.Pi/n)
		ideal := func(thrust float64) float64 { return IdealPower(thrust, seaLevel, 0.01) }
		near("power", row.power, 0, (2*ideal(front)+ideal(row.share*front))/(4*ideal(spunMass*spunGravity/4)))

		h := spun(row.share, front, r)
		start := State{OmegaB: Vec3{Y: q, Z: r}, QWB: kernel.QuatExp(Vec3{X: math.Atan2(q, r)})} // the axis upright
		s := start
		flyTo(h, &s, 2*math.Pi/n, 1000)
		assert.InDelta(t, 0, start.QWB.Conj().Mul(s.QWB).Log().Norm(), 1e-7, "one turn")
		assert.Less(t, s.OmegaB.Sub(start.OmegaB).Norm(), 1e-8)
		assert.Less(t, s.VelW.Norm(), 1e-7, "the sideways push has gone once round")
		assert.InDelta(t, 0, s.PosW.Z, 1e-8, "it neither sinks nor climbs")
	}
}

// The craft of that publication.
const (
	spunArm, spunKF, spunKT         = 0.17, 6.41e-6, 1.69e-2 // m, N·s², m
	spunDamping, spunBlades         = 2.75e-3, 1.5e-5        // N·m·s of yaw, kg·m² of a rotor
	spunMass, spunGravity   float64 = 0.50, 9.81             // kg, m/s²
)

// spun is that craft under the thrust of its rotors (N) at a yaw rate (rad/s).
func spun(share, front, r float64) *held {
	c := &Craft{Mass: spunMass, Inertia: diag(3.2e-3, 3.2e-3, 5.5e-3)}
	c.InertiaInv, _ = c.Inertia.Inverse()
	left := share * front
	h := &held{}
	h.ForceB = Vec3{Z: 2*front + left}
	h.MomentB = Vec3{X: left * spunArm, Z: spunKT*(2*front-left) - spunDamping*r}
	h.SpinB = Vec3{Z: spunBlades * (math.Sqrt(left/spunKF) - 2*math.Sqrt(front/spunKF))}
	h.hold(c, &Place{Air: Air{Gravity: spunGravity}}, &State{})
	return h
}

// steadySpin returns the rates about y and z (rad/s) and the front rotor's thrust
// (N) at which the body turns steadily and carries its weight.
func steadySpin(share float64) (q, r, front float64) {
	alpha := func(front, q, r float64) Vec3 {
		_, a, _ := spun(share, front, r).accelerate(Quat{W: 1}, Vec3{}, Vec3{Y: q, Z: r})
		return a
	}
	rates := func(front float64) (q, r float64) {
		r = bisect(0, 200, func(r float64) float64 { return -alpha(front, 0, r).Z })
		return bisect(0, 200, func(q float64) float64 { return -alpha(front, q, r).X }), r
	}
	front = bisect(0.5, 5, func(front float64) float64 {
		q, r := rates(front)
		return (2+share)*front*r/math.Hypot(q, r) - spunMass*spunGravity
	})
	q, r = rates(front)
	return q, r, front
}

// bisect returns where f, which rises from below 0, passes 0.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 100 {
		if mid := 0.5 * (low + high); f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// Goal: a quad that loses a rotor in hover has leant by 45° after 0.155 s at the
// soonest; what the other rotors damp on the way is a few per cent.
// Source: √(2·45°/α) with α = (m·g/4)·l/Ixx = 65.14 rad/s², m 0.5 kg, l 0.17 m,
// Ixx 3.2e-3 kg·m² (derived; g is 9.80665 m/s² here, 0.1554 s).
func TestLostRotorLeansIn(t *testing.T) {
	c, p, _, in := standingQuad(t)
	s := Airborne(c, p, Vec3{Z: 10}, 0)
	in.Duty = s.HoverDuties()
	s.RotorSpeed[1], s.Broken[1] = 0, true
	ticks := 0
	for s.QWB.Tilt() < math.Pi/4 {
		run(c, p, &s, in, 1)
		ticks++
		require.Less(t, ticks, 1000)
	}
	assert.GreaterOrEqual(t, ticks, 155)
	assert.LessOrEqual(t, ticks, 165)
}
