package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Goal: safe is standing with the motors stopped, secured are the four last steps
// each at the look in which it is first so; none of it before it has flown, nor
// in the air.
func TestSafeAndSecured(t *testing.T) {
	s := flight()
	s.h.Throttle, s.h.CutOff, s.h.Step = 0, true, hands.StepBatteryOut
	s.look(5)
	assert.Equal(t, [4]int64{Never, Never, Never, Never}, s.f.Secured, "in the air")

	s = flight()
	s.land()
	s.craft.VelW.X = 0.5 // it slides
	s.look(5)
	assert.Equal(t, Never, s.f.Safe, "motors turn")
	s.h.Throttle = 0
	lowest := s.look(5)
	s.stop()
	disarmed := s.look(5)
	assert.Equal(t, Never, s.f.Safe, "it still slides")
	s.craft.VelW.X = 0
	safe := s.look(5)
	s.h.CutOff = true
	cut := s.look(5)
	s.h.Step = hands.StepBatteryOut
	out := s.look(5)
	assert.Equal(t, safe, s.f.Safe)
	assert.Equal(t, [4]int64{lowest, disarmed, cut, out}, s.f.Secured)

	s = &stage{f: Start(), onset: Never}
	s.land()
	s.h = hands.Rest()
	s.look(5)
	assert.Equal(t, Never, s.f.Safe, "it has not flown yet")
}

// Goal: the person has disarmed when the arming switch says so too, not when the
// craft did it by itself.
func TestACraftThatDisarmsItself(t *testing.T) {
	s := flight()
	s.land()
	s.stop()
	s.h.Armed = true
	s.look(5)
	assert.Equal(t, Never, s.f.Secured[1])
	s.h.Armed = false
	at := s.look(1)
	assert.Equal(t, at, s.f.Secured[1])
}

// Goal: a craft that falls with its motors stopped is not safe before it lies on
// the floor. Method: cut off while it rises slowly: it stands still in the air at
// the top of its way.
func TestAFallingCraftIsNotSafe(t *testing.T) {
	s := flight()
	s.h.CutOff = true
	s.stop()
	s.craft.VelW = dynamics.Vec3{}
	s.look(2)
	assert.Equal(t, Never, s.f.Safe)
	s.craft.VelW.Z = -4
	s.look(5)
	s.land()
	at := s.look(5)
	assert.Equal(t, at, s.f.Safe)
}

// Goal: the clock starts at the cue that comes first, each with its own time to
// last; what was there before the onset counts from the onset. Method: two rules,
// one at once and one after half a second.
func TestTheFirstCueCounts(t *testing.T) {
	cases := []struct {
		name       string
		slide      float64
		away       float64
		rule       int64
		after      int64 // ticks from the onset
		cued       bool
		seenBefore bool
	}{
		{"nothing", 0, 0, 0, 0, false, false},
		{"slide lasts", 0.2, 0, 0, 500, true, false},
		{"away at once", 0.2, 0.4, 1, 0, true, false},
		{"slide from before", 0.2, 0, 0, 500, true, true},
		{"at the level is not above it", 0.15, 0.3, 0, 0, false, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := flight()
			s.d.CueCount = 2
			s.d.Cues[0] = percept.Rule{Sign: percept.SignSlide, Above: 0.15, For: 500}
			s.d.Cues[1] = percept.Rule{Sign: percept.SignAway, Above: 0.3}
			if c.seenBefore {
				s.p.Uncommanded = c.slide
			}
			s.look(50)
			assert.Equal(t, Never, s.f.Cue)
			s.onset = s.tick
			s.p.Uncommanded, s.p.Away = c.slide, c.away
			s.p.HoldW = dynamics.Vec3{X: 1, Y: -2}
			s.craft.PosW.X = 0.7
			s.look(50)
			assert.Equal(t, s.onset, s.f.Onset)
			if !c.cued {
				assert.Equal(t, Never, s.f.Cue)
				return
			}
			assert.Equal(t, s.onset+c.after, s.f.Cue)
			assert.Equal(t, c.rule, s.f.CueRule)
			assert.Equal(t, 0.7, s.f.CueW.X)
			assert.Equal(t, s.h, s.f.CueHands)
			assert.InDelta(t, 1, s.f.Margin, 1e-12, "m, from y = −2 to the cage at −3")
		})
	}
}

// Goal: a sign that comes and goes is no cue. Method: half a second is asked for;
// show it for 0.4 s, again and again.
func TestAnInterruptedSignIsNoCue(t *testing.T) {
	s := flight()
	s.d.CueCount, s.d.Cues[0] = 1, percept.Rule{Sign: percept.SignSlide, Above: 0.15, For: 500}
	s.onset = s.tick
	for range 10 {
		s.p.Uncommanded = 0.5
		s.look(20)
		s.p.Uncommanded = 0
		s.look(1)
	}
	assert.Equal(t, Never, s.f.Cue)
}

