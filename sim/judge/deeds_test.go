package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// Goal: each kind of deed is seen when it is done, at its level, and not before.
// Method: a craft in position-hold after the cue with the deed as its only
// demand; do not quite do it for a second, then do it: it is noted at the look in
// which it is done, or after the time that it must last.
func TestEachDeedIsSeen(t *testing.T) {
	nothing := func(*stage) {}
	cases := []struct {
		deed   Deed
		almost func(s *stage)
		do     func(s *stage)
		after  int64 // ticks that it must last
	}{
		{Deed{Kind: DeedRefuge}, func(s *stage) { s.h.Response = hands.Rate }, func(s *stage) { s.h.Response = hands.HeightHold }, 0},
		{Deed{Kind: DeedRefuge}, nothing, func(s *stage) { s.h.Response = hands.Attitude }, 0},
		{Deed{Kind: DeedAttitude}, func(s *stage) { s.h.Response = hands.HeightHold }, func(s *stage) { s.h.Response = hands.Attitude }, 0},
		{Deed{Kind: DeedPositionHold}, nothing, func(s *stage) { s.h.Response = hands.PositionHold }, 0},
		{Deed{Kind: DeedReselect}, func(s *stage) { s.h.Response = hands.Attitude }, func(s *stage) { s.h.Response = hands.Path }, 0},
		{Deed{Kind: DeedCutOff}, func(s *stage) { s.h.Throttle, s.h.Armed = 0, false }, func(s *stage) { s.h.CutOff = true }, 0},
		{Deed{Kind: DeedRelease}, func(s *stage) { s.h.CutOff = true }, func(s *stage) { s.h.CutOff = false }, 0},
		{Deed{Kind: DeedThrottleLowest}, func(s *stage) { s.h.Throttle = 1 }, func(s *stage) { s.h.Throttle = 0 }, 0},
		{Deed{Kind: DeedThrottleUp, Level: 0.1}, func(s *stage) { s.h.Response, s.h.Throttle = hands.Attitude, 600 }, func(s *stage) { s.h.Throttle = 601 }, 0},
		{Deed{Kind: DeedThrottleUp, Level: 0.1}, func(s *stage) { s.h.Throttle = 900 }, func(s *stage) { s.h.Response = hands.Attitude }, 0},
		{Deed{Kind: DeedThrottleOff, Level: 0.2}, func(s *stage) { s.h.Throttle = 300 }, func(s *stage) { s.h.Response = hands.Attitude }, 0},
		{Deed{Kind: DeedDisarm}, func(s *stage) { s.h.Armed = false }, func(s *stage) { s.status.Armed = false }, 0},
		{Deed{Kind: DeedDisarm}, func(s *stage) { s.status.Armed = false }, func(s *stage) { s.h.Armed = false }, 0}, // by itself is not by the person
		{Deed{Kind: DeedArrest, Level: 0.3}, func(s *stage) { s.craft.VelW.X = 0.31 }, func(s *stage) { s.craft.VelW.X = 0.29 }, 300},
		{Deed{Kind: DeedArrest, Level: 0.1}, func(s *stage) { s.craft.VelW.X = 0.2 }, func(s *stage) { s.craft.VelW.X = 0.05 }, 0},
		{Deed{Kind: DeedDescend}, func(s *stage) { s.h.Throttle = 200 }, func(s *stage) { s.craft.VelW.Z = -0.2 }, 300},
		{Deed{Kind: DeedDescend}, func(s *stage) { s.craft.PosW.Z -= 0.25 }, func(s *stage) { s.h.Throttle = 200 }, 0},
		{Deed{Kind: DeedDescend}, func(s *stage) { s.h.Throttle, s.h.CutOff, s.craft.VelW.Z = 0, true, -3 }, func(s *stage) { s.h.CutOff = false }, 0},
		{Deed{Kind: DeedDescend}, func(s *stage) { s.turn(0); s.h.Throttle, s.craft.VelW.Z = 200, -3 }, func(s *stage) { s.turn(1000) }, 0}, // falling is not landing
		{Deed{Kind: DeedTouchdown}, func(s *stage) { s.craft.PosW.Z = 0.07 }, func(s *stage) { s.land() }, 0},
		{Deed{Kind: DeedClimb, Level: 0.3}, func(s *stage) { s.craft.PosW.Z += 0.29 }, func(s *stage) { s.craft.PosW.Z += 0.02 }, 0},
		{Deed{Kind: DeedCall, Call: hands.CallPerson}, func(s *stage) { s.h.Call = hands.CallStop }, func(s *stage) { s.h.Call = hands.CallPerson }, 0},
		{Deed{Kind: DeedStep, Step: hands.StepBatteryOut}, func(s *stage) { s.h.Step = hands.StepPickUp }, func(s *stage) { s.h.Step = hands.StepBatteryOut }, 0},
		{Deed{Kind: DeedReturnSafe}, func(s *stage) { s.h.Response, s.h.Throttle = hands.Attitude, 0 }, func(s *stage) { s.h.Throttle = 400 }, 0},
		{Deed{Kind: DeedReturnSafe}, func(s *stage) { s.lostLink = safety.ActionMotorStop; s.h.CutOff = true }, func(s *stage) { s.h.Throttle = 0 }, 0},
		{Deed{Kind: DeedPositionStick, Level: 0.2}, func(s *stage) { s.h.Roll = 190 }, func(s *stage) { s.h.Pitch = 190 }, 0},
		{Deed{Kind: DeedYawOn, Level: 0.5}, func(s *stage) { s.p.YawRate = 0.49 }, func(s *stage) { s.p.YawRate = -0.51 }, 0},
		{Deed{Kind: DeedPlanDone}, nothing, func(s *stage) { s.planDone = true }, 0},
		{Deed{Kind: DeedLeaveCause}, nothing, func(s *stage) { s.h.Response = hands.HeightHold }, 0},
		{Deed{Kind: DeedYawStopped}, func(s *stage) { s.p.YawRate = -0.18 }, func(s *stage) { s.p.YawRate = 0.17 }, 300}, // 10 degrees a second are 0.1745 rad/s
		{Deed{Kind: DeedSticksNeutral}, func(s *stage) { s.h.Yaw = 101 }, func(s *stage) { s.h.Yaw = -100 }, 1000},
		{Deed{Kind: DeedSticksNeutral}, func(s *stage) { s.h.Yaw, s.p.OnFloor = 0, true; s.look(10) }, func(s *stage) { s.p.OnFloor = false }, 0},
		{Deed{Kind: DeedHoldLowest, Level: 0.5}, func(s *stage) { s.h.Throttle = 1 }, func(s *stage) { s.h.Throttle = 0 }, 500},
		{Deed{Kind: DeedEaseThrottle, Level: 0.2}, func(s *stage) { s.h.Throttle = 300 }, func(s *stage) { s.h.Throttle = 299 }, 0},
		{Deed{Kind: DeedMoveAway, Level: 0.5}, func(s *stage) { s.p.Person, s.p.Wall = 2, 9; s.look(1); s.p.Person = 2.5 }, func(s *stage) { s.p.Person = 2.51 }, 0},
		{Deed{Kind: DeedMoveClear, Level: 0.5}, func(s *stage) { s.p.Wall, s.p.Person = 1, 9; s.look(1); s.p.Wall = 1.5 }, func(s *stage) { s.p.Wall = 1.51 }, 0},
		{Deed{Kind: DeedCorrectThrottle}, func(s *stage) { s.p.Leap, s.craft.VelW.Z = 0.9, 0.9 }, func(s *stage) { s.craft.VelW.Z = -0.29 }, 200},
		{Deed{Kind: DeedCorrectThrottle}, func(s *stage) { s.p.Leap = 0.29 }, func(s *stage) { s.p.Leap = 0.31 }, 0},
		{Deed{Kind: DeedSwitchAbout, Level: 2}, func(s *stage) { s.h.Response = hands.Attitude; s.look(1); s.h.Response = hands.PositionHold }, func(s *stage) { s.h.Response = hands.Attitude }, 0},
		{Deed{Kind: DeedInspected}, nothing, func(s *stage) { s.work.Inspected = true }, 0},
		{Deed{Kind: DeedFoundAll}, nothing, func(s *stage) { s.work.FoundAll = true }, 0},
		{Deed{Kind: DeedFalseFind}, nothing, func(s *stage) { s.work.FalseFind = true }, 0},
		{Deed{Kind: DeedMissed}, nothing, func(s *stage) { s.work.Missed = true }, 0},
		{Deed{Kind: DeedVerdictRight}, func(s *stage) { s.h.Call = hands.CallNoGo }, func(s *stage) { s.h.Call = hands.CallGo }, 0},
		{Deed{Kind: DeedVerdictRight}, func(s *stage) { s.work.Unfit, s.h.Call = true, hands.CallGo }, func(s *stage) { s.h.Call = hands.CallNoGo }, 0},
		{Deed{Kind: DeedVerdictWrong}, func(s *stage) { s.h.Call = hands.CallGo }, func(s *stage) { s.h.Call = hands.CallNoGo }, 0},
		{Deed{Kind: DeedVerdictWrong}, func(s *stage) { s.work.Unfit, s.h.Call = true, hands.CallNoGo }, func(s *stage) { s.h.Call = hands.CallGo }, 0},
		{Deed{Kind: DeedPowerOrder}, nothing, func(s *stage) { s.work.PowerOrder = true }, 0},
		{Deed{Kind: DeedPromptsAnswered}, nothing, func(s *stage) { s.work.Prompted = true }, 0},
		{Deed{Kind: DeedWrongSwitch}, nothing, func(s *stage) { s.work.WrongSwitch = true }, 0},
		{Deed{Kind: DeedRefusalNamed}, func(s *stage) { s.p.Refused, s.h.Call = hands.CallRefusedTilt, hands.CallRefusedLink }, func(s *stage) { s.h.Call = hands.CallRefusedTilt }, 0},
		{Deed{Kind: DeedRefusalMisnamed}, func(s *stage) { s.p.Refused, s.h.Call = hands.CallRefusedTilt, hands.CallRefusedTilt }, func(s *stage) { s.h.Call = hands.CallRefusedLink }, 0},
		{Deed{Kind: DeedCarryDone}, nothing, func(s *stage) { s.work.Carried = true }, 0},
	}
	covered := map[DeedKind]bool{}
	for _, c := range cases {
		covered[c.deed.Kind] = true
		t.Run(c.deed.Kind.String(), func(t *testing.T) {
			s := flight()
			s.d.DemandCount = 1
			s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{c.deed}, Count: 1, Within: NoLimit, First: true}
			s.craft.VelW.X = 0.5 // not at rest, so that an arrest can be seen
			s.h.Yaw = 200        // a stick is held, so that letting go can be seen
			if c.deed.Kind == DeedYawStopped {
				s.p.YawRate = 1
			}
			if c.deed.Kind == DeedPositionHold {
				s.h.Response = hands.Path // else it would be selected already
			}
			s.cued()
			c.almost(s)
			s.look(50)
			require.Equal(t, Never, s.f.Done[0], "not yet")
			c.do(s)
			at := s.look(60)
			assert.InDelta(t, at+c.after, s.f.Done[0], 1)
			assert.Equal(t, s.f.Done[0], s.f.FirstRight)
			assert.Equal(t, s.f.Done[0], s.f.Complete)
		})
	}
	timed := map[DeedKind]bool{DeedStir: true, DeedStayPath: true, DeedStayPositionBased: true, DeedMotorsRun: true} // below
	for k := DeedNone + 1; k < deedCount; k++ {
		assert.True(t, covered[k] || timed[k], "%s is not tested", k)
		parsed, ok := ParseDeed(k.String())
		assert.True(t, ok && parsed == k, k.String())
	}
}

