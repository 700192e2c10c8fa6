package sim_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// hovering returns conditions and a world ten seconds into a flight: in the
// air, position held.
func hovering(t testing.TB) (sim.Conditions, sim.World, pilot.Executor) {
	t.Helper()
	b, err := scenarios.Load(scenarios.Catalogue(), "nothing-happens")
	require.NoError(t, err)
	c := b.Rehearsal(1)
	w := sim.Start(&c)
	e := pilot.NewExecutor(&c.Plan, pilot.TrainedHand().With(pilot.DefaultBrief()), 1)
	for w.Tick < 10000 {
		sim.Turn(&c, &w, &e)
	}
	require.Zero(t, w.Craft.Touch.Kinds, "the craft is in the air")
	return c, w, e
}

// BenchmarkTick times one tick: core is dynamics and law, all is everything
// that a headless rehearsal does.
func BenchmarkTick(b *testing.B) {
	b.Run("craft=quad-500g/stage=core", func(b *testing.B) {
		c, w, _ := hovering(b)
		in := control.Input{Belief: &w.Estimate.Belief, Hands: w.Heard.Hands, Status: &w.Safety.Status, CellVolts: w.Reading.CellVolts}
		var out control.Output
		belief := &w.Estimate.Belief
		for b.Loop() {
			w.Tick++
			belief.PosW, belief.VelW, belief.QWB, belief.OmegaB = w.Craft.PosW, w.Craft.VelW, w.Craft.QWB, w.Craft.OmegaB
			belief.Height, w.Craft.Cell.Charge = w.Craft.PosW.Z, 0.8
			in.Tick, w.Input.Tick = w.Tick, w.Tick
			control.Law(&c.Law, &w.Law, &in, &out)
			w.Input.Duty = out.Duty
			dynamics.Step(&c.Craft, &c.Place, &w.Craft, &w.Input)
		}
		require.InDelta(b, 1, w.Craft.PosW.Z, 0.6, "it still hovers")
	})
	b.Run("craft=quad-500g/stage=all", func(b *testing.B) {
		c, w, e := hovering(b)
		still := stillPilot{&e}
		start := w
		for b.Loop() {
			if w.Tick == start.Tick+20_000 { // before what the camera drifts by counts
				w = start
			}
			sim.Turn(&c, &w, still)
			w.Craft.Cell.Charge = 0.8 // for ever
		}
		require.InDelta(b, 1, w.Craft.PosW.Z, 0.6, "it still hovers")
	})
}

// stillPilot works the executor but keeps the hands where they are, so that the
// flight goes on for as long as the benchmark does.
type stillPilot struct{ e *pilot.Executor }

func (s stillPilot) Act(p *percept.Percept, h *hands.Hands) {
	moving := *h
	s.e.Act(p, &moving)
}
