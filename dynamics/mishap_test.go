package dynamics

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
)

// Goal: what acts on nothing changes nothing, to the bit. Method: a wrench with
// no round number in it, pulled at by an input without shift and hand.
func TestNothingPulls(t *testing.T) {
	in := DefaultInput()
	assert.False(t, in.pulls())
	w := Wrench{ForceB: Vec3{X: .1, Y: -.3, Z: 4.7}, MomentB: Vec3{X: -.01, Y: .07, Z: .003}}
	before := w
	w.pull(&in, kernel.QuatEuler(.3, .2, 1))
	assert.Equal(t, before, w)
	for _, change := range []func(in *Input){
		func(in *Input) { in.ShiftB.Y = 1e-9 },
		func(in *Input) { in.HandForceW.Z = 1e-9 },
		func(in *Input) { in.HandMomentB.X = 1e-9 },
	} {
		in := DefaultInput()
		change(&in)
		assert.True(t, in.pulls())
	}
}

// Goal: a pack that slips forward presses the nose down with weight times
// distance, and a shift of the mass is the opposite shift of everything else.
// Method: the first tick out of a hover; the turning it begins with is m·g·d/I
// (rigid body: 0.5 kg, 9.80665 m/s², 10 mm, Iyy 3.2e-3 kg·m²: 15.32 rad/s²), and
// equals that of a craft whose rotors are all moved back.
func TestSlippedPackTurnsTheCraft(t *testing.T) {
	c, p, _, in := standingQuad(t)
	s := Airborne(c, p, Vec3{Z: 10}, 0.4)
	in.Duty, in.ShiftB = s.HoverDuties(), Vec3{X: 0.01}
	begin := s
	Step(c, p, &s, in)
	assert.InEpsilon(t, 0.5*9.80665*0.01/3.2e-3, s.AlphaB.Y, 1e-3)
	assert.InDelta(t, 0, s.AlphaB.X, 1e-9)

	in.ShiftB = Vec3{X: 0.008, Y: -0.005, Z: 0.02}
	s = begin
	Step(c, p, &s, in)
	moved := *c
	for i := range 4 {
		moved.Rotors[i].PosB = moved.Rotors[i].PosB.Sub(in.ShiftB)
	}
	moved.Prepare()
	in.ShiftB = Vec3{}
	other := begin
	Step(&moved, p, &other, in)
	assert.InDelta(t, 0, s.AlphaB.Sub(other.AlphaB).Norm(), 1e-3, "rad/s², of %v", other.AlphaB)
}

// Goal: a plug that lets go stops motors and, after 20 ms, the electronics; the
// cells keep their charge and rest. When it makes contact again the electronics
// start anew, as they do not after a sag. A gap shorter than 20 ms stops nothing.
func TestPowerLostAndBack(t *testing.T) {
	c, p, _, in := standingQuad(t)
	s := Airborne(c, p, Vec3{Z: 15}, 0)
	in.Duty = s.HoverDuties()
	run(c, p, &s, in, 100)
	full := s

	in.PowerLost = true
	run(c, p, &s, in, 19)
	assert.False(t, s.Cell.BrownOut)
	run(c, p, &s, in, 1)
	assert.True(t, s.Cell.BrownOut)
	assert.Zero(t, s.Cell.Volts)
	assert.Zero(t, s.Cell.Current)
	run(c, p, &s, in, 480)
	assert.Equal(t, full.Cell.Charge, s.Cell.Charge, "nothing is drawn")
	assert.Less(t, s.RotorSpeed[0], 0.01*full.RotorSpeed[0])
	assert.Less(t, s.VelW.Z, -3.5, "m/s, after half a second of falling")

	in.PowerLost = false
	run(c, p, &s, in, 1)
	assert.False(t, s.Cell.BrownOut, "powered up")
	assert.Greater(t, s.Cell.Volts, c.Battery.BrownOutVolts)

	s = full
	in.PowerLost = true
	run(c, p, &s, in, 15)
	in.PowerLost = false
	run(c, p, &s, in, 15)
	assert.False(t, s.Cell.BrownOut)
	assert.Zero(t, s.Cell.LowTicks)

	in.SagVolts = 4
	run(c, p, &s, in, 20)
	require.True(t, s.Cell.BrownOut)
	in.SagVolts = 0
	run(c, p, &s, in, 1000)
	assert.True(t, s.Cell.BrownOut, "a sag that ends is no power-up")
}

