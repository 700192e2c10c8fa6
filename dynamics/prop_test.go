package dynamics

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Goal: a rotor loaded with a published static row gives the thrust, power,
// torque, figure of merit and hover inflow that follow from it.
// Source: UIUC Propeller Database, Vols 1 and 2; derived columns by the
// definitions T = CT·ρ·n²·D⁴, P = CP·ρ·n³·D⁵, Q = P/(2πn) at 1.225 kg/m³.
func TestStaticRows(t *testing.T) {
	for _, row := range []struct {
		name, file           string
		rpm, thrust, power   float64 // N, W
		torque, merit, ratio float64 // mN·m, 1, Q/T in m
	}{
		{"GWS DD 5.0x3.0", "gws-dd-5.0x3.0", 5920, 0.34438, 1.8004, 2.904, 0.6372, 0.008433},
		{"GWS DD 5.0x3.0", "gws-dd-5.0x3.0", 8900, 0.79058, 6.0859, 6.530, 0.6556, 0.008260},
		{"GWS DD 5.0x3.0", "gws-dd-5.0x3.0", 9476.667, 0.89396, 7.1302, 7.185, 0.6729, 0.008037},
		{"GWS DD 4.5x3.0", "gws-dd-4.5x3.0", 8926.667, 0.56114, 4.5300, 4.846, 0.5852, 0.008636},
		{"GWS DD 3.0x2.0", "gws-dd-3.0x2.0", 14913.333, 0.34925, 3.3532, 2.147, 0.5823, 0.006148},
		{"VP 140x45 mm", "vp-140x45", 8886.667, 0.65353, 4.5807, 4.922, 0.5939, 0.007532},
		{"GWS SF 8.0x4.3", "gws-sf-8.0x4.3", 5152, 1.70308, 12.0904, 22.410, 0.6522, 0.013158},
		{"APC SF 8.0x3.8", "apc-sf-8.0x3.8", 5132, 1.58140, 11.7111, 21.791, 0.6024, 0.013780},
		{"APC E 8.0x4.0", "apc-e-8.0x4.0", 5128, 1.43554, 10.5445, 19.636, 0.5787, 0.013678},
	} {
		t.Run(fmt.Sprintf("%s at %.0f", row.name, row.rpm), func(t *testing.T) {
			q, d := readPropeller(t, row.file)
			c := &Craft{RotorCount: 1}
			c.Rotors[0] = Rotor{AxisB: Vec3{Z: 1}, Spin: 1, Diameter: d, Prop: q, Lag: 1, Efficiency: 1}
			c.Prepare()
			speed := row.rpm * 2 * math.Pi / 60
			in := DefaultInput()
			c.Battery.FullVolts, c.Battery.RCTime = 4, 1
			c.Rotors[0].SpeedMax = speed
			p := &Place{Max: Vec3{Z: 20}, Air: Air{Density: seaLevel}}
			s := &State{PosW: Vec3{Z: 10}, QWB: Quat{W: 1}, Cell: Cell{Volts: 4}}
			s.RotorSpeed[0], in.Duty[0] = speed, 1
			var w Wrench
			shaft := rotorStep(c, p, s, &in, Vec3{}, &w)
			thrust, torque := s.Thrust[0], -w.MomentB.Z
			assert.InEpsilon(t, row.power, shaft, 1e-3, "power drawn")
			assert.InEpsilon(t, row.thrust, thrust, 1e-3, "thrust")
			assert.InEpsilon(t, row.torque*1e-3, torque, 1e-3, "torque")
			assert.InEpsilon(t, row.power, torque*speed, 1e-3, "power")
			assert.InEpsilon(t, row.ratio, torque/thrust, 1e-3, "torque over thrust")
			area := math.Pi * d * d / 4
			assert.InEpsilon(t, row.merit, IdealPower(thrust, seaLevel, area)/(torque*speed), 1e-3, "figure of merit")
			n := speed / (2 * math.Pi)
			assert.InEpsilon(t, row.merit, FigureOfMerit(q.CT(n, 0), q.CP(n, 0)), 1e-3, "figure of merit from CT, CP")
			assert.InEpsilon(t, math.Sqrt(row.thrust/(2*seaLevel*area)), HoverInflow(thrust, seaLevel, area), 1e-3, "hover inflow")
		})
	}
}

