package control

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/path"
)

// Goal: any craft flies without hand tuning. Method: the law in the loop with
// the dynamics, belief equal to the truth. Tolerances are our own.

func TestEveryShapeHoldsItsPlace(t *testing.T) {
	for _, sh := range shapes {
		t.Run(sh.name, func(t *testing.T) {
			f := fly(t, sh, nil, hands.PositionHold, 0.3)
			f.run(5, nil)
			require.True(t, f.s.HoldPlace && f.s.HoldHeight)
			hold, worst := f.s.HoldW, 0.0
			f.run(10, func() { worst = max(worst, f.w.PosW.Sub(hold).Norm()) })
			assert.Less(t, worst, 0.05, "m")
			assert.Less(t, f.w.QWB.Tilt(), 2*deg)
			if f.p.Mix.HasYaw {
				assert.InDelta(t, 0.3, f.w.QWB.Yaw(), 1*deg)
			}
		})
	}
}

func TestStepOfPlaceSettles(t *testing.T) {
	for _, sh := range shapes {
		t.Run(sh.name, func(t *testing.T) {
			f := fly(t, sh, nil, hands.Path, 0)
			f.in.Path = path.Setpoint{PosW: kernel.Vec3{Z: 5}, Active: true}
			f.run(3, nil)
			f.in.Path.PosW = kernel.Vec3{X: 1, Z: 6}
			over, overZ := 0.0, 0.0
			f.run(6+14/f.p.Gains.Position, func() {
				over, overZ = max(over, f.w.PosW.X-1), max(overZ, f.w.PosW.Z-6)
			})
			assert.Less(t, over, 0.10, "m over")
			assert.Less(t, overZ, 0.10, "m over, up")
			assert.InDelta(t, 1, f.w.PosW.X, 0.03)
			assert.InDelta(t, 6, f.w.PosW.Z, 0.03)
		})
	}
}

func TestRecoversFromTilt(t *testing.T) {
	for _, sh := range shapes {
		t.Run(sh.name, func(t *testing.T) {
			f := fly(t, sh, nil, hands.Attitude, 0)
			f.w.QWB = kernel.QuatEuler(45*deg, 0, 0)
			f.run(10/f.p.Gains.Attitude, nil)
			assert.Less(t, f.w.QWB.Tilt(), 3*deg)
			f = fly(t, sh, nil, hands.PositionHold, 0)
			f.w.QWB = kernel.QuatEuler(-40*deg, 30*deg, 0)
			f.run(12, nil)
			assert.Less(t, f.w.VelW.Norm(), 0.1)
			assert.Less(t, math.Abs(f.w.PosW.Z-5), 2.5)
		})
	}
}

func TestTurnsToHeading(t *testing.T) {
	for _, sh := range shapes[1:] {
		t.Run(sh.name, func(t *testing.T) {
			f := fly(t, sh, nil, hands.Path, 0)
			f.in.Path = path.Setpoint{PosW: kernel.Vec3{Z: 5}, Active: true}
			f.run(1, nil)
			f.in.Path.Yaw = 60 * deg
			over, slide := 0.0, 0.0
			f.run(4+8/f.p.Gains.Yaw, func() {
				over = max(over, f.w.QWB.Yaw()-60*deg)
				slide = max(slide, f.w.PosW.NormXY())
			})
			assert.InDelta(t, 60*deg, f.w.QWB.Yaw(), 1*deg)
			assert.Less(t, over, 6*deg)
			assert.Less(t, slide, 0.05)
		})
	}
}

// A steady wind of 4 m/s must not move the place that is held by more than 5 cm
// in the end: what the observer learns stands in for an integrator.
func TestHoldsAgainstWind(t *testing.T) {
	f := fly(t, shapeOf("quad-500g"), nil, hands.PositionHold, 0)
	f.run(3, nil)
	hold := f.s.HoldW
	f.dyn.GustW = kernel.Vec3{X: 4, Y: 1}
	f.run(20, nil)
	assert.Less(t, f.w.PosW.Sub(hold).Norm(), 0.05)
	assert.Greater(t, f.s.DisturbW.X, 0.05)
}

// Turning the world by 90° about z turns everything the craft does: duties stay
// as they are. Rounding differs, so the tolerance is that of sums, grown by the
// flight.
func TestTurnedWorldTurnsTheFlight(t *testing.T) {
	quarter := kernel.QuatYaw(math.Pi / 2)
	a := fly(t, shapeOf("quad-500g"), nil, hands.PositionHold, 0)
	b := fly(t, shapeOf("quad-500g"), nil, hands.PositionHold, math.Pi/2)
	push := kernel.Vec3{X: 1, Y: 0.5}
	a.w.VelW, b.w.VelW = push, quarter.Rotate(push)
	for i := range 4000 {
		if i == 2000 {
			a.in.Hands.Roll, b.in.Hands.Roll = 300, 300
			a.in.Hands.Yaw, b.in.Hands.Yaw = -300, -300
		}
		a.tick()
		b.tick()
		for k := range 4 {
			require.InDelta(t, a.out.Duty[k], b.out.Duty[k], 1e-6, "tick %d", i)
		}
	}
	assert.InDelta(t, 0, quarter.Rotate(a.w.PosW).Sub(b.w.PosW).Norm(), 1e-6)
}

