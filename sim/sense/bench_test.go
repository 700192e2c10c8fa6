package sense

import (
	"testing"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// benchPlace is a room with two boxes.
func benchPlace() dynamics.Place {
	pl := dynamics.Place{Min: kernel.Vec3{X: -6, Y: -4}, Max: kernel.Vec3{X: 6, Y: 4, Z: 4}, BoxCount: 2}
	pl.Boxes[0] = dynamics.Box{Min: kernel.Vec3{X: 2, Y: -1}, Max: kernel.Vec3{X: 3, Y: 1, Z: 0.8}}
	pl.Boxes[1] = dynamics.Box{Min: kernel.Vec3{X: -3, Y: -1}, Max: kernel.Vec3{X: -2, Y: 1, Z: 0.4}}
	return pl
}

// hovering is a craft at rest in the air.
func hovering() dynamics.State {
	return dynamics.State{
		PosW: kernel.Vec3{X: 0.5, Y: -0.3, Z: 1.2}, QWB: kernel.QuatIdentity,
		SpecificForceB: kernel.Vec3{Z: 9.80665}, Cell: dynamics.Cell{Volts: 3.8},
	}
}

func BenchmarkRead(b *testing.B) {
	p, c, pl, f := DefaultParams(), hovering(), benchPlace(), Faults{}
	s := Start(&p, 1)
	var out Reading
	tick := int64(0)
	b.ReportAllocs()
	for b.Loop() {
		Read(&p, &s, &c, &pl, 1, tick, &f, &out)
		tick++
	}
}
