package judge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/sim/hands"
)

// tilted is a craft that lies on its side.
var tilted = dynamics.Quat{W: math.Cos(math.Pi / 4), X: math.Sin(math.Pi / 4)}

// Goal: each hard outcome is noted in the tick in which it comes, also between
// two looks, and only the first; without it nothing is noted. Method: one thing
// each at a known tick; limits from both sides.
func TestEachHardOutcome(t *testing.T) {
	tip := func(degrees float64) func(s *stage) {
		half := degrees * math.Pi / 360
		return func(s *stage) { s.craft.QWB = dynamics.Quat{W: math.Cos(half), X: math.Sin(half)} }
	}
	touch := func(kind dynamics.Kind, speed float64) func(s *stage) {
		return func(s *stage) { s.craft.Touch = dynamics.Touch{Kinds: kind, Speed: speed} }
	}
	place := func(x, y, z float64) func(s *stage) {
		return func(s *stage) { s.craft.PosW = dynamics.Vec3{X: x, Y: y, Z: z} }
	}
	cases := []struct {
		name string
		do   func(s *stage)
		want HardKind
	}{
		{"nothing", func(*stage) {}, HardNone},
		{"net", touch(dynamics.TouchNet, 1), HardContact},
		{"wall", touch(dynamics.TouchWall, 0), HardContact},
		{"guard on the floor", touch(dynamics.TouchRotorFloor|dynamics.TouchSkidFloor, 1), HardContact},
		{"feet, 2 m/s", touch(dynamics.TouchSkidFloor, 2), HardNone},
		{"feet, 2.01 m/s", touch(dynamics.TouchSkidFloor, 2.01), HardTouchdown},
		{"tilt of 59°", tip(59), HardNone},
		{"tilt of 61°", tip(61), HardTilt},
		{"out at the side", place(0, 3.01, 1), HardCage},
		{"inside at the side", place(0, 2.99, 1), HardNone},
		{"out above", place(0, 0, 3.01), HardCage},
		{"1.51 m from a person", func(s *stage) { s.place.People[0].PosW.X = -1.51 }, HardNone},
		{"1.49 m from a person", func(s *stage) { s.place.People[0].PosW.X = -1.49 }, HardPerson},
		{"the same with motors stopped", func(s *stage) { s.place.People[0].PosW.X = -1.49; s.stop(); s.tickOn() }, HardNone},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := flight()
			for range 7 {
				s.tickOn()
			}
			c.do(s)
			at := s.tick
			s.tickOn()
			touch(dynamics.TouchNet, 0)(s) // a second one changes nothing
			if c.want == HardNone {
				assert.Equal(t, Never, s.f.Hard)
				return
			}
			s.look(2)
			assert.Equal(t, at, s.f.Hard)
			assert.Equal(t, c.want, s.f.HardKind)
			assert.NotEmpty(t, c.want.Words())
		})
	}
}

// Goal: what the scenario does not count is not counted, and nothing before the
// first take-off.
func TestHardOutcomesThatDoNotCount(t *testing.T) {
	s := flight()
	s.d.Outcome.Contact, s.d.Outcome.LeaveCage = false, false
	s.craft.Touch.Kinds = dynamics.TouchNet
	s.craft.PosW.X = 5
	s.look(5)
	assert.Equal(t, Never, s.f.Hard)

	s = &stage{f: Start(), d: Drill{Outcome: DefaultOutcome()}, onset: Never}
	s.craft.QWB = tilted
	s.craft.Touch.Kinds = dynamics.TouchRotorFloor
	s.look(5)
	assert.Equal(t, Never, s.f.Airborne)
	assert.Equal(t, Never, s.f.Hard)
}

