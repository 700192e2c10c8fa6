package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// look lets looks pass while the craft stands still in its state, and calls set
// before each with the seconds since the first.
func look(c *sim.Conditions, w *sim.World, seconds float64, set func(t float64)) {
	for i := range int(seconds * 1000 / percept.Every) {
		w.Tick += percept.Every
		set(float64(i) * percept.Every / 1000)
		sim.Look(c, w)
	}
}

// Goal: a lean that swings to and fro is told once it has swung twice by 3
// degrees or more and does not die away; nothing else is a swing. Method: leans
// over time whose amplitude and period are known, along one axis of the room.
func TestSwingIsToldFromLeaning(t *testing.T) {
	const deg = math.Pi / 180
	sine := func(amplitude, period, decay float64) func(t float64) float64 {
		return func(t float64) float64 {
			return amplitude * deg * math.Exp(-decay*t) * math.Sin(2*math.Pi*t/period)
		}
	}
	cases := []struct {
		name string
		lean func(t float64) float64 // rad at s
		want float64                 // degrees after 6 s, 0 for no swing
	}{
		{"5 degrees each second", sine(5, 1, 0), 5},
		{"20 degrees each third of a second", sine(20, 1.0/3, 0), 20},
		{"4 degrees each 3 s", sine(4, 3, 0), 0}, // not two whole swings yet
		{"2 degrees", sine(2, 1, 0), 0},
		{"growing", sine(1, 1, -0.4), 9.07}, // the mean of e^(0.4·5.25) and e^(0.4·5.75), the last two turning points
		{"dying away by half each second", sine(20, 1, 0.7), 0},
		{"a steady lean", func(float64) float64 { return 10 * deg }, 0},
		{"leaning to one side and back, once", func(t float64) float64 { return 10 * deg * math.Exp(-(t-3)*(t-3)) }, 0},
		{"in 5 s, twice", sine(10, 5, 0), 0},
		{"over since 3 s", func(t float64) float64 {
			if t > 3 {
				return 0
			}
			return sine(10, 0.5, 0)(t)
		}, 0},
	}
	c, hover, _ := hovering(t)
	for _, axis := range []kernel.Vec3{{X: 1}, {Y: 1}} {
		for _, tc := range cases {
			w := hover
			look(&c, &w, 6, func(t float64) {
				half := tc.lean(t) / 2
				w.Craft.QWB = dynamics.Quat{W: math.Cos(half), X: axis.X * math.Sin(half), Y: axis.Y * math.Sin(half)}
			})
			// A look each 20 ms may miss the furthest lean by 2 % of it at three swings a second.
			assert.InDelta(t, tc.want, w.Percept.Swing/deg, 0.03*tc.want+0.01, tc.name)
			assert.Equal(t, tc.want > 0, w.Percept.Swings >= 2, tc.name)
		}
	}
}

// Goal: a sound flight neither swings nor leaps. Method: fly a minute of the plan, with
// its change back to attitude.
func TestASoundFlightDoesNotSwing(t *testing.T) {
	c := quiet(rehearsal(t, "hold-and-land", 3))
	w, p := sim.Start(&c), nobody(t, &c)
	for w.Tick < 60000 {
		sim.Turn(&c, &w, p)
		require.Zero(t, w.Percept.Swing, "tick %d", w.Tick)
		require.Less(t, w.Percept.Leap, 0.1, "m/s: switches are matched")
	}
	require.NotZero(t, w.Judge.Airborne)
}

// Goal: the fastest turning of the last two seconds is remembered for 1.5 s at
// least and 2 s at most.
func TestTurningIsRememberedForTwoSeconds(t *testing.T) {
	c, w, _ := hovering(t)
	look(&c, &w, 0.3, func(float64) { w.Craft.OmegaB.Z = -1.2 })
	assert.Equal(t, 1.2, w.Percept.Turned)
	gone := 0.0
	look(&c, &w, 2.5, func(t float64) {
		if w.Craft.OmegaB.Z = 0.1; w.Percept.Turned > 1 {
			gone = t
		}
	})
	assert.True(t, gone > 1.4 && gone <= 2, "%v s", gone)
	assert.Equal(t, 0.1, w.Percept.Turned)
}

