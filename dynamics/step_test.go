package dynamics

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
)

// Goal: without power and air a body falls on the parabola, to rounding, and its
// accelerometer feels nothing, whatever its spin.
func TestFreeFall(t *testing.T) {
	c, p, _, in := standingQuad(t)
	p.Air.Density = 0
	s := Start(c, p, Vec3{}, 0)
	s.PosW, s.VelW, s.OmegaB = Vec3{Z: 15}, Vec3{X: 1, Z: 2}, Vec3{X: 3, Y: 2, Z: 1}
	run(c, p, &s, in, 1500)
	const end, g = 1.5, 9.80665 // s; m/s², standard gravity (CGPM 1901)
	assert.InDelta(t, 15+2*end-0.5*g*end*end, s.PosW.Z, 1e-11)
	assert.InDelta(t, 1*end, s.PosW.X, 1e-12)
	assert.InDelta(t, 2-g*end, s.VelW.Z, 1e-11)
	assert.Less(t, s.SpecificForceB.Norm(), 1e-10)
}

// Goal: the hover trim is an equilibrium: with its duties a craft in the air
// stays, for a second, where it is. Also with its weight off centre.
func TestHoverTrim(t *testing.T) {
	c, p, _, in := standingQuad(t)
	off := *c
	for i := range 4 {
		off.Rotors[i].PosB = off.Rotors[i].PosB.Add(Vec3{X: 0.01, Y: -0.005})
	}
	off.Prepare()
	for _, craft := range []*Craft{c, &off} {
		s := Airborne(craft, p, Vec3{X: 1, Y: 2, Z: 10}, 0.5)
		in.Tick, in.Duty = 0, s.HoverDuties()
		for i := range 4 {
			assert.InDelta(t, 0.5, in.Duty[i], 0.4, "a duty")
		}
		run(craft, p, &s, in, 1000)
		assert.Less(t, s.PosW.Sub(Vec3{X: 1, Y: 2, Z: 10}).Norm(), 2e-3) // the battery sags a little
		assert.Less(t, s.OmegaB.Norm(), 2e-3)
		assert.InDelta(t, p.Air.Gravity, s.SpecificForceB.Z, 5e-3)
	}
	// And without it, it is not: the weight off centre turns the craft.
	s := Airborne(c, p, Vec3{Z: 10}, 0)
	in.Duty = s.HoverDuties()
	run(&off, p, &s, in, 300)
	assert.Greater(t, s.OmegaB.Norm(), 1.0)
}

// Goal: a quad that loses one rotor from hover begins to turn at
// (m·g/4)·l/Ixx = 65.14 rad/s² for m = 0.5, l = 0.17, Ixx = 3.2e-3, once the
// rotor stands. Source: derived from the rigid body.
func TestRotorLossTurns(t *testing.T) {
	c, p, _, in := standingQuad(t)
	s := Airborne(c, p, Vec3{Z: 10}, 0)
	in.Duty = s.HoverDuties()
	s.RotorSpeed[1], s.Broken[1] = 0, true
	Step(c, p, &s, in)
	assert.InEpsilon(t, 65.14, math.Abs(s.AlphaB.X), 1e-3)
}

// Goal: turning the whole room by a quarter turns the result by a quarter: free
// flight with wind and drag, then a landing on the floor with a slide.
func TestTurnedRoom(t *testing.T) {
	quarter := kernel.QuatYaw(math.Pi / 2)
	c, p, _, in := standingQuad(t)
	c.DragArea = Vec3{X: 0.01, Y: 0.02, Z: 0.03}
	p.Air.WindW = Vec3{X: 1, Y: -0.5}
	turned := *p
	turned.Air.WindW = quarter.Rotate(p.Air.WindW)
	a := Airborne(c, p, Vec3{X: 1, Y: 2, Z: 0.8}, 0)
	a.VelW, a.OmegaB = Vec3{X: 2, Z: -1}, Vec3{X: 0.1, Y: 0.2, Z: 0.3}
	b := a
	b.PosW, b.VelW, b.QWB = quarter.Rotate(a.PosW), quarter.Rotate(a.VelW), quarter.Mul(a.QWB)
	b.Gust.WindW = turned.Air.WindW
	in.Duty = [MaxRotors]float64{0.3, 0.3, 0.3, 0.3}
	touched := false
	for range 1200 {
		Step(c, p, &a, in)
		Step(c, &turned, &b, in)
		in.Tick++
		touched = touched || a.Touch.Kinds != 0
	}
	require.True(t, touched)
	assert.Less(t, quarter.Rotate(a.PosW).Sub(b.PosW).Norm(), 1e-6)
	assert.Less(t, quarter.Rotate(a.VelW).Sub(b.VelW).Norm(), 1e-5)
}

