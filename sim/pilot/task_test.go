package pilot

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// briefed is a plan with every kind of leg but a path.
func briefed() *Plan {
	legs := []Leg{
		{Do: LegCall, Call: hands.CallAreaClear},
		{Do: LegArm},
		{Do: LegLift, Height: 1.2},
		{Do: LegHold, For: 3000},
		{Do: LegEngage, Response: hands.PositionHold},
		{Do: LegHold, For: 10000},
		{Do: LegEngage, Response: hands.Attitude},
		{Do: LegLand},
		{Do: LegDisarm},
		{Do: LegCall, Call: hands.CallMotorsSafe},
		{Do: LegStep, Step: hands.StepBatteryOut},
	}
	return planOf(legs...)
}

func planOf(legs ...Leg) *Plan {
	var p Plan
	p.Count = copy(p.Legs[:], legs)
	return &p
}

// diary notes what a pilot did: the tick of each call, step and switch.
type diary struct {
	pilot   Pilot
	said    []string
	at      []int64
	before  hands.Hands
	worst   float64 // share by which the throttle was off the hover mark on entering direct thrust
	matched bool
}

func (d *diary) Act(p *percept.Percept, h *hands.Hands) {
	d.pilot.Act(p, h)
	note := func(is bool, what string) {
		if is {
			d.said, d.at = append(d.said, what), append(d.at, p.Tick)
		}
	}
	note(h.Call != 0, h.Call.String())
	note(h.Step != 0, h.Step.String())
	note(h.CutOff != d.before.CutOff && h.CutOff, "cut-off")
	note(h.CutOff != d.before.CutOff && !h.CutOff, "release")
	note(h.Armed && !d.before.Armed, "arm")
	note(!h.Armed && d.before.Armed, "disarm")
	note(h.Response != d.before.Response, h.Response.String())
	note(h.Throttle == 0 && d.before.Throttle > 0, "lowest")
	if d.before.Response.HoldsHeight() && !h.Response.HoldsHeight() {
		d.worst = max(d.worst, abs(hands.Share(h.Throttle)/p.HoverStick-1))
	}
	d.before = *h
}

func abs(x float64) float64 { return max(x, -x) }

func (d *diary) tickOf(what string) int64 {
	for i, w := range d.said {
		if w == what {
			return d.at[i]
		}
	}
	return judge.Never
}

// Goal: the executor flies the plan in order, and secures the craft. Method: toy
// craft, every hand; the order of switches and calls, the height, the touchdown,
// and the throttle match are compared with what the plan says.
func TestExecutorFliesThePlan(t *testing.T) {
	for _, hand := range []Hand{UnawareHand(), ExpertHand(), TrainedHand(), NoviceHand()} {
		craft, plan := newToy(), briefed()
		e := NewExecutor(plan, hand, 3)
		d := &diary{pilot: &e, before: craft.h}
		highest := 0.0
		var watched Progress
		for range 2000 {
			craft.turn(d)
			watched.Advance(plan, &craft.p, &craft.h)
			highest = max(highest, craft.posW.Z)
		}
		require.True(t, e.Progress.Done(plan), "leg %d of %v", e.Progress.Leg, d.said)
		assert.Equal(t, e.Progress, watched, "progress is the same for whoever watches")
		assert.Equal(t, []string{"area-clear", "release", "arm", "position-hold", "attitude", "lowest", "disarm",
			"cut-off", "motors-safe", "battery-out"}, d.said)
		assert.InDelta(t, 1.2, highest, 0.35)
		assert.Less(t, craft.touched, map[bool]float64{true: 0.65, false: 0.5}[hand == NoviceHand()], "touchdown speed")
		assert.Less(t, d.worst, 0.2, "throttle matched to the hover mark")
		assert.False(t, craft.hit)
		assert.Equal(t, hands.Hands{Response: hands.Attitude, CutOff: true}, craft.h)
	}
}

// Goal: position-hold is landed by throttle, and a plan that ends in the air is
// brought down and secured all the same.
func TestExecutorLandsFromPositionHold(t *testing.T) {
	craft := newToy()
	plan := planOf(Leg{Do: LegArm}, Leg{Do: LegLift, Height: 1}, Leg{Do: LegEngage, Response: hands.PositionHold})
	e := NewExecutor(plan, TrainedHand(), 1)
	d := &diary{pilot: &e, before: craft.h}
	for range 2000 {
		craft.turn(d)
	}
	assert.Equal(t, []string{"release", "arm", "position-hold", "lowest", "disarm", "cut-off", "motors-safe",
		"battery-out"}, d.said)
	assert.Less(t, craft.touched, 0.5)
}

// Goal: a lift is over only after a second within 0.15 m.
func TestProgressOfLift(t *testing.T) {
	plan := planOf(Leg{Do: LegLift, Height: 1})
	var pr Progress
	var h hands.Hands
	at := func(tick int64, z float64) bool {
		pr.Advance(plan, &percept.Percept{Tick: tick, PosW: kernel.Vec3{Z: z}}, &h)
		return pr.Done(plan)
	}
	assert.False(t, at(20, 0.9))
	assert.False(t, at(500, 1.2), "too high: begins anew")
	assert.False(t, at(520, 1.1))
	assert.False(t, at(1500, 1.0))
	assert.True(t, at(1520, 1.0))
}

