package sim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// keep keeps the hands as they were, whatever is seen.
type keep struct{ hands hands.Hands }

func (k keep) Act(_ *percept.Percept, h *hands.Hands) { *h = k.hands }

// Goal: the station shows what last came from the craft, and nothing of what the
// craft does while no telemetry comes; the eye goes on seeing. Method: kill the
// link in a hover, let the craft land by itself, and look at the station before,
// during, and after the link came back.
func TestStationFreezesWhileTheLinkIsDead(t *testing.T) {
	c, w, _ := hovering(t)
	c.Injects = inject.Plan{Count: 1}
	c.Injects.Injects[0] = inject.Inject{Kind: inject.LostLink, Severity: 1, LastsTicks: 3000,
		Onset: inject.Onset{After: inject.MarkStart, DelayTicks: w.Tick}}
	k := keep{w.Hands}
	onset := w.Tick
	fly(&c, &w, k, onset+180)
	assert.False(t, w.Percept.LinkLost, "nothing is noticed within 0.2 s")
	require.Equal(t, hands.PositionHold, w.Percept.Actual)

	fly(&c, &w, k, onset+250)
	assert.True(t, w.Percept.LinkLost)
	frozen, high := w.Percept, w.Percept.PosW.Z
	fly(&c, &w, k, onset+3000)
	assert.True(t, w.Safety.Status.Landing, "the craft lands by itself")
	assert.False(t, w.Percept.Landing, "and nobody is told")
	assert.Equal(t, frozen.CellVolts, w.Percept.CellVolts)
	assert.Equal(t, frozen.Armed, w.Percept.Armed)
	assert.Less(t, w.Percept.PosW.Z, high-0.3, "m: the eye sees it sink")

	fly(&c, &w, k, onset+3300)
	assert.NotEqual(t, frozen.CellVolts, w.Percept.CellVolts, "telemetry is back")
	assert.True(t, w.Percept.Landing)
	assert.True(t, w.Percept.LinkLost, "the craft still says that it counts the link as lost")
}

// Goal: sticks that are moved without an answer are counted in seconds, sticks
// at rest and sticks that are heard are not. Method: dead link from a hover; move
// the roll stick after half a second, by less and by more than a twentieth.
func TestDeadSticksAreCounted(t *testing.T) {
	c, start, _ := hovering(t)
	k := keep{start.Hands}
	k.hands.Roll += 300
	w := start
	fly(&c, &w, k, w.Tick+2000)
	assert.Zero(t, w.Percept.DeadSticks, "the link is alive")

	c.Injects = inject.Plan{Count: 1}
	c.Injects.Injects[0] = inject.Inject{Kind: inject.LostLink, Severity: 1, LastsTicks: inject.Forever,
		Onset: inject.Onset{After: inject.MarkStart, DelayTicks: start.Tick}}
	for _, tc := range []struct {
		name string
		roll int16
		want float64 // s
	}{{"at rest", 0, 0}, {"hardly moved", 50, 0}, {"moved", 51, 1.5}, {"the other way", -400, 1.5}} {
		t.Run(tc.name, func(t *testing.T) {
			w, k := start, keep{start.Hands}
			fly(&c, &w, k, start.Tick+500)
			k.hands.Roll += tc.roll
			fly(&c, &w, k, start.Tick+2000)
			assert.InDelta(t, tc.want, w.Percept.DeadSticks, 0.05)
		})
	}
}

// Goal: a rotor that turns at another speed is heard. Method: set the speeds and
// look: 20 % less than the mean of the others is 0.2; motors off are silent.
func TestOddRotorIsHeard(t *testing.T) {
	c, w, _ := hovering(t)
	for _, tc := range []struct {
		name   string
		speeds [4]float64 // rad/s
		odd    float64    // share, = greatest |Ω − mean of the others| / that mean
		turn   bool
	}{
		{"all alike", [4]float64{1000, 1000, 1000, 1000}, 0, true},
		{"one slow", [4]float64{1000, 800, 1000, 1000}, 0.2, true},
		{"one fast", [4]float64{1000, 1000, 1300, 1000}, 0.3, true},
		{"one stopped", [4]float64{0, 1000, 1000, 1000}, 1, true},
		{"all stopped", [4]float64{}, 0, false},
		{"running out", [4]float64{10, 20, 0, 10}, 0, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			copy(w.Craft.RotorSpeed[:], tc.speeds[:])
			sim.Look(&c, &w)
			assert.InDelta(t, tc.odd, w.Percept.OddRotor, 1e-12)
			assert.Equal(t, tc.turn, w.Percept.MotorsTurn)
		})
	}
}

// Goal: the place where the craft should be is the briefed path's, also when the
// estimate goes wrong, and the hover's otherwise. Method: fly the figure-eight
// with a jump of the estimate, look at the distance from the path as the eye and
// as the craft sees it.
func TestHoldPlaceFollowsTheBriefedPath(t *testing.T) {
	c := rehearsal(t, "jump-on-path", 1)
	c.Injects.Injects[0].Onset = inject.Onset{After: inject.MarkPath, DelayTicks: 35000}
	w, p := sim.Start(&c), nobody(t, &c)
	worst, fastest, followed := 0.0, 0.0, 0
	for w.Judge.Onset == judge.Never && w.Tick < 60000 {
		sim.Turn(&c, &w, p)
		if w.Percept.Actual == hands.Path && w.Setpoint.Active && w.Tick%percept.Every == 1 {
			followed++
			worst = math.Max(worst, w.Percept.Away)
			fastest = math.Max(fastest, w.Percept.PathSpeed)
			require.InDelta(t, 0, w.Percept.HoldW.Sub(w.Setpoint.PosW).NormXY(), 0.05, "m, tick %d", w.Tick)
		}
	}
	assert.Greater(t, followed, 1000, "looks")
	assert.Greater(t, fastest, 0.3, "m/s: the path moves")
	assert.Less(t, worst, 0.25, "m: a sound craft stays by its path")

	fly(&c, &w, p, w.Tick+3000)
	assert.Greater(t, w.Percept.Away, 0.8, "m: the eye sees that it left the path")
	assert.Less(t, w.Estimate.Belief.PosW.Sub(w.Craft.PosW).NormXY()-4, 0.5, "m: while the craft believes itself elsewhere")
	assert.Greater(t, w.Percept.Uncommanded, 0.3, "m/s")
}

