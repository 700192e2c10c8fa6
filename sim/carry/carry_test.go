package carry_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/scenarios"
	"lapwing/sim/carry"
	"lapwing/sim/hands"
)

// rig is a craft on its mark, a hand beside it, and a station that shows what
// show makes of the truth.
type rig struct {
	craft *dynamics.Craft
	place *dynamics.Place
	p     carry.Params
	s     carry.State
	body  dynamics.State
	in    dynamics.Input
	tick  int64
	show  func(posW kernel.Vec3) kernel.Vec3
	each  func()
}

func newRig(t *testing.T, moves ...carry.Move) *rig {
	t.Helper()
	b, err := scenarios.Load(scenarios.Catalogue(), "nothing-happens")
	require.NoError(t, err)
	r := &rig{craft: &b.Craft, place: &b.Place, s: carry.Start(), in: dynamics.DefaultInput()}
	r.p.Count = copy(r.p.Moves[:], moves)
	require.NoError(t, r.p.Validate())
	r.body = dynamics.Start(r.craft, r.place, b.Place.TakeOff, 0.3)
	r.show = func(posW kernel.Vec3) kernel.Vec3 { return posW }
	r.each = func() {}
	return r
}

// take takes a step and lets time pass until the hand is still again.
func (r *rig) take(step hands.Step, item uint8) {
	r.s.Take(&r.p, &hands.Hands{Step: step, Item: item}, &r.body, r.show(r.body.PosW), true, r.tick)
	for range 100 {
		r.run(100)
		if !r.s.Moves() {
			return
		}
	}
	panic("the hand never comes to rest")
}

func (r *rig) run(ticks int) {
	for range ticks {
		if r.s.Held() {
			r.s.Hold(r.craft, r.place, &r.body, r.show(r.body.PosW), r.tick, &r.in)
		}
		r.in.Tick = r.tick
		dynamics.Step(r.craft, r.place, &r.body, &r.in)
		r.tick++
		r.each()
	}
}

func move(x, y, z float64, ticks int64) carry.Move {
	return carry.Move{To: kernel.Vec3{X: x, Y: y, Z: z}, For: ticks}
}

var there = []carry.Move{move(0, 0, 1, 1500), move(1, 0, 1, 2000), move(1, 0.5, 1, 1500), move(0, 0, 1, 2000)}

// Goal: the craft goes where the moves lead it, relative to the mark and the
// heading there, and stands as before when it is set down. Method: four moves
// from a craft that stands turned by 0.3 rad; the hand lags by less than 5 mm
// (peak acceleration over the square of its 25 rad/s) and ends still.
func TestMovesLeadThere(t *testing.T) {
	r := newRig(t, there...)
	mark := r.body.PosW
	turn := kernel.QuatYaw(0.3)
	r.take(hands.StepPickUp, 0)
	require.True(t, r.s.Held())
	for i, m := range there {
		r.take(hands.StepCarry, uint8(i))
		assert.InDelta(t, 0, r.body.PosW.Sub(mark.Add(turn.Rotate(m.To))).Norm(), 1e-3, "move %d", i+1)
		assert.Less(t, r.body.VelW.Norm(), 0.01)
		assert.InDelta(t, 0.3, r.body.QWB.Yaw(), 2e-3)
		scale, ok := r.s.Facts.Scale(i)
		assert.True(t, ok)
		assert.InDelta(t, 1, scale, 1e-12, "shown as it was")
	}
	assert.False(t, r.s.Done(&r.p), "still in the hand")
	r.take(hands.StepSetDown, 0)
	assert.False(t, r.s.Held())
	assert.True(t, r.s.Done(&r.p))
	r.run(500)
	assert.InDelta(t, 0, r.body.PosW.Sub(mark).Norm(), 2e-3)
	assert.InDelta(t, r.craft.Mass*r.place.Air.Gravity, r.body.Touch.Load, 0.02)
	assert.InDelta(t, 1+1+0.5+math.Hypot(1, 0.5)+1, r.s.Facts.Path, 0.05, "the way, with what the hand swings")
	assert.Equal(t, kernel.Vec3{}, r.in.HandForceW)
	assert.Equal(t, kernel.Vec3{}, r.in.HandMomentB)
}

