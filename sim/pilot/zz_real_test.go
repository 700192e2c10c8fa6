package pilot_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/judge"
)

func TestReal(t *testing.T) {
	names := strings.Split(os.Getenv("SC"), ",")
	for _, name := range names {
		b, err := scenarios.Load(scenarios.Catalogue(), name)
		if err != nil {
			t.Fatal(err)
		}
		for _, who := range strings.Split(os.Getenv("WHO"), ",") {
			for seed := uint64(1); seed <= 2; seed++ {
				c := b.Rehearsal(seed)
				p, err := c.Pilot(who, nil)
				if err != nil {
					t.Fatal(err)
				}
				r := sim.Run(&c, p)
				f := &r.End.Judge
				rel := func(x int64) string {
					if x == judge.Never {
						return "-"
					}
					if f.Cue == judge.Never {
						return fmt.Sprintf("@%.1f", float64(x)/1000)
					}
					return fmt.Sprintf("%.1f", float64(x-f.Cue)/1000)
				}
				s := ""
				for i := range c.Drill.DemandCount {
					s += c.Drill.Demands[i].AnyOf[0].Kind.String() + "=" + rel(f.Done[i]) + " "
				}
				for i := range c.Drill.CommissionCount {
					if f.Committed[i] != judge.Never {
						s += "COMM:" + c.Drill.Commissions[i].Deed.Kind.String() + " "
					}
				}
				for i, x := range f.Fail {
					if x != judge.Never {
						s += "FAIL:" + judge.Fail(i).Words() + " "
					}
				}
				if x, ok := p.(interface{ Noticed() (int64, int64) }); ok {
					n, a := x.Noticed()
					s += fmt.Sprintf(" noticed@%.1f acts@%.1f ", float64(n)/1000, float64(a)/1000)
				}
				fmt.Printf("%-20s %-8s %d cue@%.1f/%d leg %d/%d %s hard=%s(%s) wall %.2f touch %.2f sec %s %s %s %s call %s order %d end %.1f %s\n", name, who, seed, float64(f.Cue)/1000, f.CueRule, r.End.Progress.Leg, c.Plan.Count, s,
					rel(f.Hard), f.HardKind.Words(), f.MinWall, f.Touchdown, rel(f.Secured[0]), rel(f.Secured[1]), rel(f.Secured[2]), rel(f.Secured[3]), rel(f.CallMade), f.OrderErrors, float64(r.End.Tick)/1000, r.Why.Words())
			}
		}
	}
}
