package sim_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/pilot"
	"lapwing/sim/safety"
)

// other returns the conditions of a scenario flown with another craft.
func other(t testing.TB, name, craft string, seed uint64) sim.Conditions {
	t.Helper()
	b, err := scenarios.LoadInstead(scenarios.Catalogue(), name, scenarios.Instead{Craft: craft})
	require.NoError(t, err)
	return b.Rehearsal(seed)
}

// seen is what a run looked like from outside. Times are ticks after the onset,
// −1 where the thing never came.
type seen struct {
	end                         sim.Result
	over90, lost, landing, down int64   // tilt passes 90°; link counted as lost; the craft lands by itself; it touches the floor
	motorsOff, net, hard        int64   // motors may not turn; it touches net or wall; hard outcome
	touchdown                   float64 // m/s, closing speed at the first touch of the floor after take-off
	tilt                        float64 // rad, greatest after the onset
	sunk                        float64 // m, least height in the 3 s after the onset
}

// watched flies c with a pilot who answers nothing.
func watched(t testing.TB, c *sim.Conditions) seen {
	t.Helper()
	s := seen{over90: -1, lost: -1, landing: -1, down: -1, motorsOff: -1, net: -1, hard: -1, sunk: 1e3}
	floor := false
	s.end = sim.Run(c, nobody(t, c), ticking(func(w *sim.World) {
		touch := &w.Craft.Touch
		if w.Judge.Airborne != judge.Never && touch.Kinds&dynamics.TouchSkidFloor != 0 && !floor {
			floor, s.touchdown = true, touch.Speed
		}
		if w.Judge.Onset == judge.Never {
			return
		}
		since := w.Tick - 1 - w.Judge.Onset
		first := func(at *int64, holds bool) {
			if holds && *at < 0 {
				*at = since
			}
		}
		tilt := w.Craft.QWB.Tilt()
		s.tilt = math.Max(s.tilt, tilt)
		first(&s.over90, tilt > math.Pi/2)
		first(&s.lost, w.Safety.Status.Link == safety.LinkLost)
		first(&s.landing, w.Safety.Status.Landing)
		first(&s.motorsOff, !w.Safety.Status.MotorsOn)
		first(&s.down, touch.Kinds&dynamics.TouchSkidFloor != 0)
		first(&s.net, touch.Kinds&(dynamics.TouchNet|dynamics.TouchWall) != 0)
		first(&s.hard, w.Judge.Hard != judge.Never)
		if since < 3000 {
			s.sunk = math.Min(s.sunk, w.Craft.PosW.Z)
		}
	}))
	return s
}

// Goal: without an inject every drill of the catalogue can be flown as briefed,
// by hand and by law. Method: fly each scenario with its injects taken out and
// three seeds, but those whose event needs no inject and those that practise the
// cut-off in the air; and the quiet drills with every craft. The plan is completed,
// nothing hard happens, no hard fail, it touches down below 1 m/s.
func TestWithoutInjectsThePlanIsCompleted(t *testing.T) {
	flown := func(t *testing.T, c sim.Conditions) {
		t.Helper()
		s := watched(t, &c)
		f := &s.end.End.Judge
		assert.Equal(t, sim.EndDone, s.end.Why, s.end.Why.Words())
		assert.True(t, s.end.End.Progress.Done(&c.Plan), "leg %d of %d", s.end.End.Progress.Leg, c.Plan.Count)
		assert.Equal(t, judge.HardNone, f.HardKind, f.HardKind.Words())
		assert.False(t, f.Failed(), "%v", f.Fail)
		assert.NotEqual(t, judge.Never, f.Safe)
		assert.Less(t, s.touchdown, 1.0, "m/s")
		assert.Greater(t, s.touchdown, 0.0, "it did fly")
		assert.True(t, s.end.AtCue == nil)
	}
	for _, name := range scenarios.Names(scenarios.KindScenario) {
		for seed := range uint64(3) {
			c := quiet(rehearsal(t, name, seed))
			if !flies(&c.Plan) || c.Drill.Emerges || has(&c.Plan, pilot.LegCutOff) {
				continue // work at the bench has its own test
			}
			t.Run(fmt.Sprintf("%s/seed=%d", name, seed), func(t *testing.T) { flown(t, c) })
		}
	}
	for _, craft := range scenarios.Names(scenarios.KindCraft) {
		for _, name := range []string{"figure-eight", "hold-and-land"} {
			t.Run(craft+"/"+name, func(t *testing.T) { flown(t, quiet(other(t, name, craft, 5))) })
		}
	}
}

