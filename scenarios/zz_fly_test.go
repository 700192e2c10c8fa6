package scenarios

import (
	"fmt"
	"os"
	"testing"

	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/pilot"
	"lapwing/sim/safety"
)

func TestZZ(t *testing.T) {
	who := os.Getenv("WHO")
	for _, name := range Names(KindScenario) {
		b, err := Load(Catalogue(), name)
		if err != nil {
			t.Fatal(err)
		}
		for seed := uint64(1); seed <= 6; seed++ {
			c := b.Rehearsal(seed)
			br := pilot.DefaultBrief()
			br.ArmBySticks = b.Safety.ArmBy == safety.ByStickCorners
			br.LostLinkStops = b.Safety.LostLinkAction == safety.ActionMotorStop
			e, err := pilot.ByName(who, pilot.Task{Plan: &c.Plan, Drill: &c.Drill, Brief: br, Seed: seed})
			if err != nil {
				t.Fatal(err)
			}
			r := sim.Run(&c, e)
			f := &r.End.Judge
			sign := ""
			if f.Cue >= 0 {
				sign = c.Drill.Cues[f.CueRule].Sign.String()
			}
			s := func(x int64) string {
				if x == judge.Never {
					return "never"
				}
				return fmt.Sprintf("%.1f", float64(x-max(0, f.Cue))/1000)
			}
			done := ""
			for i := range c.Drill.DemandCount {
				done += " " + s(f.Done[i])
			}
			com := ""
			for i := range c.Drill.CommissionCount {
				com += " " + s(f.Committed[i])
			}
			fail := ""
			for i, x := range f.Fail {
				if x != judge.Never {
					fail += fmt.Sprintf(" %d@%s", i, s(x))
				}
			}
			fmt.Printf("%-19s %d %-30.30s end %5.1f leg %2d/%d onset %6.2f cue %+5.2f %-10s right %s done%s | com%s | hard %s %s| fails%s td %.2f safe %s away %.2f\n", name, seed, r.Why.Words(), float64(r.End.Tick)/1000,
				r.End.Progress.Leg, c.Plan.Count, float64(f.Onset)/1000, float64(f.Cue-f.Onset)/1000, sign, s(f.FirstRight), done, com, s(f.Hard), f.HardKind.Words(), fail, f.Touchdown, s(f.Safe), f.MaxAway)
		}
	}
}