// Goal: a look tells of every touch since the last one, however short, and of
// none before. Method: put the craft against the net for one tick between two
// looks.
func TestAShortTouchIsSeen(t *testing.T) {
	c, w, e := hovering(t)
	for !w.Looks() {
		sim.Turn(&c, &w, &e)
	}
	sim.Turn(&c, &w, &e)
	require.False(t, w.Percept.Contact)
	at := w.Craft
	w.Craft.PosW.X = c.Place.NetMax.X - 0.1 // m; the guards reach further
	sim.Advance(&c, &w)
	require.NotZero(t, w.Craft.Touch.Kinds&dynamics.TouchNet)
	w.Craft = at
	sim.Advance(&c, &w)
	require.Zero(t, w.Craft.Touch.Kinds)
	for !w.Looks() {
		sim.Advance(&c, &w)
	}
	sim.Look(&c, &w)
	assert.True(t, w.Percept.Contact)
	sim.Look(&c, &w)
	assert.False(t, w.Percept.Contact, "it is told once")
}

// Goal: people seen from the first look are not seen to come nearer. Method: the
// first look in the bay, where two people stand.
func TestNobodyComesNearerAtTheFirstLook(t *testing.T) {
	c := rehearsal(t, "figure-eight", 1)
	w := sim.Start(&c)
	sim.Look(&c, &w)
	assert.InDelta(t, 6.1, w.Percept.Person, 0.1, "m, from (0.8, 0) to (−5.3, 0.5)")
	assert.False(t, w.Percept.PersonClosing)
	w.Craft.PosW.X -= 0.1
	sim.Look(&c, &w)
	assert.True(t, w.Percept.PersonClosing)
}

// Goal: the distance to what could be hit is that of the hull. Method: points in
// the bay whose distances to net, ceiling net and boxes are read off its file.
func TestClearanceIsTheHulls(t *testing.T) {
	c := rehearsal(t, "figure-eight", 1)
	reach := c.Craft.Reach()
	require.InDelta(t, 0.17+0.075, reach, 0.03, "m, arm and guard")
	for _, tc := range []struct {
		name string
		at   dynamics.Vec3
		want float64 // m, from the centre
	}{
		{"net at low x", dynamics.Vec3{X: -4, Z: 2}, 0.4},
		{"net at high y", dynamics.Vec3{X: 0, Y: 3, Z: 2}, 0.8},
		{"net above", dynamics.Vec3{Z: 3.5}, 0.3},
		{"bench beside", dynamics.Vec3{X: 4.2, Y: -3, Z: 0.5}, 0.4},
		{"bench below", dynamics.Vec3{X: 4.9, Y: -2.9, Z: 1.2}, 0.3},
		{"bench's edge", dynamics.Vec3{X: 4.3, Y: -2.9, Z: 1.3}, 0.5}, // 3, 4, 5
		{"inside the bench", dynamics.Vec3{X: 4.9, Y: -2.9, Z: 0.5}, 0},
	} {
		assert.InDelta(t, tc.want-reach, sim.Clearance(&c.Craft, &c.Place, tc.at), 1e-12, tc.name)
	}
}

// Goal: a speed that hands ask for is no sign. Method: push the stick forward in
// position-hold: the craft moves, and the speed nobody asked for stays small;
// then let a gust do the same, and it does not.
func TestCommandedMotionIsNoSign(t *testing.T) {
	c, start, _ := hovering(t)
	w, k := start, keep{start.Hands}
	k.hands.Pitch = 400
	most, fast := 0.0, 0.0
	for w.Tick < start.Tick+1200 {
		sim.Turn(&c, &w, k)
		most, fast = math.Max(most, w.Percept.Uncommanded), math.Max(fast, w.Percept.VelW.NormXY())
	}
	t.Logf("speed %.2f m/s, uncommanded %.2f m/s", fast, most)
	assert.Greater(t, fast, 0.5, "m/s")
	assert.Less(t, most, 0.35, "m/s")
}

// Goal: a percept never knows what was put in on purpose. Method: look once at
// the same silence with every effect of an inject noted in the world, and once
// with none; the two looks must not differ by a bit.
func TestALookDoesNotKnowTheInject(t *testing.T) {
	c, w, _ := hovering(t)
	for _, age := range []int64{100, 150, 250, 350, 450, 700} {
		plain, told := w, w
		plain.Heard.Age, told.Heard.Age = age, age
		plain.Effects = inject.NoEffects()
		told.Effects = inject.NoEffects()
		told.Effects.LinkDead, told.Effects.Covered, told.Effects.SagVolts = true, true, 1
		told.Effects.SeenOffsetW.X, told.Effects.MountYaw, told.Effects.GustW.Y = 3, 1, 5
		sim.Look(&c, &plain)
		sim.Look(&c, &told)
		assert.Equal(t, plain.Percept, told.Percept, "%d ms without a frame", age)
	}
}
