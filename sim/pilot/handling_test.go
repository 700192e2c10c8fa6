package pilot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

var fourHands = []struct {
	name string
	hand Hand
}{{"unaware", UnawareHand()}, {"expert", ExpertHand()}, {"trained", TrainedHand()}, {"novice", NoviceHand()}}

// handle flies legs on a toy craft until they are over.
func handle(t *testing.T, craft *toy, hand Hand, most int, legs ...Leg) (*Executor, int) {
	t.Helper()
	e := NewExecutor(planOf(legs...), hand, 5)
	for i := range most {
		craft.turn(&e)
		if e.Progress.Done(e.plan) {
			return &e, i
		}
	}
	require.Fail(t, "not over", "%+v", legs)
	return &e, most
}

// Goal: a turn ends at its angle, either way round, at its rate, and in place;
// on an arc the craft flies a circle of its radius. Method: toy craft in
// position-hold; a quarter turn of radius R leads R ahead and R aside.
func TestTurn(t *testing.T) {
	for _, f := range fourHands {
		for _, angle := range []float64{math.Pi / 2, -math.Pi / 2, 2 * math.Pi} {
			craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
			_, looks := handle(t, craft, f.hand, 2000, Leg{Do: LegTurn, Angle: angle, Rate: 0.7})
			assert.InDelta(t, angle, craft.yaw, 0.12, f.name)
			assert.InDelta(t, math.Abs(angle)/0.7, float64(looks)*look, 2.5, f.name)
			assert.Less(t, craft.posW.NormXY(), 0.05, "in place")
		}
		craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
		handle(t, craft, f.hand, 2000, Leg{Do: LegTurn, Angle: math.Pi / 2, Rate: 0.4, Radius: 1})
		assert.InDelta(t, 1, craft.posW.X, 0.35, f.name)
		assert.InDelta(t, 1, craft.posW.Y, 0.35, f.name)
	}
}

// Goal: the new heading is kept after a turn by eye, and the place is held
// meanwhile.
func TestTurnInAttitude(t *testing.T) {
	craft := flying(kernel.Vec3{Z: 1.2}, hands.Attitude)
	handle(t, craft, TrainedHand(), 3000, Leg{Do: LegTurn, Angle: 2, Rate: 0.5}, Leg{Do: LegHold, For: 5000})
	assert.InDelta(t, 2, craft.yaw, 0.3)
	assert.Less(t, craft.posW.NormXY(), 0.6)
}

// Goal: a move ends at its place, by eye and in position-hold, and the craft
// stays there.
func TestMove(t *testing.T) {
	to := kernel.Vec3{X: 1.2, Y: -0.8, Z: 1.6}
	for _, f := range fourHands {
		for _, r := range []hands.Response{hands.Attitude, hands.HeightHold, hands.PositionHold} {
			craft := flying(kernel.Vec3{Z: 1.2}, r)
			handle(t, craft, f.hand, 3000, Leg{Do: LegMove, PlaceW: to}, Leg{Do: LegHold, For: 3000})
			assert.Less(t, craft.posW.Sub(to).NormXY(), 0.9, "%s, %s", f.name, r)
			assert.InDelta(t, to.Z, craft.posW.Z, 0.35, "%s, %s", f.name, r)
		}
	}
}

// Goal: who takes off in position-hold trusts it: no stick but the throttle.
func TestLiftInPositionHold(t *testing.T) {
	craft := newToy()
	e := NewExecutor(planOf(Leg{Do: LegArm}, Leg{Do: LegLift, Height: 1, Response: hands.PositionHold},
		Leg{Do: LegHold, For: 60000}), NoviceHand(), 1)
	for range 700 {
		craft.turn(&e)
		require.True(t, percept.CommandsNothing(&craft.h))
	}
	assert.Equal(t, hands.PositionHold, craft.actual)
	assert.InDelta(t, 1, craft.posW.Z, 0.25)
}

