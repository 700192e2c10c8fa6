package inject

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// four is a full plan: one inject of each sort of work, all acting or all still
// to come.
func four(delay int64) Plan {
	p := planOf(sound(EstimateDrift), sound(Gust), sound(ThrustLoss), sound(VoltageSag))
	p.Injects[1].RampTicks = 400
	for i := range p.Count {
		p.Injects[i].Onset.DelayTicks = delay
	}
	return p
}

func BenchmarkDue(b *testing.B) {
	for _, c := range []struct {
		name  string
		delay int64
	}{{"waiting", Forever}, {"acting", 0}} {
		b.Run("injects="+c.name, func(b *testing.B) {
			p, m, fx := four(c.delay), NoMarks(), Effects{}
			s, tick := Start(&p), int64(0)
			b.ReportAllocs()
			for b.Loop() {
				Due(&p, &s, &m, 1, tick, &fx)
				tick++
			}
		})
	}
}

// Goal: no allocation in the tick.
func TestDueAllocatesNothing(t *testing.T) {
	p, m, fx := four(300), NoMarks(), Effects{}
	s, tick := Start(&p), int64(0)
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		Due(&p, &s, &m, 1, tick, &fx)
		tick++
	}))
}
