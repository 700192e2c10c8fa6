package dynamics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Goal: after the duty is cut, thrust falls as exp(−2t/τ). Source: square of a
// first-order lag; τ = 0.05 s gives 0.135335 after 0.05 s, 0.018316 after 0.1 s.
// The coefficient of this propeller moves with speed by a few per cent, so the
// squared speed is tested, and thrust with a propeller of constant coefficients.
func TestMotorCut(t *testing.T) {
	c, p, s, in := plusQuad(t)
	for i := range 4 {
		q := &c.Rotors[i].Prop
		*q = Propeller{StaticCount: 1}
		q.StaticSpeed[0], q.StaticCT[0], q.StaticCP[0] = 100, 0.11, 0.046
	}
	c.Prepare()
	var w Wrench
	in.SpeedFactor[2] = 0
	start := s.RotorSpeed[2]
	rotorStep(c, p, s, in, Vec3{}, &w)
	first := s.Thrust[2]
	for k := 2; k <= 101; k++ {
		if k == 51 || k == 101 {
			was := (k - 1)
			want := map[int]float64{50: 0.135335, 100: 0.018316}[was]
			assert.InDelta(t, want, s.RotorSpeed[2]*s.RotorSpeed[2]/(start*start), 1e-6)
		}
		in.Tick++
		rotorStep(c, p, s, in, Vec3{}, &w)
		if k == 51 {
			assert.InDelta(t, 0.135335, s.Thrust[2]/first, 1e-6, "thrust over a tick, 50 ms later")
		}
	}
	for range 2000 {
		in.Tick++
		rotorStep(c, p, s, in, Vec3{}, &w)
	}
	assert.Equal(t, 0.0, s.RotorSpeed[2], "stands, no denormal tail")
}

// Goal: a quad that loses one rotor in hover tips with (mg/4)·l/Ixx = 65.14
// rad/s² (derived; m 0.5 kg, l 0.17 m, Ixx 3.2e-3 kg·m², g 9.81 m/s²).
func TestRotorLost(t *testing.T) {
	for _, row := range []struct {
		name     string
		rotor    int
		roll, pi float64 // signs of the moments about x and y
	}{
		{"front: nose goes down", 0, 0, 1},
		{"left: left side goes down", 1, -1, 0},
		{"rear: nose goes up", 2, 0, -1},
		{"right: right side goes down", 3, 1, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			c, p, s, in := plusQuad(t)
			p.Air.Gravity = 9.81
			for i := range 4 {
				in.Duty[i] = HoverDuty(c, p, s.Cell.Volts)
				s.RotorSpeed[i] = HoverSpeed(c, p)
				for k := range MaxDelay {
					s.Queue[i][k] = in.Duty[i]
				}
			}
			s.Broken[row.rotor] = true
			var w Wrench
			rotorStep(c, p, s, in, Vec3{}, &w)
			assert.InDelta(t, row.roll*65.14, w.MomentB.X*c.InertiaInv[0], 0.01)
			assert.InDelta(t, row.pi*65.14, w.MomentB.Y*c.InertiaInv[4], 0.01)
			assert.InDelta(t, 0.75*0.5*9.81, w.ForceB.Z, 1e-4)
		})
	}
}

// Goal: in hover the wrench is the weight and nothing else, and signs of
// reaction and spin are right: an anticlockwise rotor pushes the body clockwise.
func TestHoverWrench(t *testing.T) {
	c, p, s, in := plusQuad(t)
	var w Wrench
	rotorStep(c, p, s, in, Vec3{}, &w)
	assert.InDelta(t, 0.5*9.80665, w.ForceB.Z, 1e-9)
	assert.InDelta(t, 0, w.MomentB.Norm(), 1e-12)
	assert.InDelta(t, 0, w.SpinB.Norm(), 1e-12)

	for i := range 4 { // more speed on the anticlockwise pair
		if c.Rotors[i].Spin > 0 {
			s.RotorSpeed[i] *= 1.1
			for k := range MaxDelay {
				s.Queue[i][k] *= 1.1
			}
			in.Duty[i] *= 1.1
		}
	}
	rotorStep(c, p, s, in, Vec3{}, &w)
	assert.Less(t, w.MomentB.Z, -1e-4)
	assert.Greater(t, w.SpinB.Z, 0.0)
	assert.InDelta(t, 0.2*4e-6*HoverSpeed(c, p), w.SpinB.Z, 1e-9, "two rotors a tenth faster")
}

