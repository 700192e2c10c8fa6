package pilot

import (
	"testing"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// BenchmarkAct is one look of a pilot who hovers by eye.
func BenchmarkAct(b *testing.B) {
	for _, name := range []string{"none", "trained", "ideal", "script"} {
		b.Run("pilot="+name, func(b *testing.B) {
			pilot, err := ByName(name, Task{Plan: planOf(Leg{Do: LegHold, For: 1 << 40}), Drill: slide(),
				Brief: DefaultBrief(), Script: scriptOf(Line{When: WhenTick, Set: FlyHover})})
			if err != nil {
				b.Fatal(err)
			}
			p := percept.Percept{PosW: kernel.Vec3{X: 0.1, Z: 1}, VelW: kernel.Vec3{Y: 0.1}, Yaw: 0.3, Armed: true,
				HoverStick: 0.4, Actual: hands.Attitude}
			h := hands.Hands{Throttle: 400, Armed: true}
			b.ReportAllocs()
			for b.Loop() {
				p.Tick += percept.Every
				pilot.Act(&p, &h)
			}
		})
	}
}