// Goal: what should not go on is noted once its time after the cue is over.
// Method: go on for 3 s with a level of 2 s, and, as the counter-example, end it
// after 1.5 s.
func TestGoingOnIsNoted(t *testing.T) {
	cases := []struct {
		kind DeedKind
		end  func(s *stage)
	}{
		{DeedStayPath, func(s *stage) { s.h.Response = hands.PositionHold }},
		{DeedStayPositionBased, func(s *stage) { s.h.Response = hands.Attitude }},
		{DeedMotorsRun, func(s *stage) { s.stop() }},
	}
	for _, c := range cases {
		for _, ends := range []bool{false, true} {
			s := flight()
			s.d.CommissionCount = 1
			s.d.Commissions[0] = Commission{Deed: Deed{Kind: c.kind, Level: 2}, Grade: Major}
			s.h.Response = hands.Path
			s.cued()
			s.look(74)
			if ends {
				c.end(s)
			}
			s.look(75)
			if ends {
				assert.Equal(t, Never, s.f.Committed[0], "%s, ended", c.kind)
			} else {
				assert.InDelta(t, s.f.Cue+2000, s.f.Committed[0], 21, "%s", c.kind)
			}
		}
	}
}

// Goal: stirring is told from leaning. Method: 2 reversals a second beyond half
// travel are not above a level of 2, 3 are; neither is any number of small ones,
// nor one that leans to one side again and again.
func TestStirringIsReversalsBeyondHalfTravel(t *testing.T) {
	cases := []struct {
		name  string
		looks int // between two moves
		a, b  int16
		want  bool
	}{
		{"three a second", 16, 600, -600, true},
		{"two a second", 25, 600, -600, false},
		{"small", 5, 400, -400, false},
		{"one side", 5, 900, 0, false},
	}
	for _, c := range cases {
		s := flight()
		s.d.CommissionCount = 1
		s.d.Commissions[0] = Commission{Deed: Deed{Kind: DeedStir, Level: 2}}
		s.cued()
		for k := range 300 / c.looks {
			s.h.Roll = c.a
			if k%2 == 1 {
				s.h.Roll = c.b
			}
			s.look(c.looks)
		}
		assert.Equal(t, c.want, s.f.Committed[0] != Never, c.name)
	}
}

