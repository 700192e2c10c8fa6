package control

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/path"
	"lapwing/sim/safety"
)

// Goal: whatever is believed, heard and decided, duties are numbers from 0 to 1,
// and motors that must not turn do not. Method: runs of random, often senseless
// inputs, with one value in fifty not a number or without end.
func TestDutiesStayInRange(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	wild := func(scale float64) float64 {
		switch r.IntN(50) {
		case 0:
			return math.NaN()
		case 1:
			return math.Inf(1 - 2*r.IntN(2))
		}
		return scale * r.NormFloat64()
	}
	vec := func(scale float64) kernel.Vec3 {
		return kernel.Vec3{X: wild(scale), Y: wild(scale), Z: wild(scale)}
	}
	stick := func() int16 { return int16(r.IntN(2001) - 1000) }
	for _, sh := range shapes {
		p := Design(sh.craft(), hall(), nil)
		for range 40 {
			var s State
			var out Output
			b, st := estimate.Belief{QWB: kernel.Quat{W: 1}}, safety.Status{MotorsOn: true}
			in := Input{Belief: &b, Status: &st, HasSpeeds: r.IntN(2) == 0}
			for tick := range int64(300) {
				if r.IntN(8) == 0 {
					b = estimate.Belief{
						PosW: vec(3), VelW: vec(3), OmegaB: vec(8), Height: wild(3), HeightOK: r.IntN(2) == 0,
						QWB:    kernel.Quat{W: wild(1), X: wild(1), Y: wild(1), Z: wild(1)}.Normalized(),
						Health: estimate.Health(r.IntN(3)),
					}
					st = safety.Status{
						MotorsOn: r.IntN(10) > 0, Response: hands.Response(r.IntN(5)),
						Landing: r.IntN(5) == 0, Landed: r.IntN(5) == 0, Link: safety.Link(r.IntN(3)),
					}
					in.Hands = hands.Hands{Throttle: int16(r.IntN(1001)), Roll: stick(), Pitch: stick(), Yaw: stick()}
					in.Path = path.Setpoint{PosW: vec(3), VelW: vec(3), AccW: vec(3), Yaw: wild(1), Active: r.IntN(2) == 0}
					in.CellVolts, in.RotorSpeed[0] = 4+wild(1), wild(900)
				}
				in.Tick = tick
				Law(&p, &s, &in, &out)
				for i, d := range out.Duty {
					require.True(t, d >= 0 && d <= 1, "%s duty %d: %g", sh.name, i, d)
					require.True(t, st.MotorsOn && i < p.RotorCount || d == 0)
				}
			}
		}
	}
}