// Goal: the extremes of the flight are those between the cue and the first touch
// of the floor, whose speed is kept, also when something hard came before.
func TestExtremesEndAtTheFloor(t *testing.T) {
	s := flight()
	s.p.Wall, s.p.Tilt = 0.1, 1
	s.look(5)
	s.p.Wall, s.p.Tilt = 2, 0.1
	s.cued()
	s.craft.PosW.X, s.p.Wall, s.p.Tilt = 0.9, 0.7, 0.4
	s.look(5)
	s.craft.PosW.X, s.p.Wall, s.p.Tilt = 0.2, 1.5, 0.1
	s.craft.Touch.Kinds = dynamics.TouchNet
	hard := s.tick
	s.tickOn()
	s.craft.Touch = dynamics.Touch{}
	s.look(5)
	s.land()
	s.craft.Touch.Speed = 0.8
	down := s.tick
	s.tickOn()
	s.craft.Touch.Speed = 0
	s.craft.PosW.X, s.p.Wall, s.p.Tilt = 2, 0.05, 1.5
	s.look(5)
	f := &s.f
	assert.Equal(t, []int64{hard, down}, []int64{f.Hard, f.FloorTouch})
	assert.Equal(t, 0.8, f.Touchdown)
	assert.InDeltaSlice(t, []float64{0.9, 0.7, 0.4}, []float64{f.MaxAway, f.MinWall, f.MaxTilt}, 1e-12)
}

// Goal: a guard on the floor is a touch of the floor: a craft that falls on its
// back has come down.
func TestAnyPartTouchesTheFloor(t *testing.T) {
	s := flight().cued()
	s.craft.Touch = dynamics.Touch{Kinds: dynamics.TouchRotorFloor, Speed: 4}
	at := s.tick
	s.tickOn()
	s.craft.Touch = dynamics.Touch{}
	s.look(5)
	s.land()
	s.look(5)
	assert.Equal(t, at, s.f.FloorTouch)
	assert.Equal(t, 4.0, s.f.Touchdown)
}

// Goal: without an event clearance and touchdown are noted from take-off on, and
// no excursion, for which there is no place.
func TestExtremesWithoutAnEvent(t *testing.T) {
	s := flight()
	s.noEvent = true
	s.p.Wall, s.craft.PosW.X = 0.4, 1
	s.look(5)
	s.p.Wall = 2
	s.land()
	s.craft.Touch.Speed = 0.6
	s.look(2)
	assert.Equal(t, []float64{0.4, 0.6, 0}, []float64{s.f.MinWall, s.f.Touchdown, s.f.MaxAway})
}

// Goal: the call-out of the event counts after its onset, the first time; in a
// run without an event from the beginning.
func TestCallOut(t *testing.T) {
	s := flight()
	s.d.Call = hands.CallTakingOver
	s.h.Call = hands.CallTakingOver
	s.look(1)
	s.h.Call = hands.CallNone
	s.look(1)
	assert.Equal(t, Never, s.f.CallMade, "before the event")
	s.cued()
	s.h.Call = hands.CallTakingOver
	at := s.look(1)
	s.h.Call = hands.CallNone
	s.look(5)
	s.h.Call = hands.CallTakingOver
	s.look(1)
	assert.Equal(t, at, s.f.CallMade)

	s = flight()
	s.noEvent, s.d.Call, s.h.Call = true, hands.CallMotorsSafe, hands.CallMotorsSafe
	at = s.look(1)
	assert.Equal(t, at, s.f.CallMade)
}

// Goal: in a catch run, where nothing comes, completing the plan is the demand,
// and there is no cue and no onset whatever is seen.
func TestCatchRun(t *testing.T) {
	s := flight()
	s.noEvent = true
	s.d.Class = ClassN
	s.d.CueCount, s.d.Cues[0] = 1, percept.Rule{Sign: percept.SignSlide, Above: 0.15}
	s.d.DemandCount = 1
	s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedPlanDone}}, Count: 1, Within: NoLimit, First: true, Critical: true}
	s.p.Uncommanded = 1
	s.look(50)
	assert.Equal(t, Never, s.f.Done[0])
	s.planDone = true
	at := s.look(2)
	assert.Equal(t, []int64{at, at, Never, Never}, []int64{s.f.Done[0], s.f.Complete, s.f.Cue, s.f.Onset})
}

// Goal: a limit of the flight counts in the air, after its time, before the cue
// as well.
func TestExceedances(t *testing.T) {
	s := flight()
	s.d.ExceedanceCount = 1
	s.d.Exceedances[0] = Exceedance{Rule: percept.Rule{Sign: percept.SignSpeed, Above: 2, For: 200}, Grade: Minor}
	s.craft.VelW.X = 3
	at := s.look(10)
	assert.Equal(t, Never, s.f.Exceeded[0], "too short")
	s.look(1)
	assert.Equal(t, at+200, s.f.Exceeded[0])

	s = flight()
	s.d.ExceedanceCount = 1
	s.d.Exceedances[0] = Exceedance{Rule: percept.Rule{Sign: percept.SignSpeed, Above: 2}}
	s.land()
	s.craft.VelW.X = 3
	s.look(10)
	assert.Equal(t, Never, s.f.Exceeded[0], "on the floor")
}

// Goal: no allocation in the tick.
func TestNoteAllocatesNothing(t *testing.T) {
	s := flight().cued()
	assert.Zero(t, testing.AllocsPerRun(1000, func() { s.tickOn() }))
}