// Goal: an action in the wrong order is an error once, and counts when it is
// right; a condition that holds by itself is none. Method: attitude, then disarm,
// then a call, each ordered after the one above; do them in several orders.
func TestErrorsOfOrder(t *testing.T) {
	attitude := func(s *stage) { s.h.Response = hands.Attitude }
	disarm := func(s *stage) { s.h.Armed, s.status.Armed = false, false }
	call := func(s *stage) { s.h.Call = hands.CallMotorsSafe }
	slow := func(s *stage) { s.craft.VelW.X = 0 }
	cases := []struct {
		name   string
		middle Deed
		acts   []func(s *stage)
		errors int64
		done   [3]int // place in acts, from 1, at which each demand counts; 0 for never
	}{
		{"in order", Deed{Kind: DeedDisarm}, []func(*stage){attitude, disarm, call}, 0, [3]int{1, 2, 3}},
		{"disarmed first", Deed{Kind: DeedDisarm}, []func(*stage){disarm, attitude, call}, 1, [3]int{2, 2, 3}},
		{"called first", Deed{Kind: DeedDisarm}, []func(*stage){call, attitude, disarm}, 1, [3]int{2, 3, 3}},
		{"backwards", Deed{Kind: DeedDisarm}, []func(*stage){call, disarm, attitude}, 2, [3]int{3, 3, 3}},
		{"at rest by itself first", Deed{Kind: DeedArrest, Level: 0.3}, []func(*stage){slow, attitude, call}, 0, [3]int{2, 2, 3}},
		{"the last left out", Deed{Kind: DeedDisarm}, []func(*stage){attitude, disarm}, 0, [3]int{1, 2, 0}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := flight()
			s.d.DemandCount = 3
			deeds := [3]Deed{{Kind: DeedAttitude}, c.middle, {Kind: DeedCall, Call: hands.CallMotorsSafe}}
			for i := range deeds {
				s.d.Demands[i] = Demand{AnyOf: [MaxChoices]Deed{deeds[i]}, Count: 1, Within: NoLimit, Ordered: i > 0}
			}
			s.craft.VelW.X = 0.5
			s.cued()
			var at [4]int64
			at[0] = Never
			for i, act := range c.acts {
				act(s)
				at[i+1] = s.look(40)
			}
			assert.Equal(t, c.errors, s.f.OrderErrors)
			for i, k := range c.done {
				assert.Equal(t, at[k], s.f.Done[i], "demand %d", i)
			}
			assert.Equal(t, s.f.Done[2], s.f.Complete)
		})
	}
}