// Goal: spinning up takes angular momentum from the body: moment·DT without
// air is the change of the rotors' spin.
func TestSpinUpReaction(t *testing.T) {
	c, p, s, in := plusQuad(t)
	p.Air.Density = 0
	before := s.RotorSpeed[0]
	for k := range MaxDelay {
		s.Queue[0][k] = 1
	}
	in.Duty[0] = 1
	var w Wrench
	rotorStep(c, p, s, in, Vec3{}, &w)
	gained := c.Rotors[0].Inertia * (s.RotorSpeed[0] - before)
	assert.Greater(t, gained, 0.0)
	assert.InDelta(t, -gained, w.MomentB.Z*DT, 1e-15)
}

// Goal: a duty reaches the motor after exactly DelayTicks, also at the ends of
// the range.
func TestDelay(t *testing.T) {
	for _, delay := range []int{0, 1, 5, MaxDelay - 1} {
		c, p, s, in := plusQuad(t)
		*s = State{PosW: Vec3{Z: 10}, QWB: Quat{W: 1}, Cell: Cell{Volts: 4}}
		c.Rotors[0].DelayTicks = delay
		var w Wrench
		for in.Tick = 0; in.Tick < 100; in.Tick++ {
			in.Duty[0] = 0
			if in.Tick >= 40 {
				in.Duty[0] = 0.5
			}
			rotorStep(c, p, s, in, Vec3{}, &w)
			assert.Equal(t, in.Tick >= int64(40+delay), s.RotorSpeed[0] > 0, "delay %d, tick %d", delay, in.Tick)
		}
	}
}

// Goal: the speed reached follows the cells' voltage, and nothing turns after a
// brown-out or with a broken blade.
func TestTargetSpeed(t *testing.T) {
	settle := func(change func(s *State, in *Input)) float64 {
		c, p, s, in := plusQuad(t)
		for i := range 4 {
			in.Duty[i] = 0.5
		}
		change(s, in)
		var w Wrench
		for range 3000 {
			in.Tick++
			rotorStep(c, p, s, in, Vec3{}, &w)
		}
		return s.RotorSpeed[1]
	}
	assert.InDelta(t, 0.5*2200*4/4.2, settle(func(*State, *Input) {}), 1e-6)
	assert.InDelta(t, 0.5*2200*3.5/4.2, settle(func(s *State, _ *Input) { s.Cell.Volts = 3.5 }), 1e-6)
	assert.InDelta(t, 0.25*2200*4/4.2, settle(func(_ *State, in *Input) { in.SpeedFactor[1] = 0.5 }), 1e-6)
	assert.Zero(t, settle(func(s *State, _ *Input) { s.Cell.BrownOut = true }))
	assert.Zero(t, settle(func(s *State, _ *Input) { s.Broken[1] = true }))
}

// Goal: linear rotor drag leans a craft that flies at 3 m/s by 9.448°. Source:
// Faessler, Franchi and Scaramuzza, IEEE RA-L 3(2), 2018, §VII (from memory):
// F = −m·D·v with D = 0.544 1/s.
func TestDragTilt(t *testing.T) {
	c, p, s, in := plusQuad(t)
	for i := range 4 {
		c.Rotors[i].Drag = c.Mass * 0.544 / (4 * HoverSpeed(c, p))
	}
	var w Wrench
	rotorStep(c, p, s, in, Vec3{X: 3}, &w)
	sum := 0.0
	for _, k := range w.DragK {
		sum += k
	}
	assert.InDelta(t, 9.448, math.Atan(sum*3/(c.Mass*9.80665))*180/math.Pi, 1e-3)
}

// Goal: the hub's own speed counts: rolling to the right lets the left rotor
// climb and lose thrust, so rotors damp the roll.
func TestRollDamping(t *testing.T) {
	c, p, s, in := plusQuad(t)
	s.OmegaB = Vec3{X: 3} // right side down
	var w Wrench
	rotorStep(c, p, s, in, Vec3{}, &w)
	assert.Less(t, s.Thrust[1], s.Thrust[3])
	assert.Less(t, w.MomentB.X, 0.0)
	still := s.Thrust[0]
	rotorStep(c, p, s, in, Vec3{Z: 2}, &w)
	assert.Less(t, s.Thrust[0], 0.9*still, "climbing costs thrust")
}

