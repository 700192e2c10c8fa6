// Package sim is one rehearsal and its tick.
//
// World holds everything that changes and Conditions everything that does not.
// World is a plain struct without pointers, slices or maps, so assigning it
// forks the future: restart, start from any phase, the time there was to act,
// what-if answers and exact replay all rest on that one property.
//
// The way of the data in one tick (tick.go):
//
//	hands → link → injects → sensors → estimate → watchman → path → law → craft → judge
//
// and every twentieth tick a percept is formed (eye.go) and handed to whoever
// works the sticks.
package sim

import (
	"lapwing/dynamics"
	"lapwing/sim/bench"
	"lapwing/sim/carry"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/link"
	"lapwing/sim/path"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
	"lapwing/sim/prompt"
	"lapwing/sim/safety"
	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

// TicksPerSecond is the rate of the tick.
const TicksPerSecond = 1000

// Conditions is everything about a run that never changes.
type Conditions struct {
	Seed     uint64
	Duration int64 // ticks after which the run ends whatever happens
	Inverted bool  // the run begins with the craft on its back, armed, the throttle up

	Craft    dynamics.Craft
	Place    dynamics.Place
	Scene    *sight.Scene // what its camera can see, read-only
	Sense    sense.Params
	Sight    sight.Params
	Estimate estimate.Params
	Sighted  estimate.SightParams
	Link     link.Params
	Safety   safety.Params
	Law      control.Params
	Path     path.Params
	Injects  inject.Plan
	Plan     pilot.Plan
	Drill    judge.Drill
	Bench    bench.Params
	Carry    carry.Params
	Prompt   prompt.Params

	Uncertainty Uncertainty

	Stage   control.Stage    // taken by a law from outside, BuiltIn for none
	Outside *control.Outside // the talk with it; the one thing here that a fork may not share
}

// Uncertainty is how well the craft file knows its craft, as shares (0.05 is
// ±5 %). The time available is computed over it.
type Uncertainty struct{ Mass, Lag, Drag float64 }

// World is everything that changes.
type World struct {
	Tick int64

	Hands hands.Hands // as the person holds them
	Heard link.Heard  // as the craft has heard them

	Craft    dynamics.State
	Input    dynamics.Input // what acted on the craft in the last tick
	Sense    sense.State
	Reading  sense.Reading
	Sight    sight.State
	Relative estimate.Relative // what the camera said last
	Estimate estimate.Sighted
	Link     link.State
	Safety   safety.State
	Path     path.State
	Setpoint path.Setpoint // the briefed path's
	Steer    path.Setpoint // what the on-board computer asks of the law: the same, while it is sound
	Law      control.State
	Inject   inject.State
	Marks    inject.Marks
	Effects  inject.Effects
	Judge    judge.Facts
	Bench    bench.State
	Carry    carry.State
	Prompt   prompt.State

	Progress pilot.Progress  // how far the briefed plan has come
	Eye      Eye             // how a percept is formed
	Percept  percept.Percept // the latest look

	Void Void
}

// Void says why a run does not count; Never when it does.
type Void struct {
	Tick   int64
	Reason VoidReason
}

// VoidReason is a reason for which a run is void.
type VoidReason uint8

// The reasons.
const (
	VoidNot       VoidReason = iota
	VoidCraft                // the craft's state is not finite or outside the model's range
	VoidEstimate             // the estimate is not finite
	VoidLaw                  // the law asks for something that is not finite
	VoidWithdrawn            // a person ended the run: device lost, real emergency, machine fault
	VoidOutside              // the law from outside failed: an error of its own, never of the flight
)

// Words says what r is.
func (r VoidReason) Words() string {
	return [...]string{"", "the craft's state left the model's range", "the estimate left the model's range",
		"the law asked for something that is not a number", "the run was withdrawn", "the law from outside failed"}[min(r, VoidOutside)]
}

// Start returns the world at tick 0: the craft stands on its mark, battery in,
// motors disarmed, cut-off engaged; or lies on its back (lying.go).
func Start(c *Conditions) World {
	w := World{Void: Void{Tick: judge.Never}}
	w.Hands = hands.Rest()
	w.Craft = dynamics.Start(&c.Craft, &c.Place, c.Place.TakeOff, 0)
	w.Input = dynamics.DefaultInput()
	w.Sense = sense.Start(&c.Sense, c.Seed)
	w.Sight = sight.Start(&c.Sight, c.Seed)
	w.Estimate = estimate.StartSighted(&c.Estimate, w.Craft.PosW, 0)
	w.Link = link.Start(&c.Link, c.Seed)
	w.Safety = safety.Start(&c.Safety)
	w.Path = path.State{}
	w.Law = control.Start(&c.Law)
	w.Inject = inject.Start(&c.Injects)
	w.Marks = inject.NoMarks()
	w.Judge = judge.Start()
	w.Bench = bench.Start(&c.Bench)
	w.Carry = carry.Start()
	w.Prompt = prompt.Start(&c.Prompt, c.Seed)
	w.Link.Silent = !w.Bench.TransmitterOn
	w.Craft.Cell.BrownOut = !w.Bench.BatteryIn
	if c.Inverted {
		lie(c, &w)
	}
	w.Eye = openEye(&c.Place, &w.Craft)
	return w
}