// Goal: thrust and torque per Ω². Source: as above, GWS DD 5.0x3.0 at 8900 rpm and
// APC SF 8.0x3.8 at 5132 rpm.
func TestThrustConstant(t *testing.T) {
	c, p, _, _ := plusQuad(t)
	kT, kQ := Linear(c, p.Air.Density, 8900*2*math.Pi/60, 1)
	assert.InEpsilon(t, 9.1014e-07, kT, 1e-4)
	assert.InEpsilon(t, 7.5175e-09, kQ, 1e-4)
	c.Rotors[1].Prop, c.Rotors[1].Diameter = readPropeller(t, "apc-sf-8.0x3.8")
	c.Prepare()
	kT, kQ = Linear(c, p.Air.Density, 5132*2*math.Pi/60, 1)
	assert.InEpsilon(t, 5.4753e-06, kT, 1e-4)
	assert.InEpsilon(t, 7.5449e-08, kQ, 1e-4)
}

// Goal: the whole measured series at rest is there and is read: seventeen rows,
// whose CT above 3500 rpm stays within 2.1 % of its mean. Source: as above.
func TestStaticSeries(t *testing.T) {
	q, _ := readPropeller(t, "gws-dd-5.0x3.0")
	require.Equal(t, 17, q.StaticCount)
	assert.InDelta(t, 0.102379, q.CT(1546.667/60, 0), 1e-9)
	assert.InDelta(t, 0.054877, q.CP(1546.667/60, 0), 1e-9)
	assert.InDelta(t, 0.04665, q.CP(4443.333/60, 0), 1e-9)
	low, high, sum, n := 1.0, 0.0, 0.0, 0.0
	for i := range q.StaticCount {
		if speed := q.StaticSpeed[i]; speed > 3500.0/60 {
			ct := q.CT(speed, 0)
			low, high, sum, n = min(low, ct), max(high, ct), sum+ct, n+1
		}
	}
	assert.InDelta(t, 0.10819, low, 5e-6)
	assert.InDelta(t, 0.11275, high, 5e-6)
	assert.InDelta(t, 0.11091, sum/n, 5e-6)
}

// Goal: the measured tunnel curve comes back at the speed it was measured at,
// with its slope and its zero of thrust, and at other speeds it scales with the
// static thrust. Source: UIUC Propeller Database, GWS DD 5.0x3.0 at 7058 rpm;
// tolerance 5 % of the static CT.
func TestAdvancingFlow(t *testing.T) {
	q, d := readPropeller(t, "gws-dd-5.0x3.0")
	n := 7058.0 / 60
	rows, _ := readTable(t, "gws-dd-5.0x3.0-advance.csv")
	require.Len(t, rows, 15)
	for _, r := range rows {
		assert.InDelta(t, r[1], q.CT(n, r[0]), 1e-9, "CT at J = %v", r[0])
		assert.InDelta(t, r[2], q.CP(n, r[0]), 1e-9, "CP at J = %v", r[0])
		if r[1] > 0.005 {
			assert.InDelta(t, r[3], r[0]*q.CT(n, r[0])/q.CP(n, r[0]), 0.004, "efficiency at J = %v", r[0])
		}
	}
	assert.InDelta(t, -0.186, (q.CT(n, 0.480861)-q.CT(n, 0.079443))/(0.480861-0.079443), 0.001, "slope")
	zero := 0.5906 // J, by interpolation in the source's rows
	for _, rpm := range []float64{5000, 7058, 9000} {
		assert.InDelta(t, 0, q.CT(rpm/60, zero), 0.05*0.111, "no thrust at %v rpm", rpm)
		assert.Greater(t, q.CT(rpm/60, zero-1e-3), 0.0)
		assert.Less(t, q.CT(rpm/60, zero+1e-3), 0.0)
	}
	assert.InDelta(t, 8.82, zero*n*d, 0.01, "m/s at which thrust ends: J·n·D")
	assert.InDelta(t, q.CT(n, 0), q.CT(n, 1e-9), 1e-9, "meets the static table")
}