// Goal: who drops the craft has not landed it, unless cutting it off in the air
// was the right thing to do. Method: cut off and fall at 4 m/s, with and without
// the cut-off being asked for.
func TestFallingIsNotLanding(t *testing.T) {
	for _, asked := range []bool{false, true} {
		s := flight()
		s.d.DemandCount = 2
		s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedTouchdown}}, Count: 1, Within: NoLimit}
		s.d.Demands[1] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedAttitude}}, Count: 1, Within: NoLimit, First: true}
		if asked {
			s.d.Demands[1].AnyOf[0].Kind = DeedCutOff
		}
		s.cued()
		s.h.CutOff = true
		s.look(10)
		s.land()
		s.craft.Touch.Speed = 4
		at := s.look(2)
		if asked {
			assert.Equal(t, at, s.f.Done[0])
		} else {
			assert.Equal(t, Never, s.f.Done[0])
		}
	}
}

// Goal: a craft that comes down too hard has not been landed either when something
// hard came before. Method: net first, then the floor at 1.9 and at 2.1 m/s; the
// limit is 2.
func TestFallingOutOfTheNetIsNotLanding(t *testing.T) {
	for _, speed := range []float64{1.9, 2.1} {
		s := flight()
		s.d.DemandCount = 1
		s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedTouchdown}}, Count: 1, Within: NoLimit}
		s.cued()
		s.craft.Touch.Kinds = dynamics.TouchNet
		s.look(5)
		s.craft.Touch = dynamics.Touch{Kinds: dynamics.TouchRotorFloor, Speed: speed}
		s.look(2)
		s.land()
		s.look(5)
		assert.Equal(t, HardContact, s.f.HardKind)
		assert.Equal(t, speed < 2, s.f.Done[0] != Never, "%.1f m/s", speed)
	}
}