// Goal: each kind of leg ends when the percept shows its end, and not before.
func TestProgressOfLegs(t *testing.T) {
	for _, c := range []struct {
		name string
		leg  Leg
		p    percept.Percept
		h    hands.Hands
		not  func(p *percept.Percept, h *hands.Hands)
	}{
		{"call", Leg{Do: LegCall, Call: hands.CallAreaClear}, percept.Percept{}, hands.Hands{Call: hands.CallAreaClear},
			func(_ *percept.Percept, h *hands.Hands) { h.Call = hands.CallStop }},
		{"step", Leg{Do: LegStep, Step: hands.StepBatteryIn}, percept.Percept{}, hands.Hands{Step: hands.StepBatteryIn},
			func(_ *percept.Percept, h *hands.Hands) { h.Step = hands.StepNone }},
		{"arm", Leg{Do: LegArm}, percept.Percept{Armed: true}, hands.Hands{},
			func(p *percept.Percept, _ *hands.Hands) { p.Armed = false }},
		{"engage", Leg{Do: LegEngage, Response: hands.PositionHold}, percept.Percept{Actual: hands.PositionHold},
			hands.Hands{Response: hands.PositionHold},
			func(p *percept.Percept, _ *hands.Hands) { p.Actual = hands.Attitude }},
		{"hold", Leg{Do: LegHold, For: 5000}, percept.Percept{Tick: 5000}, hands.Hands{},
			func(p *percept.Percept, _ *hands.Hands) { p.Tick = 4980 }},
		{"land", Leg{Do: LegLand}, percept.Percept{OnFloor: true}, hands.Hands{},
			func(_ *percept.Percept, h *hands.Hands) { h.Throttle = 1 }},
		{"disarm", Leg{Do: LegDisarm}, percept.Percept{CutOff: true}, hands.Hands{CutOff: true},
			func(p *percept.Percept, _ *hands.Hands) { p.Armed = true }},
	} {
		plan := planOf(c.leg)
		p, h := c.p, c.h
		c.not(&p, &h)
		var pr Progress
		pr.Advance(plan, &p, &h)
		assert.False(t, pr.Done(plan), c.name)
		pr.Advance(plan, &c.p, &c.h)
		assert.True(t, pr.Done(plan), c.name)
		pr.Advance(plan, &c.p, &c.h)
		assert.EqualValues(t, 1, pr.Leg, "stays at the end")
	}
}

// Goal: the unaware pilot goes on from where it is put, in attitude at the
// plan's height and over the present spot, and a copy of it flies the same.
func TestUnawareGoesOn(t *testing.T) {
	craft := flying(kernel.Vec3{X: 0.5, Z: 1.0}, hands.Attitude)
	u := NewUnaware(briefed(), Progress{Leg: 3})
	for range 100 {
		craft.turn(&u)
	}
	fork, other := u, *craft
	for range 40 {
		craft.turn(&u)
		other.turn(&fork)
	}
	assert.Equal(t, *craft, other, "a fork is the same pilot")
	assert.InDelta(t, 1.2, craft.posW.Z, 0.1)
	assert.InDelta(t, 0.5, craft.posW.X, 0.1)
	for range 2500 {
		craft.turn(&u)
	}
	assert.True(t, craft.onFloor())
}

// Goal: arming by sticks holds yaw right at lowest throttle until armed.
func TestArmBySticks(t *testing.T) {
	hand := TrainedHand().With(Brief{Feel: DefaultFeel(), ArmBySticks: true})
	e := NewExecutor(planOf(Leg{Do: LegArm}, Leg{Do: LegHold, For: 10000}), hand, 1)
	h := hands.Rest()
	p := percept.Percept{OnFloor: true, HoverStick: 0.4}
	full := 0
	for i := range 200 {
		p.Tick = int64(i) * percept.Every
		e.Act(&p, &h)
		require.Zero(t, h.Throttle)
		require.False(t, h.Armed, "the switch is not used")
		if h.Yaw == hands.Full {
			full++
		} else if full < 50 {
			full = 0
		}
		p.Armed = full >= 50 // one second
	}
	assert.GreaterOrEqual(t, full, 50)
	assert.Zero(t, h.Yaw, "let go once armed")
}

// Goal: a path is followed until the station shows its end for a second.
func TestProgressOfFollow(t *testing.T) {
	plan := planOf(Leg{Do: LegFollow})
	var pr Progress
	var h hands.Hands
	at := func(tick int64, done bool, r hands.Response) bool {
		pr.Advance(plan, &percept.Percept{Tick: tick, PathDone: done, Actual: r}, &h)
		return pr.Done(plan)
	}
	assert.False(t, at(20, true, hands.Path))
	assert.False(t, at(900, false, hands.Path), "moves again: begins anew")
	assert.False(t, at(920, true, hands.Path))
	assert.False(t, at(1900, true, hands.PositionHold), "no path in force")
	assert.False(t, at(2000, true, hands.Path))
	assert.True(t, at(3000, true, hands.Path))
}