// Goal: the grid finds the same line as a search through all rows, and the ends
// are held.
func TestCurveSearch(t *testing.T) {
	q, _ := readPropeller(t, "gws-dd-5.0x3.0")
	r := rand.New(rand.NewSource(1))
	slow := func(x float64) float64 {
		k := 0
		for k < q.StaticCount-2 && x >= q.StaticSpeed[k+1] {
			k++
		}
		f := (x - q.StaticSpeed[k]) / (q.StaticSpeed[k+1] - q.StaticSpeed[k])
		return q.StaticCT[k] + max(0, min(1, f))*(q.StaticCT[k+1]-q.StaticCT[k])
	}
	for range 10000 {
		x := 10 + 160*r.Float64()
		require.InDelta(t, slow(x), q.CT(x, 0), 1e-15, "at %v rev/s", x)
	}
	for i := range q.StaticCount {
		require.InDelta(t, q.StaticCT[i], q.CT(q.StaticSpeed[i], 0), 1e-16)
	}
	last := q.StaticCount - 1
	assert.Equal(t, q.StaticCT[0], q.CT(0, 0))
	assert.Equal(t, q.StaticCT[last], q.CT(1e6, 0))
	assert.Equal(t, q.StaticCP[last], q.CP(1e6, 0))
	assert.InDelta(t, q.CT(7058.0/60, 0.688629), q.CT(7058.0/60, 50), 1e-15)
	assert.True(t, math.IsNaN(q.CT(math.NaN(), 0)), "no index out of range, and not hidden")
}

// Goal: in descent thrust at a held speed rises modestly up to the vortex-ring
// state and is bounded beyond; nothing jumps; in edgewise flow thrust rises and
// the power for the same thrust falls, as momentum theory says.
func TestDescentAndEdgewise(t *testing.T) {
	q, _ := readPropeller(t, "gws-dd-5.0x3.0")
	const n = 117.6
	ct0 := q.CT(n, 0)
	lambda := math.Sqrt(2 * ct0 / math.Pi)
	for _, row := range []struct{ x, least, most float64 }{
		{-0.25, 1, 1.05}, {-0.5, 1, 1.1}, {-1, 1.05, 1.2}, {-1.5, 1.1, 1.4}, {-3, 1.3, stallRatio},
	} {
		got := q.CT(n, row.x*lambda) / ct0
		assert.True(t, got >= row.least && got <= row.most, "thrust ratio %v at x = %v", got, row.x)
	}
	for _, x := range []float64{0.02, 0.1, 0.2} { // slow climb: the total flow's slope is the measured one
		byFlow := 1 + q.slopeLambda*(x+InducedRatio(x)-1)
		assert.InDelta(t, q.CT(n, x*lambda)/ct0, byFlow, 0.004, "x = %v", x)
	}
	last := [2]float64{q.CT(n, -0.8), q.CP(n, -0.8)}
	for j := -0.8; j < 0.8; j += 1e-4 {
		now := [2]float64{q.CT(n, j), q.CP(n, j)}
		require.InDelta(t, last[0], now[0], 3e-4, "CT jumps at J = %v", j)
		require.InDelta(t, last[1], now[1], 3e-4, "CP jumps at J = %v", j)
		require.GreaterOrEqual(t, now[1], 0.0)
		last = now
	}
	for _, x := range []float64{0.25, 0.5, 1} {
		ct, cp, _ := q.coefficients(n, 0, x*x*lambda*lambda)
		assert.Greater(t, ct, ct0)
		assert.Less(t, ct, 1.3*ct0)
		assert.Less(t, cp/math.Pow(ct, 1.5), q.CP(n, 0)/math.Pow(ct0, 1.5), "power for the same thrust at x = %v", x)
	}
}

// Goal: every fault of a table is reported, all at once, and a good one passes.
func TestPropellerValidate(t *testing.T) {
	q, _ := readPropeller(t, "gws-dd-5.0x3.0")
	require.NoError(t, q.Validate())
	q.StaticCT[3] = 0
	q.StaticSpeed[5] = q.StaticSpeed[4]
	q.AdvanceJ[2] = 0
	q.AdvanceSpeed = 0
	err := q.Validate()
	require.Error(t, err)
	for _, want := range []string{"static row 4", "static row 6", "advancing row 3", "the speed at which"} {
		assert.ErrorContains(t, err, want)
	}
	assert.Error(t, (&Propeller{StaticCount: MaxStatic + 1, AdvanceCount: -1}).Validate())
}