// Goal: a demand may be fulfilled in any of its ways, and counts once, at the
// first.
func TestAnyWayFulfilsADemand(t *testing.T) {
	s := flight()
	s.d.DemandCount = 1
	s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedCutOff}, {Kind: DeedAttitude}}, Count: 2, Within: NoLimit, First: true}
	s.cued()
	s.h.Response = hands.Attitude
	at := s.look(10)
	s.h.CutOff = true
	s.look(10)
	assert.Equal(t, at, s.f.Done[0])
	assert.Equal(t, at, s.f.FirstRight)
}

// Goal: the first input is the first change of the hands after the cue. Method:
// each stick by a tenth and by more, each switch, a call.
func TestFirstInput(t *testing.T) {
	cases := []struct {
		name string
		move func(h *hands.Hands)
		is   bool
	}{
		{"nothing", func(*hands.Hands) {}, false},
		{"roll, a tenth", func(h *hands.Hands) { h.Roll = 100 }, false},
		{"roll", func(h *hands.Hands) { h.Roll = 101 }, true},
		{"pitch", func(h *hands.Hands) { h.Pitch = -101 }, true},
		{"yaw", func(h *hands.Hands) { h.Yaw = -101 }, true},
		{"throttle", func(h *hands.Hands) { h.Throttle -= 101 }, true},
		{"selector", func(h *hands.Hands) { h.Response = hands.Attitude }, true},
		{"cut-off", func(h *hands.Hands) { h.CutOff = true }, true},
		{"arming switch", func(h *hands.Hands) { h.Armed = false }, true},
		{"call", func(h *hands.Hands) { h.Call = hands.CallStop }, true},
		{"step", func(h *hands.Hands) { h.Step = hands.StepTransmitterOff }, true},
	}
	for _, c := range cases {
		s := flight()
		s.cued()
		require.Equal(t, Never, s.f.FirstInput)
		c.move(&s.h)
		at := s.look(3)
		if c.is {
			assert.Equal(t, at, s.f.FirstInput, c.name)
		} else {
			assert.Equal(t, Never, s.f.FirstInput, c.name)
		}
	}
}

// Goal: commissions count after the cue only, where an event comes, and from the
// beginning in a catch run, where none does; the cut-off on the floor, which ends
// every flight, is none.
func TestCommissions(t *testing.T) {
	cutOff := Commission{Deed: Deed{Kind: DeedCutOff}, Grade: Major}
	stage := func() *stage {
		s := flight()
		s.d.CommissionCount, s.d.Commissions[0] = 1, cutOff
		return s
	}
	s := stage()
	s.h.CutOff = true
	s.look(20)
	assert.Equal(t, Never, s.f.Committed[0], "before the cue")

	s = stage()
	s.cued()
	s.h.CutOff = true
	at := s.look(20)
	assert.Equal(t, at, s.f.Committed[0], "in the air after the cue")

	s = stage()
	s.cued()
	s.land()
	s.look(5)
	s.h.CutOff = true
	s.look(20)
	assert.Equal(t, Never, s.f.Committed[0], "on the floor")

	s = stage()
	s.cued()
	s.craft.Touch.Kinds = dynamics.TouchNet
	s.look(2)
	s.h.CutOff = true
	s.look(20)
	assert.Equal(t, Never, s.f.Committed[0], "hanging in the net there is no refuge left")

	s = stage()
	s.d.Commissions[0].Deed.Kind = DeedThrottleLowest
	s.cued()
	s.land()
	s.h.Throttle = 0
	s.look(20)
	assert.Equal(t, Never, s.f.Committed[0], "throttle lowest is how a landing ends")

	s = stage()
	s.noEvent = true
	s.d.Commissions[1], s.d.CommissionCount = Commission{Deed: Deed{Kind: DeedLeaveCause}}, 2
	s.look(5)
	s.h.Response = hands.Attitude
	left := s.look(5)
	s.h.CutOff = true
	at = s.look(5)
	assert.Equal(t, []int64{at, left}, s.f.Committed[:2], "a catch run")
}