// q and −q are the same attitude and must give the same duties bit for bit.
func TestSignOfQuaternion(t *testing.T) {
	f := fly(t, shapeOf("quad-500g"), nil, hands.PositionHold, 2.5)
	f.run(1, nil)
	f.b.QWB = kernel.QuatEuler(0.3, -0.2, 2.7)
	f.in.Tick = 4000
	one, other := f.s, f.s
	var a, b Output
	Law(&f.p, &one, &f.in, &a)
	q := f.b.QWB
	f.b.QWB = kernel.Quat{W: -q.W, X: -q.X, Y: -q.Y, Z: -q.Z}
	Law(&f.p, &other, &f.in, &b)
	assert.Equal(t, a, b)
}

func TestSticksInEachResponseType(t *testing.T) {
	sh := shapeOf("quad-500g")
	t.Run("rate", func(t *testing.T) {
		f := fly(t, sh, nil, hands.Rate, 0)
		f.in.Hands.Roll, f.in.Hands.Yaw = 500, 500
		f.run(0.6, nil)
		want := f.p.Limits.BodyRate * Curve(0.5, f.p.Sticks.DeadBand, f.p.Sticks.Expo)
		assert.InDelta(t, want, f.w.OmegaB.X, 0.10*want)
		assert.Less(t, f.w.OmegaB.Z, -0.1, "yaw stick right turns right")
	})
	t.Run("attitude", func(t *testing.T) {
		f := fly(t, sh, nil, hands.Attitude, 0)
		f.in.Hands.Pitch = hands.Full
		f.run(2, nil)
		roll, pitch, _ := f.w.QWB.Euler()
		assert.InDelta(t, f.p.Limits.Tilt, pitch, 1*deg, "stick forward is nose down")
		assert.InDelta(t, 0, roll, 1*deg)
		assert.Greater(t, f.w.VelW.X, 1.0)
	})
	t.Run("height-hold", func(t *testing.T) {
		f := fly(t, sh, nil, hands.HeightHold, 0)
		f.in.Hands.Roll = 400
		f.run(4, nil)
		assert.InDelta(t, 5, f.w.PosW.Z, 0.15, "height kept while leaning")
		assert.Less(t, f.w.VelW.Y, -0.5, "roll right moves right")
		f.in.Hands.Throttle = hands.Full
		f.run(3, nil)
		assert.InDelta(t, f.p.Limits.ClimbUp, f.w.VelW.Z, 0.1)
	})
	t.Run("position-hold", func(t *testing.T) {
		f := fly(t, sh, nil, hands.PositionHold, math.Pi/2)
		f.in.Hands.Pitch = hands.Full
		f.run(5, nil)
		assert.InDelta(t, f.p.Limits.Speed, f.w.VelW.Y, 0.1, "forward is along the heading")
		f.in.Hands.Pitch = 0
		back := 0.0
		f.run(8, func() { back = max(back, -f.w.VelW.Y) })
		assert.True(t, f.s.HoldPlace)
		assert.Less(t, f.w.VelW.Norm(), 0.02)
		assert.Less(t, back, 0.25, "brakes and stays rather than flying back")
	})
	t.Run("path not running", func(t *testing.T) {
		f := fly(t, sh, nil, hands.Path, 0)
		f.in.Hands.Throttle = 0
		f.run(3, nil)
		assert.Less(t, f.w.PosW.Sub(kernel.Vec3{Z: 5}).Norm(), 0.05)
	})
}

// A path with speed and acceleration given is followed closely: a circle of 1 m
// at 1 m/s.
func TestFollowsCircle(t *testing.T) {
	f := fly(t, shapeOf("quad-500g"), nil, hands.Path, math.Pi/2)
	f.w.PosW.X, f.w.VelW.Y = 1, 1
	worst := 0.0
	for i := range 12000 {
		a := float64(i) * 1e-3
		c, s := math.Cos(a), math.Sin(a)
		f.in.Path = path.Setpoint{
			PosW: kernel.Vec3{X: c, Y: s, Z: 5}, VelW: kernel.Vec3{X: -s, Y: c}, AccW: kernel.Vec3{X: -c, Y: -s},
			Yaw: math.Remainder(a+math.Pi/2, 2*math.Pi), YawRate: 1, Active: true,
		}
		f.tick()
		if i > 6000 {
			worst = max(worst, f.w.PosW.Sub(f.in.Path.PosW).Norm())
		}
	}
	t.Logf("%.3f m off at most", worst)
	assert.Less(t, worst, 0.15)
	// Taken off the path in the middle of it, the craft brakes and stays.
	f.st.Response = hands.PositionHold
	at := f.w.PosW
	f.run(8, nil)
	assert.Less(t, f.w.VelW.Norm(), 0.02)
	assert.Less(t, f.w.PosW.Sub(at).Norm(), 1.0)
}

