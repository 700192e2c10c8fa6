package control

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/hands"
)

// Goal: the curve is its printed formula and has no step. Values by hand.
func TestCurve(t *testing.T) {
	for _, c := range []struct{ x, d, e, want float64 }{
		{0, 0, 0, 0}, {1, 0.1, 0.5, 1}, {-1, 0.1, 0.5, -1},
		{0.5, 0, 0, 0.5}, {0.5, 0, 1, 0.125}, {-0.5, 0, 0.3, -(0.35 + 0.0375)},
		{0.05, 0.05, 0.3, 0}, {0.55, 0.1, 0, 0.5}, {2, 0, 0, 1},
	} {
		assert.InDelta(t, c.want, Curve(c.x, c.d, c.e), 1e-15, "%+v", c)
	}
	assert.Zero(t, Curve(math.NaN(), 0.1, 0.3))
	for _, e := range []float64{0, 0.3, 1} {
		last := -1.0
		for k := -1000; k <= 1000; k++ {
			y := Curve(float64(k)/1000, 0.05, e)
			require.GreaterOrEqual(t, y, last)
			require.Less(t, y-last, 0.0035)
			last = y
		}
	}
}

// Goal: what the throttle stick does in direct thrust, by kind of mapping.
// Mid-stick on a straight line is half of full thrust, so a craft that can lift
// twice its weight hovers there (common practice).
func TestThrottle(t *testing.T) {
	p := Params{Weight: 10, TopTotal: 20, Throttle: Throttle{Rate: 0.5, Slew: 1000, DeadBand: 0.1}}
	at := func(m ThrottleMap, curve, stick float64) float64 {
		p.Throttle.Map, p.Throttle.Curve = m, curve
		return directThrust(&p, 7, hands.Stick(stick), 4e-3)
	}
	assert.InDelta(t, 10, at(Direct, 0, 0.5), 1e-12)
	assert.InDelta(t, 5, at(Direct, 1, 0.5), 1e-12)
	assert.Zero(t, at(UpperHalf, 0, 0.5))
	assert.InDelta(t, 10, at(UpperHalf, 0, 0.75), 1e-12)
	assert.InDelta(t, 7, at(RateOfThrust, 0, 0.5), 0)
	assert.InDelta(t, 7, at(RateOfThrust, 0, 0.54), 0, "dead-band")
	assert.InDelta(t, 7+0.5*20*4e-3, at(RateOfThrust, 0, 1), 1e-12)
	assert.InDelta(t, 7-0.5*20*4e-3, at(RateOfThrust, 0, 0), 1e-12)

	for _, m := range []ThrottleMap{Direct, UpperHalf} {
		for _, curve := range []float64{0, 0.4, 1} {
			p.Throttle.Map, p.Throttle.Curve = m, curve
			mark := HoverStick(&p)
			assert.InDelta(t, p.Weight, p.Throttle.share(mark)*p.TopTotal, 1e-9, "%v %g", m, curve)
		}
	}
	p.Throttle.Map = RateOfThrust
	assert.Equal(t, 0.5, HoverStick(&p))

	p.Throttle = Throttle{Map: Direct, Slew: 10}
	assert.InDelta(t, 7+10*20*4e-3, directThrust(&p, 7, 1000, 4e-3), 1e-12, "slew limit")
}

// A sprung stick that drives the rate of thrust keeps the thrust when let go and
// is taken over without a jump from a held height.
func TestRateOfThrustTakesOverSmoothly(t *testing.T) {
	o := &Overrides{ThrottleGiven: true, ThrottleKind: SpringsToCentre, ThrottleMap: RateOfThrust}
	f := fly(t, shapeOf("quad-500g"), o, hands.PositionHold, 0)
	f.run(2, nil)
	f.st.Response = hands.Attitude
	f.run(2, nil)
	assert.Less(t, math.Abs(f.w.VelW.Z), 0.1)
}

func TestOverrides(t *testing.T) {
	c, room := shapeOf("quad-500g").craft(), hall()
	plain := Design(c, room, nil)
	assert.Equal(t, plain, Design(c, room, &Overrides{}))

	var o Overrides
	names := map[string]bool{}
	for _, k := range Keys() {
		assert.False(t, names[k.Name], k.Name)
		assert.Less(t, k.Low, k.High, k.Name)
		names[k.Name] = true
		at := k.Of(&o)
		assert.False(t, at.Given, "%s shares its place with another", k.Name)
		*at = Chosen(k.High * 2)
	}
	err := o.Validate()
	for name := range names {
		assert.ErrorContains(t, err, name)
	}
	assert.ErrorContains(t, (&Overrides{YawBandwidth: Chosen(1), YawDamping: Chosen(1)}).Validate(), "not both")
	assert.Error(t, (&Overrides{Expo: Chosen(math.NaN())}).Validate())
	assert.NoError(t, (&Overrides{Expo: Chosen(0.2)}).Validate())

	// Each number has an effect, and an inner loop takes the outer ones along.
	for _, k := range Keys() {
		o := Overrides{}
		*k.Of(&o) = Chosen(k.Low + 0.37*(k.High-k.Low))
		assert.NotEqual(t, plain, Design(c, room, &o), k.Name)
	}
	half := Design(c, room, &Overrides{RateBandwidth: Chosen(plain.Gains.Rate.X / 2)})
	assert.InDelta(t, plain.Gains.Position/2, half.Gains.Position, 1e-12)
	none := Design(c, room, &Overrides{VelocityIntegralTime: Chosen(0)})
	assert.Zero(t, none.Gains.VelocityObserver)
}

func TestParamsValidate(t *testing.T) {
	p := Design(shapeOf("quad-500g").craft(), hall(), nil)
	require.NoError(t, p.Validate())
	p.Mass, p.Gains.Attitude, p.TopTotal = -1, math.NaN(), 3
	err := p.Validate()
	for _, what := range []string{"mass", "attitude bandwidth", "does not lift"} {
		assert.ErrorContains(t, err, what)
	}
}
