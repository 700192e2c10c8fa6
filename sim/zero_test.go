package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
)

// lonely is how a fault is put into the quiet drill: everything else stays.
func lonely(c sim.Conditions, kind inject.Kind, severity float64) sim.Conditions {
	c.Injects = inject.Plan{Count: 1}
	c.Injects.Injects[0] = inject.Inject{
		Kind: kind, Severity: severity, Direction: 2.2, Rotor: 1, RampTicks: 500, LastsTicks: inject.Forever,
		Onset: inject.Onset{After: inject.MarkAirborne, DelayTicks: 2000},
	}
	in := &c.Injects.Injects[0]
	if kind.Switches() {
		in.RampTicks = 0
	}
	switch kind {
	case inject.StuckAxis:
		in.Axis, in.At = inject.AxisRoll, 0.3
	case inject.RotorsSwapped:
		in.Partner = 2
	case inject.PersonEnters:
		in.Distance = 2
	}
	return c
}

// tells names the group of hashes in which each kind shows in the quiet drill;
// where none is named, it is the craft's. What only people meet shows in none.
var tells = map[inject.Kind]string{
	inject.ActionFails:   "", // the link is never lost
	inject.LandingMissed: "watchman and path",
	inject.PersonEnters:  "", // nobody stands in the shed
	inject.CutOffFails:   "", // the pilot disarms first
	inject.BatteryFire:   "",
	inject.NoseMistaken:  "",
	inject.VideoFrozen:   "",
}

// flown is a run: its end, and the hash of every second but for what only the
// inject itself may change.
type flown struct {
	end    sim.World
	hashes []sim.Hashes
}

// bare returns w without what an inject may change that does nothing.
func bare(w sim.World) sim.World {
	w.Inject, w.Judge.Onset = inject.State{}, judge.Never
	w.Marks.At[inject.MarkEvent] = inject.Never
	return w
}

// ended flies c to its end; change is made before the first tick.
func ended(t *testing.T, c *sim.Conditions, change func(w *sim.World)) (f flown) {
	t.Helper()
	w := sim.Start(c)
	change(&w)
	f.end = sim.Continue(c, &w, nobody(t, c), second(func(w *sim.World) {
		b := bare(*w)
		f.hashes = append(f.hashes, b.Hash())
	})).End
	return f
}

// Goal: a fault of zero severity, and one that was withdrawn, equals no fault bit
// for bit over the whole run. Method: the quiet drill with each kind of inject at
// zero, and with each at a severity that says something but withdrawn. Only the
// injects' own state and the onset may tell that it was there. That the test can
// fail is shown by a little of the same fault.
func TestZeroSeverityIsNoFault(t *testing.T) {
	none := rehearsal(t, "nothing-happens", 3)
	none.Plan.Legs[4].For = 8000 // ticks of holding; long enough for ramps and offsets
	want := ended(t, &none, func(*sim.World) {})
	require.True(t, want.end.Progress.Done(&none.Plan))
	require.Greater(t, len(want.hashes), 15)
	for _, word := range inject.KindWords() {
		kind, _ := inject.ParseKind(word)
		t.Run(word, func(t *testing.T) {
			zero := lonely(none, kind, 0)
			got := ended(t, &zero, func(*sim.World) {})
			require.NotEqual(t, judge.Never, got.end.Judge.Onset, "it came")
			assert.Equal(t, want.hashes, got.hashes, "zero")
			assert.True(t, bare(got.end) == bare(want.end), "zero: percept, eye, effects, input too")

			little := 0.01
			if kind.Switches() {
				little = 1
			}
			withdrawn := lonely(none, kind, little)
			got = ended(t, &withdrawn, func(w *sim.World) { require.True(t, inject.Withdraw(&withdrawn.Injects, &w.Inject, 0)) })
			assert.Equal(t, judge.Never, got.end.Judge.Onset)
			assert.Equal(t, want.hashes, got.hashes, "withdrawn")
			assert.True(t, bare(got.end) == bare(want.end), "withdrawn")

			got = ended(t, &withdrawn, func(*sim.World) {})
			assert.False(t, bare(got.end) == bare(want.end), "a little of it must tell")
			where, other := tells[kind]
			if !other {
				where = "craft"
			}
			if where != "" {
				assert.Contains(t, got.end.Hash().Differs(want.end.Hash()), where)
			}
		})
	}
}