// flies tells whether a plan takes off.
func flies(p *pilot.Plan) bool { return has(p, pilot.LegLift) }

func has(p *pilot.Plan, do pilot.LegKind) bool {
	for _, leg := range p.Legs[:p.Count] {
		if leg.Do == do {
			return true
		}
	}
	return false
}

// Goal: when nothing happens, nothing is seen to happen. Method: six more seeds
// of the run without an event; all demands and the securing are there.
func TestNothingHappens(t *testing.T) {
	for seed := uint64(10); seed < 16; seed++ {
		c := rehearsal(t, "nothing-happens", seed)
		s := watched(t, &c)
		f := &s.end.End.Judge
		require.EqualValues(t, c.Plan.Count, s.end.End.Progress.Leg, "seed %d", seed)
		assert.Equal(t, judge.HardNone, f.HardKind)
		assert.Equal(t, [2]int64{judge.Never, judge.Never}, [2]int64{f.Onset, f.Cue})
		assert.NotContains(t, f.Secured, judge.Never, "throttle, disarm, cut-off, battery")
		for i := range c.Drill.CommissionCount {
			assert.Equal(t, judge.Never, f.Committed[i], "seed %d: %v", seed, c.Drill.Commissions[i].Deed.Kind)
		}
	}
}

// Goal: a drifting estimate takes the craft into the net of the shed, and no
// earlier than the drift allows. Method: from the middle to the net it is 2.4 m
// less the hull along a wall; at 40° and 0.3 m/s (with 1 s of ramp) that is 2.1 m
// / (0.3·cos 40°) = 9.1 s and some lag.
func TestDriftReachesTheNet(t *testing.T) {
	for seed := range uint64(3) {
		c := rehearsal(t, "drift-in-hold", seed)
		c.Duration = 40000 // it would hang in the net for the rest
		s := watched(t, &c)
		t.Logf("seed %d: hard after %d ms (%s), net after %d ms", seed, s.hard, s.end.End.Judge.HardKind.Words(), s.net)
		assert.InDelta(t, 9500, s.net, 2000)
		assert.InDelta(t, 9500, s.hard, 2000)
		assert.LessOrEqual(t, s.hard, s.net, "the cage lies inside the net")
	}
}

// Goal: a quad that loses a motor tips over, whatever the law does. Method: the
// three others hold three quarters of the weight at an arm a/√2 without a
// counterpart: with 500 g, hub at 0.12 m, Ixx 0.0032 kg·m² that is (m·g/4)·0.12·√2
// / 0.0032 = 65 rad/s² at most, so 90° cannot come before √(π/65) = 0.22 s; a
// law that takes thrust off the opposite rotor delays it.
func TestQuadTipsOverAfterMotorFailure(t *testing.T) {
	for seed := range uint64(3) {
		c := rehearsal(t, "motor-failure-quad", seed)
		s := watched(t, &c)
		t.Logf("seed %d: 90° after %d ms, hard after %d ms, floor after %d ms", seed, s.over90, s.hard, s.down)
		assert.InDelta(t, 265, s.over90, 85)
		assert.InDelta(t, 225, s.hard, 85)
		assert.Equal(t, judge.HardTilt, s.end.End.Judge.HardKind)
	}
}

