package pilot

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// answering puts a person into a drill at the cue: it noticed and acts at once.
func answering(profile Profile, drill *judge.Drill, seed uint64) *Person {
	profile.WrongFirst, profile.Omit, profile.Unmatched = 0, 0, 0
	x := NewPerson(briefed(), drill, &profile, seed)
	x.exec.Progress.Leg = 5 // the hold
	x.noticed, x.acts, x.flown = 0, 0, true
	return &x
}

// drillWith returns a drill of one deed and the landing.
func drillWith(class judge.Class, deed judge.Deed) *judge.Drill {
	d := drillOf(class, oneOf(true, deed.Kind), oneOf(false, judge.DeedTouchdown))
	d.Demands[0].AnyOf[0] = deed
	return d
}

// Goal: what is flown is done, and the person goes on to the next demand.
// Method: toy craft; for each deed a start that calls for it and the condition,
// as the judge asks it, at the look in which the person goes on.
func TestDeedsThatAreFlown(t *testing.T) {
	person := kernel.Vec3{X: 1.2}
	for _, c := range []struct {
		name string
		deed judge.Deed
		r    hands.Response
		set  func(t *toy)
		done func(t *toy, began *hands.Hands) bool
	}{
		{"yaw stopped", judge.Deed{Kind: judge.DeedYawStopped}, hands.PositionHold,
			func(t *toy) { t.h.Yaw = 700 }, func(t *toy, _ *hands.Hands) bool { return math.Abs(t.yawRate) < 0.17 }},
		{"sticks neutral", judge.Deed{Kind: judge.DeedSticksNeutral}, hands.Attitude,
			func(t *toy) { t.h.Roll, t.h.Pitch = 500, -400 },
			func(t *toy, _ *hands.Hands) bool { return percept.CommandsNothing(&t.h) }},
		{"throttle eased", judge.Deed{Kind: judge.DeedEaseThrottle, Level: 0.1}, hands.HeightHold,
			func(t *toy) { t.h.Throttle = 700 }, func(t *toy, was *hands.Hands) bool { return t.h.Throttle < was.Throttle-100 }},
		{"away from a person", judge.Deed{Kind: judge.DeedMoveAway, Level: 0.5}, hands.PositionHold, nil,
			func(t *toy, _ *hands.Hands) bool { return t.posW.Sub(person).NormXY() > 1.2+0.5 }},
		{"away from a person by hand", judge.Deed{Kind: judge.DeedMoveAway, Level: 0.5}, hands.Attitude, nil,
			func(t *toy, _ *hands.Hands) bool { return t.posW.Sub(person).NormXY() > 1.2+0.5 }},
		{"throttle corrected", judge.Deed{Kind: judge.DeedCorrectThrottle}, hands.Attitude,
			func(t *toy) { t.velW.Z, t.h.Throttle = 1.2, 600 }, func(t *toy, _ *hands.Hands) bool { return math.Abs(t.velW.Z) < 0.3 }},
	} {
		for _, profile := range []Profile{Ideal(), Expert(), Trained(), Novice()} {
			craft := flying(kernel.Vec3{Z: 1.2}, c.r)
			craft.personW = person
			if c.set != nil {
				c.set(craft)
				craft.late = [2]hands.Hands{craft.h, craft.h}
			}
			x, began, done := answering(profile, drillWith(judge.ClassB, c.deed), 3), craft.h, false
			for range 400 {
				craft.turn(x)
				if x.step > 0 {
					done = true
					break
				}
			}
			require.True(t, done, "%s, %s", c.name, profile.Name)
			assert.True(t, c.done(craft, &began), "%s, %s", c.name, profile.Name)
			assert.Less(t, craft.p.Tick, int64(patience), "%s, %s: it came about", c.name, profile.Name)
			for range 1200 {
				craft.turn(x)
			}
			assert.True(t, craft.onFloor(), "%s, %s: then landed", c.name, profile.Name)
			assert.False(t, craft.hit, "%s, %s", c.name, profile.Name)
		}
	}
}

// Goal: a craft near a wall is moved to where there was most room in the flight.
func TestMoveClear(t *testing.T) {
	craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
	x := answering(Trained(), drillWith(judge.ClassB, judge.Deed{Kind: judge.DeedMoveClear, Level: 0.4}), 3)
	x.acts = 1000
	for range 40 {
		craft.turn(x)
	}
	craft.posW.X = 2.6
	for range 200 {
		craft.turn(x)
	}
	assert.Positive(t, x.step)
	assert.Greater(t, craft.p.Wall, 0.4+0.4)
}

