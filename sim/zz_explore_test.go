package sim_test
import ("testing";"fmt";"lapwing/sim";"lapwing/scenarios";"time")
func TestExplore(t *testing.T) {
	for _, name := range scenarios.Names(scenarios.KindScenario) {
		for seed := uint64(1); seed <= 3; seed++ {
			for _, q := range []bool{true,false} {
			c := rehearsal(t, name, seed)
			if q { c = quiet(c) }
			start := time.Now()
			maxTilt := 0.0
			tilt90 := int64(-1)
			r := sim.Run(&c, nobody(t,&c), ticking(func(w *sim.World){
				if x := w.Craft.QWB.Tilt(); x > maxTilt { maxTilt = x }
				if tilt90 < 0 && w.Craft.QWB.Tilt() > 1.5707 && w.Judge.Onset>0 { tilt90 = w.Tick - w.Judge.Onset }
			}))
			j := &r.End.Judge
			fmt.Printf("%-20s seed %d quiet %-5v end %6d %-40s leg %d/%d onset %d cue %d hard %d %s maxtilt %.2f t90 %d td %.2f safe %d sec %v fails %v takes %v\n", name, seed, q, r.End.Tick, r.Why.Words(), r.End.Progress.Leg, c.Plan.Count, j.Onset, j.Cue, j.Hard, j.HardKind.Words(), maxTilt, tilt90, j.Touchdown, j.Safe, j.Secured, j.Failed(), time.Since(start).Milliseconds())
			}
		}
	}
}