// Goal: the way is that of least jerk, and natural for an inertial sensor.
// Method: the greatest speed is 15/8 of the mean and comes half way (Flash and
// Hogan 1985); the specific force stays within the path's greatest
// acceleration, 10/√3·d/T², of the weight, plus 20 % for the hand's own swing;
// picking up and setting down are no blow: within half the weight.
func TestWayIsOfLeastJerk(t *testing.T) {
	r := newRig(t, move(0, 0, 1, 1500), move(1.5, 0, 1, 2000))
	g := r.place.Air.Gravity
	worst := 0.0
	r.each = func() { worst = math.Max(worst, math.Abs(r.body.SpecificForceB.Norm()-g)) }
	r.take(hands.StepPickUp, 0)
	assert.Less(t, worst, 0.5*g, "picking up")
	r.take(hands.StepCarry, 0)

	fastest, at, began := 0.0, int64(0), r.tick
	worst = 0
	r.each = func() {
		worst = math.Max(worst, math.Hypot(r.body.SpecificForceB.X, r.body.SpecificForceB.Y))
		if v := r.body.VelW.NormXY(); v > fastest {
			fastest, at = v, r.tick-began
		}
	}
	r.take(hands.StepCarry, 1)
	assert.InDelta(t, 15.0/8*1.5/2, fastest, 0.02)
	assert.InDelta(t, 1000, at, 60, "the hand lags by a few hundredths of a second")
	assert.InDelta(t, 10/math.Sqrt(3)*1.5/4, worst, 0.2*10/math.Sqrt(3)*1.5/4)

	worst = 0
	r.each = func() { worst = math.Max(worst, math.Abs(r.body.SpecificForceB.Norm()-g)) }
	r.take(hands.StepSetDown, 0)
	r.run(500)
	assert.Less(t, worst, 0.5*g, "setting down")
}

// Goal: tilts are as asked for, right side down and nose down positive, and a
// full turn goes all the way round.
func TestTiltsAndTurns(t *testing.T) {
	const deg = math.Pi / 180
	up := move(0, 0, 1, 1500)
	roll, pitch, round := up, up, up
	roll.Roll, pitch.Pitch, round.Yaw, round.For = 20*deg, 20*deg, 2*math.Pi, 8000
	r := newRig(t, up, roll, pitch, up, round)
	r.take(hands.StepPickUp, 0)
	r.take(hands.StepCarry, 0)
	r.take(hands.StepCarry, 1)
	gotRoll, gotPitch, _ := r.body.QWB.Euler()
	assert.InDelta(t, 20, gotRoll/deg, 0.1)
	assert.InDelta(t, 0, gotPitch/deg, 0.1)
	assert.Less(t, r.body.QWB.Rotate(kernel.Vec3{Y: -1}).Z, -0.3, "its right side is down")
	r.take(hands.StepCarry, 2)
	assert.Less(t, r.body.QWB.Rotate(kernel.Vec3{X: 1}).Z, -0.3, "its nose is down")
	r.take(hands.StepCarry, 3)
	turned := 0.0
	r.each = func() { turned += r.body.OmegaB.Z * dynamics.DT }
	r.take(hands.StepCarry, 4)
	assert.InDelta(t, 360, turned/deg, 1)
}

