package control

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
	"lapwing/sim/hands"
)

// The law alone, in a hover in position-hold: the average over the ticks of one
// second, so that the slower loops count with their share.
func BenchmarkLaw(b *testing.B) {
	for _, name := range []string{"quad-500g", "hexa-paired", "octo-3kg"} {
		b.Run("craft="+name, func(b *testing.B) {
			f := fly(b, shapeOf(name), nil, hands.PositionHold, 0.4)
			f.run(3, nil)
			start := f.s
			for b.Loop() {
				if f.in.Tick%1000 == 0 { // the belief stands still, so integrators would run off
					f.s = start
				}
				Law(&f.p, &f.s, &f.in, &f.out)
				f.in.Tick++
			}
		})
	}
}

func BenchmarkAllocate(b *testing.B) {
	p := Design(shapeOf("octo-3kg").craft(), hall(), nil)
	for _, c := range []struct {
		name string
		d    Demand
	}{
		{"within", Demand{Thrust: p.Weight}},
		{"no-yaw", Demand{Thrust: p.Weight, Yaw: 5}},
		{"no-lift", Demand{Thrust: 3 * p.Weight, Roll: 1}},
		{"no-tilts", Demand{Thrust: p.Weight, Roll: 50, Pitch: 20}},
	} {
		b.Run("demand="+c.name, func(b *testing.B) {
			var t [dynamics.MaxRotors]float64
			for b.Loop() {
				p.Mix.Allocate(&c.d, &p.Top, &t)
			}
		})
	}
}

func BenchmarkDesign(b *testing.B) {
	c, room := shapeOf("quad-500g").craft(), hall()
	for b.Loop() {
		_ = Design(c, room, nil)
	}
}

func TestLawAllocatesNothing(t *testing.T) {
	f := fly(t, shapeOf("octo-3kg"), nil, hands.PositionHold, 0.4)
	f.in.HasSpeeds = true
	n := testing.AllocsPerRun(500, func() {
		f.in.RotorSpeed[3] = 0
		f.b = beliefOf(&f.w)
		Law(&f.p, &f.s, &f.in, &f.out)
		f.in.Tick++
	})
	assert.Zero(t, n)
	assert.True(t, f.s.Gone[3], "the rebuilding of the mixer was part of it")
}