// Goal: each hard fail can be reached, in the look in which it comes, and does
// not come by what is nearly the same but right.
func TestEachHardFail(t *testing.T) {
	cases := []struct {
		name  string
		fail  Fail
		begin func(s *stage)
		right func(s *stage) // no fail
		wrong func(s *stage) // the fail
	}{
		{"person radius", FailPerson, nil,
			func(s *stage) { s.craft.PosW.X = -2.9; s.place.People[0].PosW.X = -4.5 },
			func(s *stage) { s.craft.PosW.X = -2.99; s.place.People[0].PosW.X = -4.45 }},
		{"person touched, motors stopped", FailPerson, nil,
			func(s *stage) { s.stop(); s.craft.PosW.X = -5 },
			func(s *stage) { s.craft.Touch.Kinds = dynamics.TouchPerson }},
		{"cage", FailCage, nil,
			func(s *stage) { s.craft.PosW.X = 2.9 },
			func(s *stage) { s.craft.PosW.X = 3.1 }},
		{"approach armed", FailApproach, (*stage).land,
			func(s *stage) { s.stop(); s.h.Step = hands.StepBatteryOut; s.look(1); s.h.Step = hands.StepApproach },
			func(s *stage) { s.status.Armed = true }},
		{"pick-up before the battery is out", FailApproach, func(s *stage) { s.land(); s.stop() },
			func(*stage) {},
			func(s *stage) { s.h.Step = hands.StepPickUp }},
		{"cut-off over a person", FailCutOver, nil,
			func(s *stage) { s.h.CutOff = true; s.look(1); s.h.CutOff = false; s.place.People[0].PosW.X = -0.5 },
			func(s *stage) { s.h.CutOff = true }},
		{"re-engaged after the alert", FailReengage, func(s *stage) { s.cued(); s.p.Camera = 1 },
			func(s *stage) { s.h.Response = hands.Attitude },
			func(s *stage) { s.h.Response = hands.PositionHold }},
		{"re-engaged in an event of the estimator", FailReengage, func(s *stage) { s.d.Event = 1; s.cued() },
			func(s *stage) { s.h.Response = hands.HeightHold },
			func(s *stage) { s.h.Response = hands.Path }},
		{"transmitter off first", FailTransmitter, func(s *stage) { s.cued() },
			func(*stage) {},
			func(s *stage) { s.h.Step = hands.StepTransmitterOff }},
	}
	standing := func(s *stage) { s.f = Start(); s.land(); s.stop() } // before a flight
	cases = append(cases, []struct {
		name                string
		fail                Fail
		begin, right, wrong func(s *stage)
	}{
		{"armed with something found", FailUnfit, standing,
			func(s *stage) { s.work.Unfit, s.status.Armed, s.h.Armed = true, true, true },
			func(s *stage) { s.status.Armed = false; s.look(1); s.work.Open, s.status.Armed = true, true }},
		{"armed at the bench", FailBench, standing,
			func(s *stage) { s.work = Work{BenchTask: true, PropsOff: true}; s.status.Armed, s.h.Armed = true, true },
			func(s *stage) { s.status.Armed = false; s.look(1); s.work.PropsOff, s.status.Armed = false, true }},
		{"approach armed, before a flight", FailApproach, standing,
			func(s *stage) { s.h.Step = hands.StepPickUp },
			func(s *stage) { s.status.Armed = true }},
		{"a smoking pack touched", FailTouch, func(s *stage) { s.land(); s.stop() },
			func(s *stage) { s.h.Step = hands.StepTouch },
			func(s *stage) { s.p.Smoke = true }},
		{"a pack taken out that had smoked", FailTouch, func(s *stage) { s.land(); s.stop(); s.p.Smoke = true },
			func(s *stage) { s.p.Smoke = false },
			func(s *stage) { s.h.Step = hands.StepBatteryOut }},
		{"battery in again", FailReplug, func(s *stage) { s.land(); s.stop() },
			func(s *stage) { s.h.CutOff, s.h.Step = true, hands.StepBatteryIn },
			func(s *stage) { s.h.CutOff = false }},
	}...)
	covered := map[Fail]bool{FailRestart: true, FailRunning: true, FailArming: true} // below
	for _, c := range cases {
		covered[c.fail] = true
		t.Run(c.name, func(t *testing.T) {
			s := flight()
			if c.begin != nil {
				c.begin(s)
				s.look(2)
			}
			c.right(s)
			s.look(10)
			require.Equal(t, Never, s.f.Fail[c.fail], "that was right")
			c.wrong(s)
			at := s.look(3)
			assert.Equal(t, at, s.f.Fail[c.fail])
			assert.True(t, s.f.Failed())
			assert.NotEmpty(t, c.fail.Words())
		})
	}
	for f := range Fails {
		assert.True(t, covered[Fail(f)], Fail(f).Words())
	}
}