// Goal: a leap is vertical speed within a second of a change into direct thrust
// in the air, and nothing before or after.
func TestALeapFollowsTheSwitch(t *testing.T) {
	c, w, _ := hovering(t)
	look(&c, &w, 0.5, func(float64) { w.Craft.VelW.Z = 0.8 })
	assert.Zero(t, w.Percept.Leap, "position-hold")
	w.Safety.Status.Response = hands.Attitude
	look(&c, &w, 1, func(float64) { w.Craft.VelW.Z = -0.8 })
	assert.Equal(t, 0.8, w.Percept.Leap)
	look(&c, &w, 0.1, func(float64) {})
	assert.Zero(t, w.Percept.Leap, "more than a second later")
}

// Goal: motors that turn on with the cut-off engaged are counted in seconds.
func TestACutOffThatDoesNothingIsCounted(t *testing.T) {
	c, w, _ := hovering(t)
	look(&c, &w, 0.5, func(float64) {})
	assert.Zero(t, w.Percept.CutRuns)
	look(&c, &w, 0.6, func(float64) { w.Hands.CutOff = true })
	assert.InDelta(t, 0.6, w.Percept.CutRuns, 1e-9)
	look(&c, &w, 0.1, func(float64) { w.Craft.RotorSpeed = [dynamics.MaxRotors]float64{} })
	assert.Zero(t, w.Percept.CutRuns)
}

// Goal: a craft that neither lands nor stops when its lost-link action is due
// flies on, in seconds; one that does what it was set to does not. Method: kill
// the link in a hover, with and without the action failing, for each action.
func TestFlyingOnWithoutALink(t *testing.T) {
	for _, action := range []safety.Action{safety.ActionMotorStop, safety.ActionControlledLanding, safety.ActionHoldThenLand} {
		for _, fails := range []bool{false, true} {
			c, w, _ := hovering(t)
			c.Safety.LostLinkAction = action
			at := inject.Onset{After: inject.MarkStart, DelayTicks: w.Tick}
			c.Injects = inject.Plan{Count: 1}
			c.Injects.Injects[0] = inject.Inject{Kind: inject.LostLink, Severity: 1, LastsTicks: inject.Forever, Onset: at}
			if fails {
				c.Injects.Injects[1], c.Injects.Count = c.Injects.Injects[0], 2
				c.Injects.Injects[1].Kind = inject.ActionFails
			}
			due := c.Safety.FreshTicks + c.Safety.HoldTicks + 500
			if action == safety.ActionHoldThenLand {
				due += c.Safety.WaitTicks
			}
			most, onset, k := 0.0, w.Tick, keep{w.Hands}
			for w.Tick < onset+due+2000 {
				sim.Turn(&c, &w, k)
				most = math.Max(most, w.Percept.DeadFly)
			}
			want := 0.0
			if fails {
				want = 2
			}
			assert.InDelta(t, want, most, 0.1, "%s, fails %v: s", action, fails)
		}
	}
}

// Goal: the station warns by the estimate, not by where the craft is; on the
// floor it does not.
func TestCageAlertIsTheEstimates(t *testing.T) {
	c, w, _ := hovering(t)
	see := func() bool { look(&c, &w, 0.02, func(float64) {}); return w.Percept.CageAlert }
	assert.False(t, see())
	craft, belief := w.Craft.PosW, w.Estimate.Belief.PosW
	w.Craft.PosW.X = c.Place.CageMax.X + 0.1
	assert.False(t, see(), "the craft is outside, and does not know")
	w.Craft.PosW = craft
	w.Estimate.Belief.PosW.X = c.Place.CageMax.X - 0.19
	assert.True(t, see(), "the estimate is at the side")
	w.Estimate.Belief.PosW = belief
	w.Estimate.Belief.PosW.Z = c.Place.CageMax.Z
	assert.True(t, see(), "and above")
	w.Craft.Touch = dynamics.Touch{Kinds: dynamics.TouchSkidFloor, Load: 5}
	assert.False(t, see(), "standing")
}

