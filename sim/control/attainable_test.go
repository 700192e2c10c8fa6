package control

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"lapwing/dynamics"
	"lapwing/sim/hands"
)

// Goal: what each layout can do after each loss. Source: Du, Quan, Yang & Cai,
// "Controllability analysis for multirotor helicopter rotor degradation and
// failure", J. Guid. Control Dyn. 38(5), 2015 (from memory): a hexacopter with
// alternating spins is uncontrollable after any loss, one with paired spins
// (PPNNPN) survives four of six.
func TestLosses(t *testing.T) {
	for _, c := range []struct {
		shape string
		want  []Outcome
	}{
		{"tri-400g", []Outcome{Lost, Lost, Lost}},
		{"quad-250g", []Outcome{Lost, Lost, Lost, Lost}},
		{"quad-500g", []Outcome{Lost, Lost, Lost, Lost}},
		{"hexa-alternating", []Outcome{YawGivenUp, YawGivenUp, YawGivenUp, YawGivenUp, YawGivenUp, YawGivenUp}},
		{"hexa-paired", []Outcome{WithYaw, WithYaw, WithYaw, WithYaw, YawGivenUp, YawGivenUp}},
		{"octo-3kg", []Outcome{WithYaw, WithYaw, WithYaw, WithYaw, WithYaw, WithYaw, WithYaw, WithYaw}},
	} {
		t.Run(c.shape, func(t *testing.T) {
			craft := shapeOf(c.shape).craft()
			p := Design(craft, hall(), nil)
			v := Losses(craft, &p, 4.1)
			for i := range dynamics.MaxRotors {
				want := NoRotor
				if i < len(c.want) {
					want = c.want[i]
				}
				assert.Equal(t, want, v[i].Outcome, "rotor %d: %+v", i, v[i])
			}
		})
	}
}

func TestThrustToWeight(t *testing.T) {
	// By hand: 4·CT·ρ·n²·D⁴/(m·g) with n = 2300/2π rev/s · 3.7/4.2.
	craft := shapeOf("quad-500g").craft()
	p := Design(craft, hall(), nil)
	n, d := 2300/6.283185307179586*3.7/4.2, 0.127
	want := 4 * 0.1127 * 1.225 * n * n * d * d * d * d / (0.5 * g0)
	assert.InDelta(t, want, ThrustToWeight(craft, &p, 3.7), 1e-9)
	assert.Greater(t, ThrustToWeight(craft, &p, 3.7), 2.5)
}

// Goal: a margin above nothing means a hover from which every small wrench is
// possible. Reference: the linear program that makes the least room of any rotor
// to either end of its range as large as can be (gonum). A linear map takes the
// inside of the box of thrusts to the inside of the set of wrenches, so one is
// above 0 exactly where the other is.
func TestMarginAgreesWithLinearProgram(t *testing.T) {
	for _, sh := range shapes[1:] {
		craft := sh.craft()
		p := Design(craft, hall(), nil)
		for i := -1; i < p.RotorCount; i++ {
			var lost [dynamics.MaxRotors]bool
			if i >= 0 {
				lost[i] = true
			}
			v := Without(craft, &p, 4.1, &lost)
			set := newWrenchSet(craft, &p, 4.1, &lost)
			for _, rows := range []int{3, 4} {
				margin := v.NoYaw
				if rows == 4 {
					margin = v.Yaw
				}
				assert.Equal(t, leastRoom(t, &set, p.Weight, rows) > 1e-6, margin > 1e-6, "%s without %d, %d demands: %g", sh.name, i, rows, margin)
			}
		}
	}
}