// Goal: coefficients that stand for aeroTicks change nothing that matters. Method:
// from the same state, a tick with the coefficients as they stand against one
// with fresh ones, through a jump of the duty by half and a roll at 8 Hz. The
// bounds are a choice, just above what was measured: 0.4 % at most, 0.08 % rms.
func TestStandingCoefficients(t *testing.T) {
	for _, row := range []struct {
		name string
		gain func(tick int, side float64) float64 // on the hover duty
	}{
		{"jump", func(tick int, _ float64) float64 { return 1 + 0.5*float64(min(tick/100, 1)) }},
		{"roll", func(tick int, side float64) float64 {
			return 1 + 0.3*side*math.Sin(2*math.Pi*8*DT*float64(tick))
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			c, p, _, in := plusQuad(t)
			s := Airborne(c, p, Vec3{Z: 10}, 0)
			hover, worst, sum, n := s.HoverDuties(), 0.0, 0.0, 0.0
			for tick := range 600 {
				for i := range 4 {
					in.Duty[i] = hover[i] * row.gain(tick, math.Copysign(1, c.Rotors[i].PosB.Y))
				}
				fresh := s
				fresh.ThrustPer = [MaxRotors]float64{}
				Step(c, p, &fresh, in)
				Step(c, p, &s, in)
				in.Tick++
				for i := range 4 {
					off := math.Abs(s.Thrust[i]/fresh.Thrust[i] - 1)
					worst, sum, n = max(worst, off), sum+off*off, n+1
				}
			}
			assert.Less(t, worst, 5e-3)
			assert.Less(t, math.Sqrt(sum/n), 1e-3)
			assert.Greater(t, worst, 1e-6, "the coefficients stand at all")
		})
	}
}

// Goal: a fault of no severity is no fault, bit for bit, and two equal runs are
// equal.
func TestNoFaultIsNoFault(t *testing.T) {
	run := func(change func(in *Input)) (State, Wrench) {
		c, p, s, in := plusQuad(t)
		change(in)
		var w Wrench
		for range 500 {
			in.Tick++
			airStep(p, s, in)
			power := rotorStep(c, p, s, in, Vec3{X: 1, Z: -1}, &w)
			batteryStep(c, s, in, power)
		}
		return *s, w
	}
	s0, w0 := run(func(*Input) {})
	s1, w1 := run(func(in *Input) {
		for i := range MaxRotors {
			in.SpeedFactor[i], in.ThrustFactor[i] = 1, 1
		}
		in.SagVolts, in.GustW = 0, Vec3{}
	})
	assert.Equal(t, s0, s1)
	assert.Equal(t, w0, w1)
	s2, _ := run(func(in *Input) { in.ThrustFactor[0] = 0.99 })
	assert.NotEqual(t, s0, s2, "the test can fail")
}

// Goal: no allocation in the tick, in the dearest state: turbulence, floor,
// box, ceiling, vortex ring.
func TestNoAllocation(t *testing.T) {
	c, p, s, in := dearest(t)
	var w Wrench
	require.Zero(t, testing.AllocsPerRun(1000, func() {
		in.Tick++
		airStep(p, s, in)
		batteryStep(c, s, in, rotorStep(c, p, s, in, Vec3{X: 1, Z: -6}, &w))
	}))
}

// dearest is a craft where everything acts at once.
func dearest(t testing.TB) (*Craft, *Place, *State, *Input) {
	c, p, s, in := plusQuad(t)
	p.Max.Z = 0.6
	p.Air.TurbulenceWind, p.Air.TurbulenceSpeed = 5, 3
	p.Boxes[0] = Box{Min: Vec3{X: -1, Y: -1}, Max: Vec3{X: 0.1, Y: 1, Z: 0.1}}
	p.BoxCount = 1
	p.Air.Fans[0] = Fan{PosW: Vec3{X: -3, Z: 0.4}, DirW: Vec3{X: 1}, Width: 0.3, Speed: 5}
	p.Air.FanCount = 1
	p.Prepare()
	s.PosW.Z = 0.3
	return c, p, s, in
}

// Goal: a craft that nobody prepared is the programmer's error, said at once.
func TestPrepareIsNeeded(t *testing.T) {
	_, p, s, in := plusQuad(t)
	var w Wrench
	assert.Panics(t, func() { rotorStep(&Craft{}, p, s, in, Vec3{}, &w) })
	assert.Panics(t, func() { airStep(&Place{Air: Air{TurbulenceWind: 1}}, s, in) })
}

// Goal: numbers that are no numbers pass through and are seen, they do not
// panic: the run's judge makes it void.
func TestNotANumber(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for k := range 5 {
			c, p, s, in := dearest(t)
			airB := Vec3{X: 1}
			switch k {
			case 0:
				airB.Z = bad
			case 1:
				s.PosW = Vec3{X: bad, Y: bad, Z: bad}
			case 2:
				s.RotorSpeed[1] = bad
			case 3:
				s.OmegaB.X = bad
			case 4:
				s.Cell.Charge = bad
			}
			var w Wrench
			assert.NotPanics(t, func() {
				airStep(p, s, in)
				batteryStep(c, s, in, rotorStep(c, p, s, in, airB, &w))
			})
		}
	}
	c, p, s, in := plusQuad(t)
	var w Wrench
	rotorStep(c, p, s, in, Vec3{Z: math.NaN()}, &w)
	assert.True(t, math.IsNaN(w.ForceB.Z))
}
