package estimate

import (
	"testing"

	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// warm returns a filter that has flown for two seconds and a log of the next.
func warm() (Params, State, []sense.Reading) {
	p := DefaultParams()
	f := newFlight(sense.DefaultParams(), 1, true)
	s := Start(&p, f.craft.PosW, 0)
	s.Belief.VelW = f.craft.VelW
	f.fly(&p, &s, 2000)
	log := make([]sense.Reading, 1000)
	for i := range log {
		f.step()
		log[i] = f.r
		f.tick++
	}
	return p, s, log
}

func BenchmarkFuse(b *testing.B) {
	p, s, log := warm()
	i, from := 0, s
	b.ReportAllocs()
	for b.Loop() {
		Fuse(&p, &s, &log[i], int64(i))
		if i++; i == len(log) {
			i, s = 0, from
		}
	}
}

func BenchmarkPredict(b *testing.B) {
	for _, name := range []string{"clone=no", "clone=yes"} {
		b.Run(name, func(b *testing.B) {
			_, s, _ := warm()
			Drop(&s.Cov, &s.Clone)
			if name == "clone=yes" {
				Expose(&s.Cov, &s.Clone, s.Belief.PosW, s.Belief.QWB)
			}
			m := Motion{T: 0.005, TurnB: kernel.Vec3{X: 1e-3, Y: 2e-3, Z: -1e-3}, DvW: kernel.Vec3{X: 1e-3, Z: 0.049}}
			g := Growth{Vel: 1e-4, Att: 1e-6, GyroBias: 1e-9, AccelBias: 1e-5}
			for b.Loop() {
				Predict(&s.Cov, &m, &g, s.Belief.QWB, s.Clone.Live)
			}
		})
	}
}

func BenchmarkUpdate(b *testing.B) {
	_, s, _ := warm()
	Expose(&s.Cov, &s.Clone, s.Belief.PosW, s.Belief.QWB)
	row := Row{Residual: 0.01, Var: 1e-4, Count: 1}
	row.Block[0], row.H[0] = BlockClonePos, kernel.Vec3{X: 1}
	var dx Delta
	for b.Loop() {
		Update(&s.Cov, &dx, &row, Blocks)
	}
}
