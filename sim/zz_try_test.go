package sim_test

import (
	"fmt"
	"testing"
	"time"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/pilot"
)

type tracer struct{ c *sim.Conditions }

func (tracer) Looked(*sim.World) {}
func (tracer) Ticked(*sim.World) {}
func (t tracer) Second(w *sim.World) {
	s := &w.Safety.Status
	fmt.Printf("%5.1f leg %d %-13v armed %v pos %6.2f %6.2f %6.2f bel %6.2f %6.2f %6.2f v %5.2f tilt %4.1f thr %4d rpm %5.0f V %.2f cam %v nis %.1f ref %v unc %.2f away %.2f link %v touch %x load %.2f cue %d\n",
		float64(w.Tick)/1000, w.Progress.Leg, s.Response, s.Armed, w.Craft.PosW.X, w.Craft.PosW.Y, w.Craft.PosW.Z,
		w.Estimate.Belief.PosW.X, w.Estimate.Belief.PosW.Y, w.Estimate.Belief.PosW.Z,
		w.Craft.VelW.Norm(), w.Craft.QWB.Tilt()*57.3, w.Hands.Throttle, w.Craft.RotorSpeed[0]*9.55, w.Craft.Cell.Volts, w.Estimate.Belief.Health, w.Estimate.Belief.NIS, s.Refused, w.Percept.Uncommanded, w.Percept.Away, s.Link, w.Craft.Touch.Kinds, w.Craft.Touch.Load, w.Judge.Cue)
}

func TestTry(t *testing.T) {
	for _, name := range []string{"motor-failure-hexa"} {
		b, err := scenarios.Load(scenarios.Catalogue(), name)
		if err != nil {
			t.Fatal(err)
		}
		c := b.Rehearsal(7)
		e := pilot.NewExecutor(&c.Plan, pilot.TrainedHand().With(pilot.DefaultBrief()), 7)
		start := time.Now()
		r := sim.Run(&c, &e, tracer{&c})
		fmt.Println(name, r.Why.Words(), r.End.Tick, time.Since(start), r.End.Void)
	}
}