// Goal: re-engaging is only a fail where the estimate is known to have failed,
// and the transmitter may be switched off once the right thing is done.
func TestHardFailsThatDoNotCount(t *testing.T) {
	s := flight()
	s.d.Event = 20 // not of the estimator
	s.cued()
	s.h.Response = hands.Attitude
	s.look(5)
	s.h.Response = hands.PositionHold
	s.look(5)
	assert.Equal(t, Never, s.f.Fail[FailReengage])

	s = flight()
	s.d.DemandCount = 1
	s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedCutOff}}, Count: 1, First: true, Within: NoLimit}
	s.cued()
	s.h.CutOff = true
	s.look(2)
	s.h.Step = hands.StepTransmitterOff
	s.look(2)
	assert.Equal(t, Never, s.f.Fail[FailTransmitter])

	s = flight()
	s.d.MaySwitchOff = true // by the laboratory's procedures
	s.cued()
	s.h.Step = hands.StepTransmitterOff
	s.look(2)
	assert.Equal(t, Never, s.f.Fail[FailTransmitter])

	s = flight() // it arms by itself
	s.f = Start()
	s.land()
	s.stop()
	s.work.Open, s.place.People[0].PosW.X = true, -2
	s.look(2)
	s.status.Armed = true
	s.look(2)
	assert.Equal(t, []int64{Never, Never}, []int64{s.f.Fail[FailUnfit], s.f.Fail[FailArming]})

	s = flight() // the cut-off is engaged and does nothing
	s.craft.QWB, s.p.Tilt, s.craft.Touch.Kinds = tilted, math.Pi/2, dynamics.TouchRotorFloor
	s.h.CutOff = true
	s.look(300)
	assert.Equal(t, Never, s.f.Fail[FailRunning])
}

// Goal: motors that turn on for more than 4 s after a crash are a hard fail; a
// craft that comes free and flies on has not crashed, one that is cut off in time
// has not failed.
func TestMotorsRunOnAfterACrash(t *testing.T) {
	crash := func() *stage {
		s := flight()
		s.craft.QWB, s.p.Tilt = tilted, math.Pi/2
		s.craft.Touch.Kinds, s.craft.PosW.Z = dynamics.TouchRotorFloor, 0.1
		return s
	}
	s := crash()
	at := s.look(200)
	assert.Equal(t, Never, s.f.Fail[FailRunning], "4 s are allowed")
	s.look(3)
	assert.InDelta(t, at+4000, s.f.Fail[FailRunning], 21)

	s = crash()
	s.look(190)
	s.stop()
	s.look(100)
	assert.Equal(t, Never, s.f.Fail[FailRunning], "stopped in time")

	s = crash()
	s.craft.Touch.Kinds, s.craft.PosW.Z = dynamics.TouchNet, 1 // it hangs in the net
	s.look(100)
	s.craft.QWB, s.p.Tilt, s.craft.Touch.Kinds = dynamics.Quat{W: 1}, 0, 0 // and is free again
	s.look(500)
	assert.Equal(t, Never, s.f.Fail[FailRunning], "it flies")

	s = flight() // it comes down far too hard and lies upright
	s.land()
	s.craft.Touch.Speed = 4
	at = s.look(203)
	assert.InDelta(t, at+4000, s.f.Fail[FailRunning], 21, "upright after a hard outcome")

	s = flight()
	s.land()
	s.look(300)
	assert.Equal(t, Never, s.f.Fail[FailRunning], "it has landed")
}

