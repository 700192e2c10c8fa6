package dynamics

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics/kernel"
)

// Goal: the step that is written out for the body is the general step of
// kernel.RungeKutta, which the published test problems of the literature are laid
// on, with nothing lost on the way: position without stages of its own, the half
// of the attitude's rate, the folded sums. Method: all thirteen numbers after one
// step of 1, 10 and 50 ms, for a body on which every force and moment acts; the
// length of the quaternion is brought to one afterwards in both.
func TestStepIsTheGeneralStep(t *testing.T) {
	c := &Craft{
		Mass: 0.5, RotorCount: 2, DragArea: Vec3{X: 0.01, Y: 0.02, Z: 0.03},
		Inertia: Mat3{2e-3, 2e-4, -1e-4, 2e-4, 3e-3, 3e-4, -1e-4, 3e-4, 4.5e-3},
	}
	c.InertiaInv, _ = c.Inertia.Inverse()
	c.Rotors[0].PosB, c.Rotors[1].PosB = Vec3{X: 0.1, Y: 0.12, Z: 0.02}, Vec3{X: -0.1, Y: -0.13, Z: 0.01}
	for _, dt := range []float64{0.001, 0.01, 0.05} {
		s := &State{PosW: Vec3{X: 1}, VelW: Vec3{X: 3, Y: -1, Z: 2}, QWB: kernel.QuatEuler(0.4, -0.7, 1.1), OmegaB: Vec3{X: 2, Y: -3, Z: 1}}
		s.Gust.WindW = Vec3{X: 2, Y: -1, Z: 0.5}
		h := &held{}
		h.ForceB, h.MomentB, h.SpinB = Vec3{X: 0.1, Y: -0.2, Z: 5}, Vec3{X: 1e-3, Y: 2e-3, Z: -5e-4}, Vec3{X: 1e-4, Z: 4e-3}
		h.DragK = [MaxRotors]float64{0.01, 0.02}
		h.hold(c, &Place{Air: Air{Density: 1.225, Gravity: 9.80665}}, s)

		want := asNumbers(s)
		kernel.RungeKutta(func(_ float64, y, dy []float64) {
			at := fromNumbers(y)
			var rate State
			rate.PosW = at.VelW
			rate.VelW, rate.OmegaB, rate.QWB = h.accelerate(at.QWB, at.VelW.Sub(h.windW), at.OmegaB)
			copy(dy, asNumbers(&rate))
			for k := 6; k < 10; k++ {
				dy[k] *= 0.5 // accelerate gives twice the rate
			}
		}, 0, dt, want)
		end := fromNumbers(want)
		end.QWB = renorm(end.QWB)
		h.fly(s, dt)
		assert.InDeltaSlice(t, asNumbers(&end), asNumbers(s), 2e-15, "a step of %v s", dt)
	}
}

// asNumbers returns place, velocity, attitude and rate in one row.
func asNumbers(s *State) []float64 {
	return []float64{
		s.PosW.X, s.PosW.Y, s.PosW.Z, s.VelW.X, s.VelW.Y, s.VelW.Z,
		s.QWB.W, s.QWB.X, s.QWB.Y, s.QWB.Z, s.OmegaB.X, s.OmegaB.Y, s.OmegaB.Z,
	}
}

func fromNumbers(y []float64) State {
	return State{
		PosW: Vec3{X: y[0], Y: y[1], Z: y[2]}, VelW: Vec3{X: y[3], Y: y[4], Z: y[5]},
		QWB: Quat{W: y[6], X: y[7], Y: y[8], Z: y[9]}, OmegaB: Vec3{X: y[10], Y: y[11], Z: y[12]},
	}
}
