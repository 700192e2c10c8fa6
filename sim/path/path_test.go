package path

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Goal: the law of time is the one of least snap: value, peak speed and peak
// acceleration as published (Mellinger and Kumar, ICRA 2011: 2.1875 L/T at
// u = ½, 7.51319 L/T² at u = .276393), rest to third order at both ends, and
// derivatives that agree with central differences.
func TestSnap(t *testing.T) {
	value := func(u float64) float64 {
		return 35*math.Pow(u, 4) - 84*math.Pow(u, 5) + 70*math.Pow(u, 6) - 20*math.Pow(u, 7)
	}
	topRate, topAccel, atRate, atAccel := 0.0, 0.0, 0.0, 0.0
	const h = 1e-5
	for i := range 100_001 {
		u := float64(i) / 100_000
		x, rate, accel := snap(u)
		require.InDelta(t, value(u), x, 1e-13)
		if rate > topRate {
			topRate, atRate = rate, u
		}
		if accel > topAccel {
			topAccel, atAccel = accel, u
		}
		if i%1000 == 0 {
			above, rateAbove, _ := snap(u + h)
			below, rateBelow, _ := snap(u - h)
			assert.InDelta(t, (above-below)/(2*h), rate, 1e-7)
			assert.InDelta(t, (rateAbove-rateBelow)/(2*h), accel, 1e-7)
		}
	}
	assert.InDelta(t, 2.1875, topRate, 1e-6)
	assert.InDelta(t, .5, atRate, 1e-5)
	assert.InDelta(t, 7.51319, topAccel, 5e-6)
	assert.InDelta(t, .276393, atAccel, 2e-5)
	assert.InDelta(t, topRate, peakRate, 1e-9)
	assert.InDelta(t, topAccel, peakAccel, 1e-8)
	for _, u := range []float64{0, 1} {
		x, rate, accel := snap(u)
		assert.Equal(t, [3]float64{u, 0, 0}, [3]float64{x, rate, accel})
	}
	// The jerk vanishes at the ends as well: of the polynomials of degree 7 only
	// this one does so; the least-jerk one (Flash and Hogan, J. Neurosci. 5, 1985)
	// would grow as 60u.
	_, _, nearStart := snap(1e-4)
	assert.InDelta(t, 420e-8, nearStart, 1e-8, "acceleration grows as 420u²")
}

// shapes are paths of every kind.
func shapes() map[string]Params {
	base := Default()
	eight := base
	eight.Heading, eight.CentreW, eight.Yaw = .7, kernel.Vec3{X: 1, Y: -2}, -1
	along := eight
	along.YawAlong, along.Laps = true, 2
	slim := along
	slim.Width, slim.Laps = .3, 1
	fat := along
	fat.Length, fat.Width, fat.Laps = .8, 1, 1
	line := base
	line.Kind, line.Laps, line.Heading = Line, 2, 2
	square := base
	square.Kind, square.YawAlong, square.Laps = Square, true, 2
	points := base
	points.Kind, points.Count, points.YawAlong = Waypoints, 5, true
	copy(points.Points[:], []kernel.Vec3{{X: 0, Y: 0, Z: 1}, {X: 2, Y: 0, Z: 1.5}, {X: 2, Y: 0, Z: .8}, {X: 2, Y: 0, Z: .8}, {X: -1, Y: 2, Z: 1}})
	rounds := points
	rounds.Laps, rounds.YawAlong = 3, false
	return map[string]Params{"eight": eight, "along": along, "slim": slim, "fat": fat, "line": line, "square": square, "points": points, "rounds": rounds}
}

var (
	fromW   = kernel.Vec3{X: -1, Y: 1.5, Z: .7}
	fromYaw = 2.5
)

// flight is the setpoint at each tick from engagement to a second past the end.
func flight(t *testing.T, p *Params) (points []Setpoint, leadIn int64) {
	require.NoError(t, p.Validate())
	var s State
	end := int64(math.MaxInt64)
	for tick := int64(500); tick < end; tick++ {
		var out Setpoint
		Follow(p, &s, true, fromW, fromYaw, tick, &out)
		if s.Leg == 0 {
			leadIn = tick - 500 + 1
		}
		points = append(points, out)
		if out.Done && end == math.MaxInt64 {
			end = tick + 1000
		}
		if tick > 1e6 {
			t.Fatal("the path does not end")
		}
	}
	return points, leadIn
}

