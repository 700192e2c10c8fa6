package scenarios

import (
	"fmt"
	"testing"

	"lapwing/sim"
	"lapwing/sim/pilot"
	"lapwing/sim/safety"
)

type zzw struct{}

func (zzw) Looked(*sim.World) {}
func (zzw) Ticked(*sim.World) {}
func (zzw) Second(w *sim.World) {
	s := &w.Safety.Status
	fmt.Printf("%5.1f leg %d %-13v armed %v on %v ref %q pos %6.2f %6.2f %6.2f v %5.2f thr %4d yaw %d cut %v rpm %5.0f V %.2f touch %x link %v landing %v landed %v bel %v\n",
		float64(w.Tick)/1000, w.Progress.Leg, s.Response, s.Armed, s.MotorsOn, s.Refused.String(), w.Craft.PosW.X, w.Craft.PosW.Y, w.Craft.PosW.Z,
		w.Craft.VelW.Norm(), w.Hands.Throttle, w.Hands.Yaw, w.Hands.CutOff, w.Craft.RotorSpeed[0]*9.55, w.Craft.Cell.Volts, w.Craft.Touch.Kinds, s.Link, s.Landing, s.Landed, w.Estimate.Belief.PosW)
}

func TestZZHexa(t *testing.T) {
	for _, name := range []string{"motor-failure-hexa", "lost-link-in-hold"} {
		b, err := Load(Catalogue(), name)
		if err != nil {
			t.Fatal(err)
		}
		c := b.Rehearsal(1)
		br := pilot.DefaultBrief()
		br.ArmBySticks = b.Safety.ArmBy == safety.ByStickCorners
		e, _ := pilot.ByName("trained", pilot.Task{Plan: &c.Plan, Drill: &c.Drill, Brief: br, Seed: 1})
		c.Duration = min(c.Duration, 60000)
		sim.Run(&c, e, zzw{})
	}
}