// Goal: what only the eye tells of single events is told while it is there. A
// tail taken for the nose turns what is seen of the heading by half a turn, and
// nothing else.
func TestEffectsThatPeopleMeet(t *testing.T) {
	c := rehearsal(t, "figure-eight", 1) // a room with people
	w := sim.Start(&c)
	sim.Look(&c, &w)
	p := &w.Percept
	assert.False(t, p.Smoke || p.Frozen || p.OtherMoves)
	w.Effects.Smoke, w.Effects.PictureFrozen, w.Effects.OtherCraft = true, true, true
	sim.Look(&c, &w)
	assert.True(t, p.Smoke && p.Frozen)
	assert.False(t, p.OtherMoves, "nothing is asked of it")
	w.Hands.Throttle = 300
	sim.Look(&c, &w)
	assert.True(t, p.OtherMoves)

	pilot := c.Place.People[0].PosW.Sub(w.Craft.PosW)
	for _, tc := range []struct {
		off  float64 // rad, of the nose from who flies
		want bool
	}{{0, true}, {0.7, true}, {-0.7, true}, {0.9, false}, {math.Pi, false}} {
		yaw := math.Atan2(pilot.Y, pilot.X) + tc.off
		w.Craft.QWB = dynamics.Quat{W: math.Cos(yaw / 2), Z: math.Sin(yaw / 2)}
		w.Effects.NoseMistaken = false
		sim.Look(&c, &w)
		assert.Equal(t, tc.want, p.NoseIn, "%.1f rad", tc.off)
		seen := p.Yaw
		w.Effects.NoseMistaken = true
		sim.Look(&c, &w)
		assert.Equal(t, tc.want, p.NoseIn, "%.1f rad", tc.off)
		assert.InDelta(t, -1, math.Cos(p.Yaw-seen), 1e-12, "half a turn")
		assert.LessOrEqual(t, math.Abs(p.Yaw), math.Pi)
	}
	assert.InDelta(t, c.Place.NetMax.Z-w.Craft.PosW.Z-c.Craft.Reach(), p.Above, 1e-12)
}

// Goal: motors fall silent while a craft without power still falls: there is a
// moment in which a person can notice. Method: cut the power in a hover at 1.2 m.
func TestSilenceIsHeardBeforeTheCraftIsDown(t *testing.T) {
	c, w, _ := hovering(t)
	onset := w.Tick
	c.Injects = inject.Plan{Count: 1}
	c.Injects.Injects[0] = inject.Inject{Kind: inject.PowerLoss, Severity: 1, LastsTicks: inject.Forever,
		Onset: inject.Onset{After: inject.MarkStart, DelayTicks: onset}}
	heard, k := int64(0), keep{w.Hands}
	for w.Tick < onset+1500 {
		sim.Turn(&c, &w, k)
		if heard == 0 && w.Percept.Figure(percept.SignMotorsSilent) > 0 {
			heard = w.Tick - onset
		}
	}
	t.Logf("silent %d ms after the power went", heard)
	assert.True(t, heard > 50 && heard < 450, "ms, it falls 1 m in 0.45 s")
}

// Goal: a link flag that comes and goes is counted while it is remembered. Method:
// the craft's last frame made old for a look, once each second.
func TestAFlickeringLinkIsCounted(t *testing.T) {
	c, w, _ := hovering(t)
	for i, want := range []float64{1, 2, 3, 4, 5, 5, 5} { // of the last 5 s
		look(&c, &w, 0.5, func(float64) { w.Heard.Age = 300 })
		assert.Equal(t, want, w.Percept.Flicker, "after %d s", i)
		look(&c, &w, 0.5, func(float64) { w.Heard.Age = 20 })
	}
	look(&c, &w, 5, func(float64) { w.Heard.Age = 20 })
	assert.Zero(t, w.Percept.Flicker)
}
