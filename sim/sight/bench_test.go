package sight_test

import (
	"testing"

	"lapwing/dynamics"
	"lapwing/sim/estimate"
	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

// taped is a flight of which the truth and the sensors are on tape, so that
// camera and filter can be timed alone.
type taped struct {
	*flight
	craft []dynamics.State
	read  []sense.Reading
	at    int
	from  flight
}

// tape flies into a flight under way and tapes four seconds of it.
func tape(c course) *taped {
	f := newFlight(c, hall(8, 6, 3.5), sight.RichDecor(), 1)
	f.fly(12_000)
	t := &taped{flight: f}
	t.from = *f
	f.sensors = func() {
		none := sense.Faults{FixesLost: true}
		sense.Read(&f.sense, &f.sensed, &f.craft, &f.place, f.seed, f.tick, &none, &f.read)
		t.craft = append(t.craft, f.craft)
		t.read = append(t.read, f.read)
	}
	f.fly(4000)
	t.rewind()
	return t
}

func (t *taped) rewind() {
	t.at = 0
	t.sight, t.belief, t.tick = t.from.sight, t.from.belief, t.from.tick
}

// step moves camera and filter on by one tick.
func (t *taped) step() {
	if t.at == len(t.craft) {
		t.rewind()
	}
	t.flight.tick++
	var guess *estimate.Guess
	if t.sight.Arrives(t.flight.tick) {
		g := t.belief.Guess(&t.sp)
		guess = &g
	}
	sight.Look(&t.camera, &t.scene, &t.sight, &t.craft[t.at], guess, &t.faults, t.seed, t.flight.tick, &t.rel)
	estimate.FuseSighted(&t.params, &t.sp, &t.belief, &t.read[t.at], &t.rel, false, t.flight.tick)
	t.at++
}

func BenchmarkSighted(b *testing.B) {
	for _, c := range []struct {
		name   string
		course course
	}{{"flight=hover", hover}, {"flight=wander", wander}} {
		b.Run(c.name, func(b *testing.B) {
			t := tape(c.course)
			b.ReportAllocs()
			for b.Loop() {
				t.step()
			}
		})
		b.Run(c.name+"/filter=fixes", func(b *testing.B) {
			t := tape(c.course)
			s := estimate.Start(&t.params, t.craft[0].PosW, 0)
			b.ReportAllocs()
			for b.Loop() {
				if t.at == len(t.craft) {
					t.at = 0
				}
				t.flight.tick++
				r := &t.read[t.at]
				r.Fix.Exposed = t.flight.tick%40 == 0
				r.Fix.New = t.flight.tick%40 == 30
				r.Fix.PosW, r.Fix.QWB = t.craft[t.at].PosW, t.craft[t.at].QWB
				estimate.Fuse(&t.params, &s, r, t.flight.tick)
				t.at++
			}
		})
	}
}