// Goal: craft with six and eight rotors that hear their rotors' speeds fly on
// without one; a hexacopter that does not hear them does worse. Method: as the
// drill, and with speeds withheld.
func TestMoreRotorsFlyOnAfterMotorFailure(t *testing.T) {
	for _, craft := range []string{"hexa-paired", "hexa-alternating", "octo-3kg"} {
		t.Run(craft, func(t *testing.T) {
			c := other(t, "motor-failure-hexa", craft, 1)
			require.True(t, c.Sense.Speeds)
			s := watched(t, &c)
			t.Logf("greatest tilt %.0f°, least height %.2f m", s.tilt*180/math.Pi, s.sunk)
			assert.Less(t, s.tilt, math.Pi/3)
			assert.Greater(t, s.sunk, 0.8)
			assert.Equal(t, judge.HardNone, s.end.End.Judge.HardKind)
			assert.True(t, s.end.End.Progress.Done(&c.Plan))

			c.Sense.Speeds, c.Duration = false, 20000
			deaf := watched(t, &c)
			t.Logf("without rotor speeds: greatest tilt %.0f°, %s", deaf.tilt*180/math.Pi, deaf.end.End.Judge.HardKind.Words())
			assert.Greater(t, deaf.tilt, s.tilt)
		})
	}
}

// Goal: the lost-link action begins when the craft file says, and does what it
// says. Method: the last frame before the onset is at most a frame old, so the
// action begins FreshTicks + HoldTicks after the onset, two frames more or less.
func TestLostLinkTriggersItsAction(t *testing.T) {
	for _, craft := range []string{"quad-500g", "measured-27g", "hexa-paired"} {
		for seed := range uint64(3) {
			t.Run(fmt.Sprintf("%s/seed=%d", craft, seed), func(t *testing.T) {
				c := other(t, "lost-link-in-hold", craft, seed)
				s := watched(t, &c)
				after := c.Safety.FreshTicks + c.Safety.HoldTicks
				twoFrames := float64(2 * c.Link.FrameEvery)
				t.Logf("lost after %d ms (%d), landing %d, floor %d, motors off %d", s.lost, after, s.landing, s.down, s.motorsOff)
				assert.InDelta(t, after, s.lost, twoFrames)
				switch c.Safety.LostLinkAction {
				case safety.ActionMotorStop: // it falls 1.2 m: 0.5 s, 4.9 m/s without drag
					assert.Equal(t, s.lost, s.motorsOff)
					assert.InDelta(t, 510, s.down-s.lost, 60)
					assert.Equal(t, judge.HardTouchdown, s.end.End.Judge.HardKind)
					assert.InDelta(t, 4.7, s.touchdown, 0.4)
				case safety.ActionControlledLanding:
					assert.Equal(t, s.lost, s.landing)
				case safety.ActionHoldThenLand:
					assert.Equal(t, s.lost+c.Safety.WaitTicks, s.landing)
				}
				if c.Safety.LostLinkAction != safety.ActionMotorStop { // down at a steady rate, then disarmed
					assert.InDelta(t, 1.2/c.Law.Limits.Land, float64(s.down-s.landing)/1000, 2)
					assert.Greater(t, s.motorsOff, s.down)
					assert.Less(t, s.touchdown, 1.0)
					assert.Equal(t, judge.HardNone, s.end.End.Judge.HardKind)
					assert.False(t, s.end.End.Safety.Status.Armed)
				}
			})
		}
	}
}