// Goal: armed with people in the cage, before the first take-off.
func TestArmedWithPeopleInside(t *testing.T) {
	for _, inside := range []bool{true, false} {
		s := flight()
		s.f = Start()
		s.land()
		if inside {
			s.place.People[0].PosW = dynamics.Vec3{X: -2}
		}
		s.status.Armed = false
		s.look(5)
		require.Equal(t, Never, s.f.Fail[FailArming])
		s.status.Armed = true
		at := s.look(5)
		if inside {
			assert.Equal(t, at, s.f.Fail[FailArming])
		} else {
			assert.Equal(t, Never, s.f.Fail[FailArming])
		}
	}
}

// Goal: after a cut-off the motors may start again only once the throttle was
// lowest, the craft disarmed and the area called clear since the cut-off.
// Method: leave out each, one at a time; the call from before the first take-off
// does not count.
func TestRestartAfterACutOff(t *testing.T) {
	type act struct{ throttle, disarm, call, masks, shown, propsOff bool }
	cases := []struct {
		name string
		do   act
		fail bool
	}{
		{"all of it", act{throttle: true, disarm: true, call: true}, false},
		{"nothing: a cut-off that masks", act{masks: true}, true},
		{"the same, shown on purpose", act{masks: true, shown: true}, false},
		{"the same, without propellers", act{masks: true, propsOff: true}, false},
		{"throttle not lowest", act{disarm: true, call: true}, true},
		{"not disarmed", act{throttle: true, call: true}, true},
		{"area not called clear since", act{throttle: true, disarm: true}, true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := flight()
			s.h.Call = hands.CallAreaClear // long ago
			s.look(1)
			s.h.Call = hands.CallNone
			s.h.CutOff, s.status.CutOff, s.status.MotorsOn = true, true, false
			s.turn(0)
			s.land()
			s.look(20)
			if c.do.throttle {
				s.h.Throttle = 0
			}
			if c.do.disarm {
				s.h.Armed, s.status.Armed = false, false
			}
			if c.do.call {
				s.h.Call = hands.CallAreaClear
				s.look(1)
				s.h.Call = hands.CallNone
			}
			s.look(20)
			s.d.Demonstration, s.work.PropsOff = c.do.shown, c.do.propsOff
			s.h.CutOff, s.status.CutOff = false, false
			if c.do.masks {
				s.status.MotorsOn = true
			}
			released := s.look(20)
			s.h.Armed, s.status.Armed, s.status.MotorsOn = true, true, true
			started := s.look(20)
			switch {
			case !c.fail:
				assert.Equal(t, Never, s.f.Fail[FailRestart])
			case c.do.masks:
				assert.Equal(t, released, s.f.Fail[FailRestart])
			default:
				assert.Equal(t, started, s.f.Fail[FailRestart])
			}
		})
	}
}

// Goal: what happens on the floor counts before any flight: a craft that tips
// over there has hit something, is to be cut off, and is secured like any other.
// Method: motors idle, the event comes, it tips, motors run on; and, as the
// counter-example, the same without an event.
func TestTipOverOnTheFloor(t *testing.T) {
	tip := func(onset bool) *stage {
		s := flight()
		s.f = Start()
		s.d.DemandCount = 1
		s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedCutOff}}, Count: 1, First: true, Within: NoLimit}
		s.land()
		s.look(5)
		if onset {
			s.cued()
		}
		s.craft.QWB, s.p.Tilt, s.p.OnFloor = tilted, math.Pi/2, false
		s.craft.Touch.Kinds = dynamics.TouchRotorFloor
		return s
	}
	s := tip(true)
	at := s.look(203)
	require.Equal(t, Never, s.f.Airborne)
	assert.Equal(t, HardContact, s.f.HardKind)
	assert.InDelta(t, at+4000, s.f.Fail[FailRunning], 21)
	s.h.Throttle, s.h.CutOff = 0, true
	cut := s.look(2)
	assert.Equal(t, cut, s.f.FirstRight)
	s.stop()
	stopped := s.look(2)
	assert.Equal(t, []int64{cut, stopped, cut}, s.f.Secured[:3])

	s = tip(false)
	s.look(50)
	assert.Equal(t, Never, s.f.Hard)
}
