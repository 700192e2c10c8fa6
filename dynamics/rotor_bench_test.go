package dynamics

import "testing"

// BenchmarkRotors times the rotors' tick: far from everything, flying, near the
// floor, and where everything acts at once.
func BenchmarkRotors(b *testing.B) {
	for _, row := range []struct {
		name string
		airB Vec3
		z    float64
		dear bool
	}{
		{"state=hover", Vec3{}, 10, false},
		{"state=forward", Vec3{X: 2, Z: 0.2}, 10, false},
		{"state=descent", Vec3{X: 1, Z: -1}, 10, false},
		{"state=floor", Vec3{X: 0.5}, 0.2, false},
		{"state=all", Vec3{X: 1, Z: -6}, 0.3, true},
	} {
		b.Run(row.name, func(b *testing.B) {
			c, p, s, in := plusQuad(b)
			if row.dear {
				c, p, s, in = dearest(b)
			}
			s.PosW.Z = row.z
			var w Wrench
			b.ReportAllocs()
			for b.Loop() {
				in.Tick++
				rotorStep(c, p, s, in, row.airB, &w)
			}
		})
	}
}

func BenchmarkBattery(b *testing.B) {
	c, _, s, in := plusQuad(b)
	for b.Loop() {
		batteryStep(c, s, in, 60)
		s.Cell.Charge = 0.8
	}
}

func BenchmarkAir(b *testing.B) {
	_, p, s, in := plusQuad(b)
	b.Run("turbulence=off", func(b *testing.B) {
		for b.Loop() {
			in.Tick++
			airStep(p, s, in)
		}
	})
	_, p, s, in = dearest(b)
	b.Run("turbulence=on", func(b *testing.B) {
		for b.Loop() {
			in.Tick++
			airStep(p, s, in)
		}
	})
}