// Goal: a gust pushes the way it blows. Method: the same seed with and without;
// by the counter-based noise nothing else differs. The craft feels 0.4 1/s in all
// (its file), so 2.5 m/s are 1 m/s² at most and no more than 3 m in the 2.5 s
// after half of the ramp; a hand that leans against it leaves a part of that.
func TestGustPushes(t *testing.T) {
	c := rehearsal(t, "gust-in-attitude", 1)
	calm := quiet(c)
	in := &c.Injects.Injects[0]
	a, b := sim.Start(&c), sim.Start(&calm)
	pa, pb := nobody(t, &c), nobody(t, &calm)
	most, away := 0.0, dynamics.Vec3{}
	for b.Tick < 30000 {
		sim.Turn(&c, &a, pa)
		sim.Turn(&calm, &b, pb)
		if a.Judge.Onset == judge.Never {
			require.Equal(t, b.Craft, a.Craft, "nothing before the onset")
			continue
		}
		if d := a.Craft.PosW.Sub(b.Craft.PosW); a.Tick < a.Judge.Onset+3000 && d.NormXY() > most {
			most, away = d.NormXY(), d
		}
	}
	t.Logf("pushed %.2f m within 3 s", most)
	assert.Greater(t, most, 0.3, "m")
	assert.Less(t, most, 3.0, "m")
	assert.InDelta(t, in.Direction, math.Atan2(away.Y, away.X), 0.4, "rad")
}

// Goal: a sagging pack sinks the craft, or makes it land where its file says so,
// or stops its electronics. Method: within 2 s, by 0.6 V, and by so much that
// full thrust no longer carries the craft: thrust goes with the square of the volts.
func TestVoltageSagSinks(t *testing.T) {
	at := func(craft string, drop float64) (sim.Conditions, seen) {
		c := other(t, "voltage-sag", craft, 1)
		c.Injects.Injects[0].Severity, c.Injects.Injects[0].RampTicks = drop, 2000
		return c, watched(t, &c)
	}
	_, mild := at("quad-500g", 0.6)
	assert.Equal(t, judge.HardNone, mild.end.End.Judge.HardKind)
	assert.NotEqual(t, judge.Never, mild.end.End.Judge.Cue, "the station shows it")

	c, lands := at("quad-250g", 0.6)
	require.Equal(t, safety.ActionControlledLanding, c.Safety.CriticalAction)
	assert.InDelta(t, 2000+float64(c.Safety.CriticalTicks), lands.landing, 600, "ramp and the time that the craft waits")
	assert.InDelta(t, 1.2/c.Law.Limits.Land, float64(lands.down-lands.landing)/1000, 2)
	assert.Less(t, lands.touchdown, 1.0)

	c, falls := at("quad-500g", 1.6)
	t.Logf("1.6 V less: least height within 3 s %.2f m, touchdown %.1f m/s, brown-out %v", falls.sunk, falls.touchdown, falls.end.End.Craft.Cell.BrownOut)
	assert.Less(t, falls.sunk, 0.5)
	assert.Greater(t, falls.touchdown, 1.0)
	assert.True(t, falls.end.End.Craft.Cell.BrownOut, "below %g V", c.Craft.Battery.BrownOutVolts)
}

// Goal: a jump of the estimate on the path makes the craft lunge the other way.
// Method: after a step of 4 m towards +y the law sees itself 4 m off and flies
// towards −y, as fast as it may correct a place, while the path is still slow.
func TestJumpLunges(t *testing.T) {
	for seed := range uint64(3) {
		c := rehearsal(t, "jump-on-path", seed)
		require.Equal(t, inject.EstimateJump, c.Injects.Injects[0].Kind)
		w, p := sim.Start(&c), nobody(t, &c)
		for w.Judge.Onset == judge.Never && w.Tick < 60000 {
			sim.Turn(&c, &w, p)
		}
		require.Equal(t, hands.Path, w.Safety.Status.Response)
		most, onset := dynamics.Vec3{}, w.Tick
		for w.Tick < onset+2000 {
			sim.Turn(&c, &w, p)
			if w.Craft.VelW.NormXY() > most.NormXY() {
				most = w.Craft.VelW
			}
		}
		t.Logf("seed %d: %.2f m/s after the jump, %.2f m/s towards −y", seed, most.NormXY(), -most.Y)
		assert.InDelta(t, 0.8*c.Law.Limits.HoldSpeed, -most.Y, 0.25*c.Law.Limits.HoldSpeed)
		assert.Less(t, w.Setpoint.VelW.NormXY(), 0.3, "m/s, of the path itself")
		assert.NotEqual(t, judge.Never, w.Judge.Cue)
	}
}