// Goal: a hand goes near only where it is safe, only one thing is done at a
// time, and a lens can be covered only by somebody who reaches it.
func TestWhatCannotBeDone(t *testing.T) {
	r := newRig(t, there...)
	step := func(k hands.Step, item uint8, safe bool) {
		r.s.Take(&r.p, &hands.Hands{Step: k, Item: item}, &r.body, r.body.PosW, safe, r.tick)
	}
	step(hands.StepPickUp, 0, false)
	assert.False(t, r.s.Held(), "armed")
	step(hands.StepCarry, 0, true)
	assert.False(t, r.s.Held(), "not in the hand")
	step(hands.StepCoverLens, 0, false)
	assert.False(t, r.s.Covered)
	step(hands.StepCoverLens, 0, true)
	assert.True(t, r.s.Covered)
	step(hands.StepUncover, 0, true)
	assert.False(t, r.s.Covered)

	r.take(hands.StepPickUp, 0)
	step(hands.StepCarry, carry.MaxMoves, true)
	assert.Equal(t, carry.Holding, r.s.Phase, "no such move")
	step(hands.StepCarry, 0, true)
	r.run(300)
	step(hands.StepCarry, 2, true)
	assert.Equal(t, int64(0), r.s.Move, "the first is still under way")
	step(hands.StepSetDown, 0, true)
	assert.Equal(t, carry.Moving, r.s.Phase)

	idle := newRig(t)
	idle.s.Take(&idle.p, &hands.Hands{Step: hands.StepPickUp}, &idle.body, idle.body.PosW, true, 0)
	assert.False(t, idle.s.Held(), "a scenario without a carry")
}

// Goal: the facts tell a wrong sign, a wrong scale and a drift. Method: a
// station that shows each fault, and one whose estimate walks off by 1 mm/s.
func TestFactsTellFaults(t *testing.T) {
	for _, c := range []struct {
		name     string
		fault    carry.Fault
		forward  float64 // scale of the move along x
		left, up float64
	}{
		{"none", carry.FaultNone, 1, 1, 1},
		{"sign-x", carry.FaultSignX, -1, 1, 1},
		{"sign-y", carry.FaultSignY, 1, -1, 1},
		{"scale", carry.FaultScale, 1.15, 1.15, 1.15},
	} {
		r := newRig(t, move(0, 0, 1, 1500), move(1, 0, 1, 1500), move(1, 1, 1, 1500))
		r.body = dynamics.Start(r.craft, r.place, r.place.TakeOff, 0)
		mark := r.body.PosW
		r.show = func(posW kernel.Vec3) kernel.Vec3 { return c.fault.Show(mark, posW) }
		r.take(hands.StepPickUp, 0)
		for i, want := range []float64{c.up, c.forward, c.left} {
			r.take(hands.StepCarry, uint8(i))
			scale, ok := r.s.Facts.Scale(i)
			require.True(t, ok)
			assert.InDelta(t, want, scale, 0.01, "%s, move %d", c.name, i+1)
		}
		fault, ok := carry.ParseFault(c.name)
		assert.True(t, ok && fault == c.fault && fault.String() == c.name)
	}

	r := newRig(t, there...)
	r.show = func(posW kernel.Vec3) kernel.Vec3 { return posW.Add(kernel.Vec3{X: float64(r.tick) * 1e-6}) }
	r.take(hands.StepPickUp, 0)
	assert.Zero(t, r.s.OffShare())
	for i := range there {
		r.take(hands.StepCarry, uint8(i))
	}
	r.take(hands.StepSetDown, 0)
	down := r.s.Facts.DownAt
	assert.InDelta(t, float64(down)*1e-6, r.s.Facts.OffW.X, 1e-6)
	assert.InDelta(t, float64(down)*1e-6/r.s.Facts.Path, r.s.OffShare(), 1e-6)
}

// Goal: all faults of Params at once.
func TestValidate(t *testing.T) {
	p := carry.Params{Count: 4, Fault: 99}
	p.Moves[0] = move(0, 0, 1, 100)
	p.Moves[1] = move(3, 0, 1, 1000)
	p.Moves[2] = move(3, 0, -1, 5000)
	p.Moves[3] = move(3, 0, -0.5, 5000)
	err := p.Validate()
	require.Error(t, err)
	for _, words := range []string{"no such fault", "move 1 takes 100 ms", "move 2 reaches 5.9 m/s", "move 3 leads below", "move 4 leads below"} {
		assert.ErrorContains(t, err, words)
	}
	p.Count = carry.MaxMoves + 1
	assert.ErrorContains(t, p.Validate(), "moves")
}

// Goal: a hand costs no memory.
func TestHoldAllocatesNothing(t *testing.T) {
	r := newRig(t, there...)
	r.take(hands.StepPickUp, 0)
	assert.Zero(t, testing.AllocsPerRun(200, func() { r.run(1) }))
}