// Goal: at every tick of every shape, position, velocity and acceleration
// belong together, nothing jumps where legs meet, and no limit is passed.
// Method: central differences over one tick. The tolerances follow from the
// third derivative: its peak times half a tick (velocity), times one (joints).
func TestDerivativesJointsAndLimits(t *testing.T) {
	const dt = dynamics.DT
	for name, p := range shapes() {
		t.Run(name, func(t *testing.T) {
			points, _ := flight(t, &p)
			topSpeed, topAccel, topYaw := 0.0, 0.0, 0.0
			var offVel, offAcc, jump, offYaw float64
			for i := 1; i < len(points)-1; i++ {
				a, b, c := &points[i-1], &points[i], &points[i+1]
				vel := c.PosW.Sub(a.PosW).Scale(1 / (2 * dt))
				acc := c.VelW.Sub(a.VelW).Scale(1 / (2 * dt))
				offVel = max(offVel, vel.Sub(b.VelW).Norm())
				offAcc = max(offAcc, acc.Sub(b.AccW).Norm())
				jump = max(jump, c.AccW.Sub(b.AccW).Norm())
				offYaw = max(offYaw, math.Abs(wrap(c.Yaw-a.Yaw)/(2*dt)-b.YawRate))
				topSpeed, topAccel = max(topSpeed, b.VelW.Norm()), max(topAccel, b.AccW.Norm())
				topYaw = max(topYaw, math.Abs(b.YawRate))
			}
			assert.Less(t, offVel, 1e-4, "velocity")
			assert.Less(t, offAcc, 2e-2, "acceleration")
			assert.Less(t, jump, .05, "acceleration jumps")
			assert.Less(t, offYaw, 1e-3, "yaw rate")
			assert.LessOrEqual(t, topSpeed, p.Speed)
			assert.LessOrEqual(t, topAccel, p.Accel)
			assert.LessOrEqual(t, topYaw, p.YawRate)
			assert.Greater(t, max(topSpeed/p.Speed, topAccel/p.Accel, topYaw/p.YawRate), .9, "a limit is used")
			assert.Equal(t, fromW, points[0].PosW)
			assert.InDelta(t, fromYaw, points[0].Yaw, 1e-12)
		})
	}
}

// Goal: length, duration and bounds say what is flown. Method: against the
// flight tick by tick; a figure-eight's length as an integral by the midpoint
// rule on a finer grid.
func TestExtent(t *testing.T) {
	for name, p := range shapes() {
		points, leadIn := flight(t, &p)
		way, ticks := 0.0, 0
		lo, hi := p.Bounds()
		inside := 1.0
		for i := leadIn; i < int64(len(points)); i++ {
			way += points[i].PosW.Sub(points[i-1].PosW).Norm()
			if !points[i].Done {
				ticks++
			}
			up, down := hi.Sub(points[i].PosW), points[i].PosW.Sub(lo)
			inside = min(inside, up.X, up.Y, up.Z, down.X, down.Y, down.Z)
		}
		assert.InDelta(t, 0, inside, 1e-4, "%s: the bounds are met and kept", name)
		assert.InDelta(t, p.Distance(), way, 1e-3*p.Distance(), name)
		assert.InDelta(t, p.Duration(), float64(ticks)*dynamics.DT, 2e-3, name)
	}
	eight := Default()
	sum := 0.0
	for i := range 100_000 {
		c := eight.eight((float64(i) + .5) * 2 * math.Pi / 100_000)
		sum += math.Hypot(c.dx, c.dy) * 2 * math.Pi / 100_000
	}
	assert.InDelta(t, sum, eight.Distance(), 1e-9)
	none := Params{}
	assert.Zero(t, none.Duration())
	assert.Zero(t, none.Distance())
}