// Goal: a thousand ticks are ten times a hundred, also over a copy of the state,
// bit for bit; and the same again from the same start.
func TestTicksCompose(t *testing.T) {
	c, p, s, in := standingQuad(t)
	in.Duty = [MaxRotors]float64{0.5, 0.45, 0.5, 0.45}
	start, begin := *s, *in
	run(c, p, s, in, 1000)
	whole := *s

	*s, *in = start, begin
	for range 10 {
		fork := *s
		run(c, p, &fork, in, 100)
		*s = fork
	}
	assert.Equal(t, whole, *s)
}

// Goal: the tick allocates nothing, in the air and on the floor.
func TestStepAllocatesNothing(t *testing.T) {
	c, p, s, in := standingQuad(t)
	air := Airborne(c, p, Vec3{Z: 10}, 0)
	assert.Zero(t, testing.AllocsPerRun(100, func() { Step(c, p, s, in) }))
	assert.Zero(t, testing.AllocsPerRun(100, func() { Step(c, p, &air, in) }))
}

// Goal: near a surface but touching nothing, the careful path gives the same bits
// as the free one.
func TestNearPathAgrees(t *testing.T) {
	c, p, _, in := standingQuad(t)
	a := Airborne(c, p, Vec3{Z: 0.2}, 0.3)
	require.False(t, c.clear(p, &a, in))
	b := a
	var h held
	h.ForceB = Vec3{Z: c.Mass * p.Air.Gravity}
	h.hold(c, p, &a)
	h.moveNear(p, &a, in)
	h.fly(&b, DT)
	assert.Equal(t, b.PosW, a.PosW)
	assert.Equal(t, b.QWB, a.QWB)
}

// Goal: the sphere test never misses a touch: over many places and attitudes in
// a crowded room, where it says clear no pair of point and surface is close.
func TestClearIsSafe(t *testing.T) {
	c, p, _, in := standingQuad(t)
	p.Min, p.Max = Vec3{X: -2, Y: -2}, Vec3{X: 2, Y: 2, Z: 2.5}
	p.BoxCount, p.PersonCount = 2, 1
	p.Boxes[0] = Box{Min: Vec3{X: 0.3, Y: -0.5}, Max: Vec3{X: 1, Y: 0.5, Z: 0.5}}
	p.Boxes[1] = Box{Min: Vec3{X: -1.5, Y: -1, Z: 1.5}, Max: Vec3{X: -1, Y: 1, Z: 2}}
	p.People[0] = Person{PosW: Vec3{Y: 1.5}, Radius: 0.3, Height: 1.7}
	u := func(i, k uint64) float64 { return float64((i*2654435761+k*40503*65537)%100003) / 100003 }
	clear, near := 0, 0
	for i := range uint64(20000) {
		s := State{
			PosW: Vec3{X: 4*u(i, 1) - 2, Y: 4*u(i, 2) - 2, Z: 2.5 * u(i, 3)},
			VelW: Vec3{X: 6*u(i, 4) - 3, Y: 6*u(i, 5) - 3, Z: 6*u(i, 6) - 3},
			QWB:  kernel.QuatEuler(6*u(i, 7), 6*u(i, 8), 6*u(i, 9)),
		}
		if !c.clear(p, &s, in) {
			near++
			continue
		}
		clear++
		var g pairs
		g.find(c, p, &s, in, nearBy+DT*s.VelW.Norm())
		require.Zero(t, g.n)
	}
	assert.Greater(t, clear, 1000)
	assert.Greater(t, near, 1000)
}