// Changing the response type jumps nothing: with sticks centred and throttle
// matched, tilt and climb stay small through every change.
func TestChangesOfResponseAreSmooth(t *testing.T) {
	order := []hands.Response{hands.PositionHold, hands.HeightHold, hands.Attitude, hands.PositionHold,
		hands.Attitude, hands.HeightHold, hands.PositionHold, hands.Path, hands.Attitude, hands.Rate, hands.Attitude}
	f := fly(t, shapeOf("quad-500g"), nil, hands.Attitude, 1)
	f.run(1, nil)
	for _, r := range order {
		f.st.Response = r
		f.in.Hands.Throttle = hands.Stick(0.5)
		if !r.HoldsHeight() {
			f.in.Hands.Throttle = hands.Stick(HoverStick(&f.p))
		}
		before := f.w
		f.run(1, func() {
			require.Less(t, f.w.QWB.Tilt(), 2*deg, r)
			require.Less(t, math.Abs(f.w.VelW.Z-before.VelW.Z), 0.2, r)
		})
	}
	assert.InDelta(t, 1, f.w.QWB.Yaw(), 2*deg)
}

func TestEngagingPositionHoldBrakes(t *testing.T) {
	f := fly(t, shapeOf("quad-500g"), nil, hands.Attitude, 0)
	f.in.Hands.Pitch = 500
	f.run(1.5, nil)
	f.in.Hands.Pitch = 0
	f.in.Hands.Throttle = hands.Stick(0.5)
	f.st.Response = hands.PositionHold
	at, speed := f.w.PosW, f.w.VelW.X
	f.run(10, nil)
	assert.Greater(t, speed, 1.0)
	assert.Less(t, f.w.VelW.Norm(), 0.02)
	assert.Greater(t, f.w.PosW.X, at.X)
	assert.Less(t, f.w.PosW.X-at.X, speed*speed+2*speed/f.p.Gains.Velocity)
}

func TestControlledLanding(t *testing.T) {
	for _, health := range []estimate.Health{estimate.Agrees, estimate.Disagrees} {
		f := fly(t, shapeOf("quad-500g"), nil, hands.Attitude, 0)
		f.run(1, nil)
		f.st.Landing = true
		f.b.Health = health
		touch := 0.0
		for range 16000 {
			f.tick()
			touch = max(touch, f.w.Touch.Speed)
		}
		assert.Less(t, touch, 0.6, "m/s at touchdown")
		assert.Less(t, f.w.PosW.Z, 0.15)
		assert.Less(t, f.w.PosW.NormXY(), 0.3)
	}
}

func TestMotorsOffAndIdle(t *testing.T) {
	f := fly(t, shapeOf("quad-500g"), nil, hands.Attitude, 0)
	f.run(0.5, nil)
	f.st.Landed = true
	f.tick()
	for i := range 4 {
		assert.Equal(t, f.p.Limits.Idle, f.out.Duty[i])
	}
	f.st.MotorsOn = false
	f.tick()
	assert.Equal(t, Output{}, f.out)
	assert.False(t, f.s.Running)
}

// Take-off by hand: from standing, throttle slowly up to just above the hover
// mark in attitude.
func TestTakeOff(t *testing.T) {
	f := fly(t, shapeOf("quad-500g"), nil, hands.Attitude, 0)
	*f = flight{c: f.c, room: f.room, p: f.p, dyn: f.dyn, st: f.st, in: f.in}
	f.in.Belief, f.in.Status = &f.b, &f.st
	f.w = dynStart(f)
	f.st.Landed, f.in.Hands.Throttle = true, 0
	f.run(1, nil)
	f.st.Landed = false
	mark := HoverStick(&f.p)
	for i := range 3000 {
		f.in.Hands.Throttle = hands.Stick(min(float64(i)/2000, 1.08) * mark)
		f.tick()
		require.Less(t, f.w.QWB.Tilt(), 3*deg)
	}
	assert.Greater(t, f.w.PosW.Z, 0.2)
	assert.InDelta(t, 0, f.w.QWB.Yaw(), 2*deg)
	f.st.Response, f.in.Hands.Throttle = hands.PositionHold, hands.Stick(0.5)
	f.run(6, nil)
	assert.True(t, f.s.HoldPlace && f.s.HoldHeight)
	assert.Less(t, f.w.VelW.Norm(), 0.02)
}