// Goal: figures have the shape and size that their parameters say.
func TestFigures(t *testing.T) {
	p := shapes()["eight"]
	points, leadIn := flight(t, &p)
	crossings, last := 0, points[leadIn].PosW
	reach, wide := 0.0, 0.0
	sin, cos := math.Sincos(p.Heading)
	for _, s := range points[leadIn:] {
		d := s.PosW.Sub(p.CentreW)
		x, y := cos*d.X+sin*d.Y, cos*d.Y-sin*d.X
		reach, wide = max(reach, math.Abs(x)), max(wide, math.Abs(y))
		was := last.Sub(p.CentreW)
		if (cos*was.X+sin*was.Y)*x < 0 && s.VelW.Norm() > .05 {
			crossings++
			assert.InDelta(t, 0, y, .01, "it crosses itself in the middle")
		}
		assert.Equal(t, p.Height, s.PosW.Z)
		last = s.PosW
	}
	end := points[len(points)-1]
	assert.Equal(t, 1, crossings)
	assert.InDelta(t, 1.5, reach, 1e-4, "half of Length 3")
	assert.InDelta(t, .75, wide, 1e-4, "half of Width 1.5")
	assert.Less(t, end.PosW.Sub(p.Begin()).Norm(), 1e-12, "it closes")
	assert.Equal(t, -1.0, end.Yaw)

	square := shapes()["square"]
	for j, want := range []kernel.Vec3{{X: -1.5, Y: -.75}, {X: 1.5, Y: -.75}, {X: 1.5, Y: .75}, {X: -1.5, Y: .75}, {X: -1.5, Y: -.75}} {
		want.Z = 1.2
		assert.Equal(t, want, square.point(int64(j)))
	}
	assert.InDelta(t, 18, square.Distance(), 1e-12, "two laps of 9 m")
	line := shapes()["line"]
	assert.InDelta(t, 12, line.Distance(), 1e-12, "there and back, twice")
	rounds := shapes()["rounds"]
	points, _ = flight(t, &rounds)
	assert.Equal(t, rounds.Points[4], points[len(points)-1].PosW, "it ends at the last point")
}

// Goal: a lap at the crossing is as fast as allowed and no faster, when speed is
// what limits it.
func TestEightPeakSpeed(t *testing.T) {
	p := Default()
	p.Accel = 20
	points, leadIn := flight(t, &p)
	top := 0.0
	for _, s := range points[leadIn:] {
		top = max(top, s.VelW.Norm())
	}
	assert.InDelta(t, p.Speed, top, 1e-3)
	assert.LessOrEqual(t, top, p.Speed)
}

// Goal: each engagement starts anew from where the craft is; what is not
// engaged gives nothing; looking every 40 ticks gives the same setpoints as
// every tick.
func TestEngagement(t *testing.T) {
	p := shapes()["points"]
	var every, sparse State
	var a, b Setpoint
	for tick := range int64(20_000) {
		Follow(&p, &every, true, fromW, fromYaw, tick, &a)
		if tick%40 == 0 {
			Follow(&p, &sparse, true, fromW, fromYaw, tick, &b)
			require.Equal(t, a, b, "tick %d", tick)
			require.Equal(t, every, sparse)
		}
	}
	Follow(&p, &every, false, fromW, fromYaw, 20_000, &a)
	assert.Equal(t, Setpoint{}, a)
	assert.Equal(t, State{}, every)
	there := kernel.Vec3{X: 3, Y: 3, Z: 2}
	Follow(&p, &every, true, there, 1, 20_040, &a)
	assert.Equal(t, Setpoint{PosW: there, Yaw: 1, Active: true}, a)
	none := Params{}
	Follow(&none, &every, true, there, 1, 20_080, &a)
	assert.Equal(t, Setpoint{}, a)
}

// Goal: a path that begins where the craft already is needs no lead-in and is
// done at once when it has no legs.
func TestNoWay(t *testing.T) {
	p := Default()
	p.Kind, p.Count, p.Yaw = Waypoints, 1, fromYaw
	p.Points[0] = fromW
	require.NoError(t, p.Validate())
	var s State
	var out Setpoint
	Follow(&p, &s, true, fromW, fromYaw, 100, &out)
	assert.Equal(t, Setpoint{PosW: fromW, Yaw: fromYaw, Active: true, Done: true}, out)
	assert.Zero(t, p.Duration())
}

func TestValidate(t *testing.T) {
	none := Params{}
	assert.NoError(t, none.Validate())
	bad := Params{Kind: Square, Length: -1, Width: math.NaN(), Height: 0, CentreW: kernel.Vec3{X: math.Inf(1)}}
	for _, part := range []string{"speed", "acceleration", "yaw rate", "0 laps", "length (m): -1", "height", "width (m): NaN", "must be finite"} {
		assert.ErrorContains(t, bad.Validate(), part)
	}
	points := Default()
	points.Kind = Waypoints
	assert.ErrorContains(t, points.Validate(), "0 points")
	points.Count = 1
	assert.ErrorContains(t, points.Validate(), "point 1")
	unknown := Params{Kind: 77}
	assert.ErrorContains(t, unknown.Validate(), "no such shape")
	for _, w := range KindWords() {
		k, ok := ParseKind(w)
		assert.True(t, ok)
		assert.Equal(t, w, k.String())
	}
	_, ok := ParseKind("spiral")
	assert.False(t, ok)
}
