package sim_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/inject"
	"lapwing/sim/pilot"
)

// rehearsal returns the conditions of a scenario of the catalogue.
func rehearsal(t testing.TB, name string, seed uint64) sim.Conditions {
	t.Helper()
	b, err := scenarios.Load(scenarios.Catalogue(), name)
	require.NoError(t, err)
	return b.Rehearsal(seed)
}

// quiet returns c with nothing made to go wrong.
func quiet(c sim.Conditions) sim.Conditions {
	c.Injects = inject.Plan{}
	return c
}

// nobody returns the pilot who flies the plan of c and answers nothing.
func nobody(t testing.TB, c *sim.Conditions) pilot.Pilot {
	t.Helper()
	p, err := c.Pilot("none", nil)
	require.NoError(t, err)
	return p
}

// ticking calls itself after every tick.
type ticking func(w *sim.World)

func (ticking) Looked(*sim.World)     {}
func (ticking) Second(*sim.World)     {}
func (f ticking) Ticked(w *sim.World) { f(w) }

// second calls itself at the start of each simulated second.
type second func(w *sim.World)

func (second) Looked(*sim.World)     {}
func (f second) Second(w *sim.World) { f(w) }
func (second) Ticked(*sim.World)     {}