// leastRoom solves: maximise s with s ≤ T ≤ top − s, thrust = weight, moments 0.
// In standard form with T = s + a, a + b = top − 2s, all unknowns ≥ 0.
func leastRoom(t *testing.T, set *wrenchSet, weight float64, rows int) float64 {
	n := set.n
	vars := 1 + 2*n // s, a, b
	a := mat.NewDense(rows+n, vars, nil)
	b := make([]float64, rows+n)
	b[0] = weight
	for i := range n {
		for k := range rows {
			a.Set(k, 0, a.At(k, 0)+set.unit[i][k])
			a.Set(k, 1+i, set.unit[i][k])
		}
		a.Set(rows+i, 0, 2)
		a.Set(rows+i, 1+i, 1)
		a.Set(rows+i, 1+n+i, 1)
		b[rows+i] = set.top[i]
	}
	cost := make([]float64, vars)
	cost[0] = -1
	best, _, err := lp.Simplex(cost, a, b, 1e-10, nil)
	if err != nil { // infeasible or of too low a rank: no room
		require.Contains(t, []error{lp.ErrInfeasible, lp.ErrSingular}, err)
		return 0
	}
	return -best
}

// Goal: with rotor speeds reported the law flies on without a rotor where the
// verdict says so; without them it is not told.
func TestFliesOnAfterLoss(t *testing.T) {
	for _, c := range []struct {
		shape string
		rotor int
	}{
		{"hexa-paired", 0}, {"hexa-paired", 2}, {"hexa-paired", 5}, {"hexa-alternating", 1}, {"octo-3kg", 4},
	} {
		f := fly(t, shapeOf(c.shape), nil, hands.PositionHold, 0)
		craft := f.c
		verdict := Losses(craft, &f.p, 4.0)[c.rotor]
		f.in.HasSpeeds = true
		f.run(2, nil)
		f.dyn.SpeedFactor[c.rotor] = 0
		noticed, worstTilt, low := -1, 0.0, 5.0
		for i := range 15000 {
			f.tick()
			if noticed < 0 && f.s.Gone[c.rotor] {
				noticed = i
			}
			worstTilt, low = max(worstTilt, f.w.QWB.Tilt()), min(low, f.w.PosW.Z)
		}
		t.Logf("%s without %d (%v): noticed after %d ms, tilt %.0f°, lowest %.2f m, end %.2f m off, turning %.1f rad/s",
			c.shape, c.rotor, verdict.Outcome, noticed, worstTilt/deg, low, f.w.PosW.Sub(f.s.HoldW).Norm(), f.w.OmegaB.Z)
		require.True(t, noticed >= 60 && noticed < 200, "%d", noticed)
		assert.Equal(t, 1, f.s.GoneCount)
		assert.Less(t, worstTilt, 60*deg)
		assert.Less(t, f.w.QWB.Tilt(), 5*deg)
		assert.Greater(t, low, 3.0)
		if verdict.Outcome == WithYaw {
			assert.InDelta(t, 0, f.w.QWB.Yaw(), 3*deg)
		}
	}
}

// Without reported speeds the law is not told, and all that helps is the
// integrators: eight rotors bear it, with far more tilt than when told.
func TestNotToldWithoutRotorSpeeds(t *testing.T) {
	f := fly(t, shapeOf("octo-3kg"), nil, hands.PositionHold, 0)
	f.w.PosW.Z = 20
	f.run(2, nil)
	f.dyn.SpeedFactor[0] = 0
	worst := 0.0
	f.run(12, func() { worst = max(worst, f.w.QWB.Tilt()) })
	t.Logf("tilt %.0f°, end at %.2f m, %.2f m off", worst/deg, f.w.PosW.Z, f.w.PosW.Sub(f.s.HoldW).Norm())
	assert.Zero(t, f.s.GoneCount)
	assert.Greater(t, worst, 25*deg)
	assert.Less(t, f.w.QWB.Tilt(), 5*deg)
	assert.Greater(t, f.w.PosW.Z, 15.0)
}

// A sound craft flown hard never loses a rotor by mistake.
func TestNoFalseLoss(t *testing.T) {
	f := fly(t, shapeOf("quad-250g"), nil, hands.Attitude, 0)
	f.in.HasSpeeds = true
	for i := range 6000 {
		if i%300 == 0 {
			f.in.Hands.Roll, f.in.Hands.Throttle = int16(1000-(i/300%2)*2000), int16(i/300%2*1000)
		}
		f.tick()
	}
	assert.Zero(t, f.s.GoneCount)
}
