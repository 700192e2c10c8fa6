package dynamics

import "testing"

// The whole step of a quad far from everything, hovering at height, and standing
// on the floor with its motors off. Run with -count=10 and compare with benchstat.
func BenchmarkStep(b *testing.B) {
	b.Run("craft=quad/air=free", func(b *testing.B) {
		c, p, _, in := standingQuad(b)
		s := Airborne(c, p, Vec3{Z: 10}, 0)
		in.Duty = s.HoverDuties()
		full := s
		for b.Loop() {
			Step(c, p, &s, in)
			if in.Tick++; in.Tick%1024 == 0 {
				s = full // before the battery empties
			}
		}
		if s.Touch.Kinds != 0 || !s.PosW.Finite() {
			b.Fatal("not in free air:", s.PosW)
		}
	})
	b.Run("craft=quad/air=floor", func(b *testing.B) {
		c, p, s, in := standingQuad(b)
		for b.Loop() {
			Step(c, p, s, in)
			in.Tick++
		}
		if s.Touch.Kinds != TouchSkidFloor {
			b.Fatal("not on the floor:", s.PosW)
		}
	})
}

// The rigid body alone.
func BenchmarkBody(b *testing.B) {
	c, p, _, _ := standingQuad(b)
	s := Airborne(c, p, Vec3{Z: 10}, 0)
	s.OmegaB = Vec3{X: 0.1, Y: 0.2, Z: 0.3}
	var h held
	h.ForceB.Z = c.Mass * p.Air.Gravity
	h.DragK = [MaxRotors]float64{0.01, 0.01, 0.01, 0.01}
	in := DefaultInput()
	h.hold(c, p, &s)
	b.Run("part=hold", func(b *testing.B) {
		for b.Loop() {
			h.hold(c, p, &s)
		}
	})
	b.Run("part=fly", func(b *testing.B) {
		for b.Loop() {
			h.fly(&s, DT)
		}
	})
	b.Run("part=clear", func(b *testing.B) {
		s := Airborne(c, p, Vec3{Z: 10}, 0)
		for b.Loop() {
			if !c.clear(p, &s, &in) {
				b.Fatal("not clear")
			}
		}
	})
}