// Goal: from path a person goes into attitude with the throttle at the hover
// mark, and to rest.
func TestTakeOver(t *testing.T) {
	for _, f := range fourHands {
		craft := flying(kernel.Vec3{X: -1, Z: 1.2}, hands.Path)
		craft.velW.X = 1
		e := NewExecutor(planOf(Leg{Do: LegTakeOver}), f.hand, 1)
		d := &diary{pilot: &e, before: craft.h}
		for range 1000 {
			craft.turn(d)
			if e.Progress.Done(e.plan) {
				break
			}
		}
		require.True(t, e.Progress.Done(e.plan), f.name)
		assert.Equal(t, []string{"attitude"}, d.said, f.name)
		assert.Less(t, d.worst, 0.2, f.name)
		assert.Less(t, craft.velW.NormXY(), quietSpeed, f.name)
		assert.False(t, craft.hit, f.name)
	}
}

// Goal: cut-off practice, the trap of releasing it with the throttle up, and
// motors that idle. Method: the hands at the end of each leg.
func TestCutOffReleaseAndIdle(t *testing.T) {
	craft := newToy()
	handle(t, craft, TrainedHand(), 1000, Leg{Do: LegArm}, Leg{Do: LegIdle, For: 2000})
	assert.True(t, craft.armed && craft.h.Throttle == 0)
	handle(t, craft, TrainedHand(), 1000, Leg{Do: LegCutOff})
	assert.Equal(t, hands.Hands{Response: hands.Attitude, CutOff: true, Armed: true}, craft.h)
	handle(t, craft, TrainedHand(), 1000, Leg{Do: LegRelease, Throttle: 0.3})
	assert.Equal(t, hands.Hands{Response: hands.Attitude, Throttle: 300, Armed: true}, craft.h)
}

// Goal: each leg of handling ends when the percept shows its end, and not
// before.
func TestProgressOfHandling(t *testing.T) {
	long := func(pr *Progress, plan *Plan, p percept.Percept, h hands.Hands) bool {
		for i := range int64(60) {
			p.Tick = 1000 + i*percept.Every
			pr.Advance(plan, &p, &h)
		}
		return pr.Done(plan)
	}
	still := percept.Percept{CutOff: true, Actual: hands.Attitude}
	for _, c := range []struct {
		name string
		leg  Leg
		h    hands.Hands
		not  func(p *percept.Percept, h *hands.Hands)
	}{
		{"turn", Leg{Do: LegTurn, Angle: 0.05}, hands.Hands{}, func(p *percept.Percept, _ *hands.Hands) { p.YawRate = -0.5 }},
		{"move", Leg{Do: LegMove}, hands.Hands{}, func(p *percept.Percept, _ *hands.Hands) { p.PosW.X = 0.5 }},
		{"move, too high", Leg{Do: LegMove}, hands.Hands{}, func(p *percept.Percept, _ *hands.Hands) { p.PosW.Z = 0.5 }},
		{"cut-off", Leg{Do: LegCutOff}, hands.Hands{CutOff: true}, func(p *percept.Percept, _ *hands.Hands) { p.MotorsTurn = true }},
		{"release", Leg{Do: LegRelease}, hands.Hands{}, func(_ *percept.Percept, h *hands.Hands) { h.CutOff = true }},
		{"idle", Leg{Do: LegIdle, For: 1000}, hands.Hands{}, nil},
		{"take-over", Leg{Do: LegTakeOver}, hands.Hands{Response: hands.Attitude},
			func(p *percept.Percept, _ *hands.Hands) { p.VelW.X = 0.5 }},
		{"carry", Leg{Do: LegCarry}, hands.Hands{Step: hands.StepSetDown},
			func(p *percept.Percept, _ *hands.Hands) { p.Held = true }},
		{"prompts", Leg{Do: LegPrompts}, hands.Hands{}, func(p *percept.Percept, _ *hands.Hands) { p.Prompts = 1 }},
	} {
		plan := planOf(c.leg)
		p, h := still, c.h
		if c.not != nil {
			c.not(&p, &h)
			var pr Progress
			assert.False(t, long(&pr, plan, p, h), c.name)
		}
		now, once := percept.Percept{CutOff: true, Actual: hands.Attitude}, c.h
		var pr Progress
		pr.Advance(plan, &now, &once)
		once.Step = hands.StepNone
		assert.True(t, pr.Done(plan) || long(&pr, plan, now, once), c.name)
	}
}