// Goal: a sound craft passes, and each fault is named with its path, all of them
// at once.
func TestCraftFaults(t *testing.T) {
	c, p, _, _ := standingQuad(t)
	require.NoError(t, c.Validate())
	require.NoError(t, p.Validate())
	for _, r := range []struct {
		path  string
		spoil func(*Craft)
	}{
		{"mass", func(c *Craft) { c.Mass = 0 }},
		{"mass", func(c *Craft) { c.Mass = math.NaN() }},
		{"inertia", func(c *Craft) { c.Inertia[1] = 1e-4 }},
		{"inertia", func(c *Craft) { c.Inertia[8] = 0.02 }}, // no body: Izz > Ixx + Iyy
		{"inertia", func(c *Craft) { c.Inertia[0] = -1e-3 }},
		{"inertia", func(c *Craft) { c.Inertia[1], c.Inertia[3] = 4e-3, 4e-3 }}, // not positive definite
		{"dragArea.y", func(c *Craft) { c.DragArea.Y = -1 }},
		{"rotorCount", func(c *Craft) { c.RotorCount = 9 }},
		{"rotors[2].spin", func(c *Craft) { c.Rotors[2].Spin = 0 }},
		{"rotors[1].axisB", func(c *Craft) { c.Rotors[1].AxisB = Vec3{Z: 1.1} }},
		{"rotors[0].guard", func(c *Craft) { c.Rotors[0].Guard = 0.01 }},
		{"rotors[3].delayTicks", func(c *Craft) { c.Rotors[3].DelayTicks = MaxDelay }},
		{"rotors[3].lag", func(c *Craft) { c.Rotors[3].Lag = 0 }},
		{"rotors[0].efficiency", func(c *Craft) { c.Rotors[0].Efficiency = 1.2 }},
		{"rotors[0].prop", func(c *Craft) { c.Rotors[0].Prop.StaticCount = 0 }},
		{"skidCount", func(c *Craft) { c.SkidCount = 2 }},
		{"skids[1]", func(c *Craft) { c.Skids[1].X = math.Inf(1) }},
		{"contact.stiffness", func(c *Craft) { c.Contact.Stiffness *= 1.1 }},
		{"contact.damping", func(c *Craft) { c.Contact.Damping *= 3 }},
		{"contact.friction", func(c *Craft) { c.Contact.Friction = -0.1 }},
		{"battery.cells", func(c *Craft) { c.Battery.Cells = 0 }},
		{"battery.startingCharge", func(c *Craft) { c.Battery.StartingCharge = 1.5 }},
	} {
		bad := *c
		r.spoil(&bad)
		err := bad.Validate()
		require.Error(t, err, r.path)
		assert.True(t, strings.HasPrefix(err.Error(), r.path), "%q should begin with %s", err, r.path)
	}

	bad := *c
	bad.Mass, bad.Rotors[2].Spin, bad.Rotors[3].Lag = -1, 2, 0
	err := bad.Validate()
	assert.Len(t, strings.Split(err.Error(), "\n"), 3)
	var f Fault
	require.True(t, errors.As(err, &f))
	assert.Equal(t, Fault{"mass", "-1", "above 0"}, f)
}

// Goal: faults of a place are named likewise.
func TestPlaceFaults(t *testing.T) {
	_, p, _, _ := standingQuad(t)
	for _, r := range []struct {
		path  string
		spoil func(*Place)
	}{
		{"room", func(p *Place) { p.Max.X = p.Min.X }},
		{"room.min.z", func(p *Place) { p.Min.Z = -0.1 }},
		{"cage", func(p *Place) { p.CageMax.Z = 21 }},
		{"net", func(p *Place) { p.HasNet = true; p.NetStiffness = 1 }},
		{"boxCount", func(p *Place) { p.BoxCount = -1 }},
		{"boxes[0]", func(p *Place) { p.BoxCount = 1 }},
		{"people[0].radius", func(p *Place) { p.PersonCount = 1; p.People[0].Height = 1 }},
		{"takeOff", func(p *Place) { p.TakeOff.X = 60 }},
		{"air.density", func(p *Place) { p.Air.Density = -1 }},
		{"air.turbulenceSpeed", func(p *Place) { p.Air.TurbulenceWind = 5 }},
		{"air.fans[0].dirW", func(p *Place) { p.Air.FanCount = 1; p.Air.Fans[0].Width = 1 }},
	} {
		bad := *p
		r.spoil(&bad)
		err := bad.Validate()
		require.Error(t, err, r.path)
		assert.True(t, strings.HasPrefix(err.Error(), r.path), "%q should begin with %s", err, r.path)
	}
}

// Goal: the principal moments of a turned tensor are those it was made of.
func TestPrincipal(t *testing.T) {
	turn := kernel.QuatEuler(0.4, -0.7, 1.1).Matrix()
	back := turn.Transpose()
	m := diag(2, 4.5, 3)
	m = turn.Mul(&m)
	m = m.Mul(&back)
	low, mid, high := principal(&m)
	assert.InDelta(t, 2, low, 1e-12)
	assert.InDelta(t, 3, mid, 1e-12)
	assert.InDelta(t, 4.5, high, 1e-12)
}