// Goal: without propellers the motors turn at full speed and nothing else comes
// of it: the craft stands where it stood.
func TestMotorsWithoutPropellers(t *testing.T) {
	c, p, s, in := standingQuad(t)
	for i := range 4 {
		in.Duty[i] = 1
	}
	in.PropsOff = true
	run(c, p, s, in, 1000)
	began := *s
	run(c, p, s, in, 1000)
	assert.Greater(t, s.RotorSpeed[2], 0.8*c.Rotors[2].SpeedMax)
	assert.Zero(t, s.Thrust[2])
	assert.Equal(t, TouchSkidFloor, s.Touch.Kinds)
	assert.InDelta(t, c.Mass*p.Air.Gravity, s.Touch.Load, 1e-3, "N: the feet carry the whole weight")
	assert.Less(t, s.PosW.Sub(began.PosW).Norm(), 1e-5)
	with := began
	in.PropsOff = false
	Step(c, p, &with, in)
	assert.Greater(t, with.Cell.Current, 3*s.Cell.Current, "it is air that takes power")
}

// Goal: a hand that bears the weight holds a craft with its motors off where it
// is, however it is turned, and a hand's moment turns it by moment over inertia.
func TestHandHolds(t *testing.T) {
	c, p, s, in := standingQuad(t)
	for _, q := range []kernel.Quat{kernel.QuatEuler(0, 0, 1), kernel.QuatEuler(0.8, -1.1, 2)} {
		*s = Start(c, p, Vec3{}, 0)
		s.PosW, s.QWB = Vec3{X: 1, Z: 10}, q
		in.HandForceW, in.HandMomentB = Vec3{Z: c.Mass * p.Air.Gravity}, Vec3{}
		run(c, p, s, in, 1000)
		assert.Less(t, s.PosW.Sub(Vec3{X: 1, Z: 10}).Norm(), 1e-9)
		assert.InDelta(t, p.Air.Gravity, s.SpecificForceB.Norm(), 1e-9, "it is felt as weight")
		in.HandMomentB = Vec3{Y: 3.2e-4}
		run(c, p, s, in, 1)
		assert.InDelta(t, 0.1, s.AlphaB.Y, 1e-6, "3.2e-4 N·m over 3.2e-3 kg·m²")
	}
}

// Goal: a propeller the wrong way round pushes down and the craft goes over
// towards it, harder than if it gave nothing; the numbers stay numbers to the
// floor. Method: hover on the plus-shaped quad; the turning begins with
// (1 − factor)·(m·g/4)·l/I: 65.14 rad/s² for a factor of 0, half as much again
// for −0.5.
func TestPropellerTheWrongWayRound(t *testing.T) {
	c, p, _, in := standingQuad(t)
	for _, row := range []struct{ factor, want float64 }{{0, 65.14}, {-0.5, 1.5 * 65.14}} {
		s := Airborne(c, p, Vec3{Z: 3}, 0)
		in.Duty = s.HoverDuties()
		in.ThrustFactor[1] = row.factor
		run(c, p, &s, in, 1)
		assert.InEpsilon(t, row.want, abs(s.AlphaB.X), 2e-3)
		assert.LessOrEqual(t, s.Thrust[1], 0.0)
		run(c, p, &s, in, 3000)
		assert.True(t, s.PosW.Finite() && s.OmegaB.Finite() && s.QWB.Finite())
		assert.NotZero(t, s.Touch.Kinds, "it came down")
	}
}

func abs(x float64) float64 { return max(x, -x) }