// Goal: the throttle is held at its lowest for as long as is asked, and what
// cannot come about does not keep a person for ever.
func TestHoldLowestAndPatience(t *testing.T) {
	x := answering(Trained(), drillWith(judge.ClassA, judge.Deed{Kind: judge.DeedHoldLowest, Level: 2}), 1)
	h := hands.Hands{Throttle: 300, Armed: true}
	p := percept.Percept{OnFloor: true, Armed: true, MotorsTurn: true, HoverStick: 0.4}
	for x.step == 0 {
		x.Act(&p, &h)
		p.Tick += percept.Every
	}
	assert.InDelta(t, 2000, p.Tick, 250)

	craft := flying(kernel.Vec3{Z: 1.2}, hands.PositionHold)
	craft.onlyOnce = func(t *toy) { t.yawRate, t.p.YawRate = 1, 1 }
	x = answering(Trained(), drillWith(judge.ClassB, judge.Deed{Kind: judge.DeedYawStopped}), 1)
	for range 400 {
		craft.turn(x)
	}
	assert.Positive(t, x.step)
}

// Goal: with the tail taken for the nose every correction goes the wrong way,
// until the person holds still and looks where the nose points. Method: a hover
// by eye with a yaw that seems turned by half a circle from the start; the
// distance from the place while nobody notices, and after the drill's answer; who
// does not find out goes on the wrong way.
func TestNoseMistaken(t *testing.T) {
	drill := drillOf(judge.ClassB, oneOf(true, judge.DeedSticksNeutral), oneOf(false, judge.DeedArrest))
	fly := func(lost float64, looks int, answers bool) *toy {
		profile := Trained()
		profile.Lost = lost
		x := answering(profile, drill, 3)
		if !answers {
			x.noticed, x.acts = judge.Never, judge.Never
		}
		craft := flying(kernel.Vec3{X: 0.1, Z: 1.2}, hands.Attitude)
		craft.halls = 50
		x.exec.placeW, x.exec.has, x.exec.leg = kernel.Vec3{Z: 1.2}, true, 5
		x.exec.Progress.Since = 0
		craft.onlyOnce = func(t *toy) { t.p.Yaw = wrapped(t.yaw + math.Pi) }
		for range looks {
			craft.turn(x)
		}
		return craft
	}
	nobody := fly(0, 200, false)
	assert.Greater(t, nobody.posW.NormXY(), 1.0, "pushes the wrong way")
	found := fly(0, 300, true)
	assert.Less(t, found.posW.NormXY(), 0.8)
	assert.Less(t, found.velW.NormXY(), 0.4)
	lost := fly(1, 300, true)
	assert.Greater(t, lost.posW.NormXY(), 1.0)
}

// Goal: the wrong first actions are those that the drill names, by the
// profile's weights, and to freeze. Method: 3,000 numbers over a drill that names
// three, one of them a step.
func TestWrongActionsOfADrill(t *testing.T) {
	d := slide()
	d.Commissions[0].Deed.Kind = judge.DeedReselect
	d.Commissions[1].Deed = judge.Deed{Kind: judge.DeedStep, Step: hands.StepApproach}
	d.Commissions[2].Deed.Kind = judge.DeedFalseFind // nothing a person does at an event
	d.CommissionCount = 3
	count := func(profile Profile, d *judge.Drill) map[Wrong]int {
		x := NewPerson(briefed(), d, &profile, 1)
		n := map[Wrong]int{}
		for i := range 3000 {
			w, step := x.drawWrong((float64(i) + 0.5) / 3000)
			assert.Equal(t, w == WrongStep, step == hands.StepApproach && w == WrongStep)
			n[w]++
		}
		return n
	}
	f := Novice()
	sum := f.Weights[WrongFreeze] + f.Weights[WrongReselect] + f.Weights[WrongStep]
	got := count(f, d)
	assert.Len(t, got, 3)
	for _, w := range []Wrong{WrongFreeze, WrongReselect, WrongStep} {
		assert.InDelta(t, 3000*f.Weights[w]/sum, got[w], 2, "%s", w)
	}
	assert.Len(t, count(Trained(), slide()), 3, "a drill that names none: the profile's own")
	for k := judge.DeedNone + 1; k.String() != "unknown"; k++ {
		assert.Less(t, wrongOf(&judge.Deed{Kind: k}), wrongCount)
	}
}
