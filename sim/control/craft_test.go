package control

import (
	"math"
	"testing"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

const (
	g0   = 9.80665       // m/s², standard gravity, ISO 80000-3
	rho0 = 1.225         // kg/m³, ISO 2533:1975 at sea level
	deg  = math.Pi / 180 // rad
)

// shape is a craft for tests: rotors evenly round the hub.
type shape struct {
	name     string
	mass     float64 // kg
	arm      float64 // m
	spins    []float64
	first    float64 // rad, bearing of rotor 0 from forward, to the left
	diameter float64 // m
	ct, cp   float64 // 1, static
	speedMax float64 // rad/s
	lag      float64 // s
	delay    int     // ticks
	inertia  kernel.Vec3
	cells    int
}

// The shapes. Propellers: GWS DD 5×3 (CT 0.1127, CP 0.0461 at 8900 rpm) and APC
// SF 10×4.7 (0.118, 0.048, read off its static curve), Brandt, Deters, Ananda,
// Dantsker & Selig, UIUC Propeller Database. Masses, lags and inertias are our
// own, of the size common in practice.
var shapes = []shape{
	{"tri-400g", 0.4, 0.12, []float64{1, -1, 1}, 0, 0.127, 0.1127, 0.0461, 2600, 0.03, 2, kernel.Vec3{X: 1.4e-3, Y: 1.4e-3, Z: 2.6e-3}, 3},
	{"quad-250g", 0.25, 0.09, []float64{1, -1, 1, -1}, math.Pi / 4, 0.0762, 0.1369, 0.0694, 4300, 0.025, 2, kernel.Vec3{X: 4e-4, Y: 4.4e-4, Z: 7.5e-4}, 2},
	{"quad-500g", 0.5, 0.17, []float64{1, -1, 1, -1}, math.Pi / 4, 0.127, 0.1127, 0.0461, 2300, 0.04, 2, kernel.Vec3{X: 3.2e-3, Y: 3.2e-3, Z: 5.5e-3}, 3},
	{"hexa-alternating", 2, 0.275, []float64{1, -1, 1, -1, 1, -1}, 0, 0.254, 0.118, 0.048, 800, 0.06, 3, kernel.Vec3{X: 0.03, Y: 0.03, Z: 0.055}, 4},
	{"hexa-paired", 2, 0.275, []float64{1, 1, -1, -1, 1, -1}, 0, 0.254, 0.118, 0.048, 800, 0.06, 3, kernel.Vec3{X: 0.03, Y: 0.03, Z: 0.055}, 4},
	{"octo-3kg", 3, 0.32, []float64{1, -1, 1, -1, 1, -1, 1, -1}, math.Pi / 8, 0.254, 0.118, 0.048, 800, 0.07, 4, kernel.Vec3{X: 0.06, Y: 0.06, Z: 0.11}, 6},
}

func shapeOf(name string) shape {
	for _, s := range shapes {
		if s.name == name {
			return s
		}
	}
	panic("no shape " + name)
}

// craft builds the prepared craft.
func (s shape) craft() *dynamics.Craft {
	c := &dynamics.Craft{
		Mass: s.mass, Inertia: kernel.MatDiag(s.inertia), DragArea: kernel.Vec3{X: 0.01, Y: 0.01, Z: 0.015},
		RotorCount: len(s.spins), SkidCount: 4,
		Contact: dynamics.Contact{Stiffness: s.mass * 5000, Damping: s.mass * 60, Friction: 0.6},
		Battery: dynamics.Battery{
			Cells: s.cells, Capacity: 2 * 3600, Resistance: 0.004, RCResistance: 0.002, RCTime: 20, Idle: 2,
			FullVolts: 4.2, CautionVolts: 3.5, CriticalVolts: 3.3, BrownOutVolts: 2.8, StartingCharge: 0.9,
		},
	}
	prop := dynamics.Propeller{StaticCount: 2, AdvanceCount: 2}
	for k := range 2 {
		prop.StaticSpeed[k], prop.StaticCT[k], prop.StaticCP[k] = 20+800*float64(k), s.ct, s.cp
	}
	// thrust gone at J = 0.59, as measured for GWS DD 5×3 (UIUC), power kept
	prop.AdvanceJ[1], prop.AdvanceCT[0], prop.AdvanceCP[0], prop.AdvanceCP[1] = 0.59, s.ct, s.cp, s.cp
	prop.AdvanceSpeed = 100
	for i, spin := range s.spins {
		a := s.first + 2*math.Pi*float64(i)/float64(len(s.spins))
		c.Rotors[i] = dynamics.Rotor{
			PosB: kernel.Vec3{X: s.arm * math.Cos(a), Y: s.arm * math.Sin(a)}, AxisB: kernel.Vec3{Z: 1}, Spin: spin,
			Diameter: s.diameter, Prop: prop, SpeedMax: s.speedMax, Lag: s.lag, DelayTicks: s.delay,
			Inertia: s.mass * 1e-5, Drag: 2e-5 * s.mass, Guard: s.diameter * 0.55, BreakSpeed: 3, Efficiency: 0.75,
		}
	}
	for i := range 4 {
		a := math.Pi/4 + math.Pi/2*float64(i)
		c.Skids[i] = kernel.Vec3{X: 0.6 * s.arm * math.Cos(a), Y: 0.6 * s.arm * math.Sin(a), Z: -0.08}
	}
	c.Prepare()
	return c
}

func hall() *dynamics.Place {
	p := &dynamics.Place{
		Min: kernel.Vec3{X: -40, Y: -40}, Max: kernel.Vec3{X: 40, Y: 40, Z: 30},
		Air: dynamics.Air{Density: rho0, Gravity: g0},
	}
	p.Prepare()
	return p
}

// flight is a law with perfect belief in the loop with the dynamics.
type flight struct {
	c    *dynamics.Craft
	room *dynamics.Place
	p    Params
	s    State
	w    dynamics.State
	dyn  dynamics.Input
	b    estimate.Belief
	st   safety.Status
	in   Input
	out  Output
}

// fly begins a hover at 5 m in the given response type.
func fly(tb testing.TB, sh shape, o *Overrides, r hands.Response, yaw float64) *flight {
	tb.Helper()
	f := &flight{c: sh.craft(), room: hall(), dyn: dynamics.DefaultInput()}
	f.p = Design(f.c, f.room, o)
	if err := f.p.Validate(); err != nil {
		tb.Fatal(sh.name, err)
	}
	f.w = dynamics.Airborne(f.c, f.room, kernel.Vec3{Z: 5}, yaw)
	f.st = safety.Status{MotorsOn: true, Armed: true, Response: r}
	f.in = Input{Belief: &f.b, Status: &f.st, Hands: hands.Hands{Response: r, Armed: true}}
	f.in.Hands.Throttle = hands.Stick(0.5)
	if !r.HoldsHeight() {
		f.in.Hands.Throttle = hands.Stick(HoverStick(&f.p))
		f.s.Thrust = f.p.Weight
	}
	return f
}

// tick moves law and craft on by one tick.
func (f *flight) tick() {
	w := &f.w
	health := f.b.Health
	f.b = beliefOf(w)
	f.b.Health = health
	f.in.CellVolts = w.Cell.Volts
	f.in.RotorSpeed = w.RotorSpeed
	Law(&f.p, &f.s, &f.in, &f.out)
	f.dyn.Tick, f.dyn.Duty = f.in.Tick, f.out.Duty
	dynamics.Step(f.c, f.room, w, &f.dyn)
	f.in.Tick++
}

// beliefOf returns the truth as a belief.
func beliefOf(w *dynamics.State) estimate.Belief {
	return estimate.Belief{PosW: w.PosW, VelW: w.VelW, QWB: w.QWB, OmegaB: w.OmegaB, Height: w.PosW.Z, HeightOK: true}
}

// run flies for a time (s) and calls see, which may be nil, after every tick.
func (f *flight) run(seconds float64, see func()) {
	for range int(seconds * 1000) {
		f.tick()
		if see != nil {
			see()
		}
	}
}

// dynStart returns a craft standing on the floor.
func dynStart(f *flight) dynamics.State { return dynamics.Start(f.c, f.room, kernel.Vec3{}, 0) }

func stepDynamics(f *flight) { dynamics.Step(f.c, f.room, &f.w, &f.dyn) }
