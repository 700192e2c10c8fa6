package host_test

import (
	"fmt"

	"lapwing/dynamics/kernel"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/score"
)

// gentle is a law in Go that takes the position stage: it goes home at half the
// usual pace. Its fields are all that it remembers, so a copy of it is a fork.
type gentle struct {
	pace float64 // 1/s, speed for each metre of error
	most float64 // m/s
}

// Stage implements control.Guest.
func (g gentle) Stage() control.Stage { return control.Position }

// Act implements control.Guest: velocity is what is to be added anyway, and so
// much for each metre to go.
func (g gentle) Act(in *control.Input, want *control.Want, out *control.Answer) error {
	home := want.PosW.Sub(in.Belief.PosW).Scale(g.pace)
	out.VelW = want.VelW.Add(kernel.Vec3{X: g.bound(home.X), Y: g.bound(home.Y), Z: g.bound(home.Z)})
	return nil
}

func (g gentle) bound(x float64) float64 { return kernel.Clamp(x, -g.most, g.most) }

// Save implements control.Guest, and Start control.Saved.
func (g gentle) Save() (control.Saved, error)  { return g, nil }
func (g gentle) Start() (control.Guest, error) { return g, nil }

// Close implements control.Guest.
func (g gentle) Close() error { return nil }

// A law that is a Go type of this module is given to a rehearsal's conditions.
func Example() {
	bundle, err := scenarios.Load(scenarios.Catalogue(), "drift-in-hold")
	if err != nil {
		panic(err)
	}
	built := bundle.Rehearsal(3)
	c := built.With(gentle{pace: 0.25, most: 0.5})
	hands, err := c.Pilot("trained", nil)
	if err != nil {
		panic(err)
	}
	result := sim.Run(&c, hands)
	if err := c.OutsideError(); err != nil {
		panic(err)
	}
	available := score.NominalTimeAvailable(&c, &result)
	fmt.Println(score.Assess(&c, &result, available).Verdict, available.Known, available.Undecided)
	// Output: GO true
}
