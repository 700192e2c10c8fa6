package ability_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/scenarios"
	"lapwing/sim/ability"
)

func load(t *testing.T, name string) (*scenarios.CraftFile, dynamics.Place, ability.Ability) {
	t.Helper()
	place := ability.StandardPlace()
	file, err := scenarios.LoadCraft(scenarios.Catalogue(), name, &place)
	require.NoError(t, err)
	return file, place, ability.Of(&file.Craft, &place, file.RotorNames)
}

// Goal: what is left without a rotor is what is published: a quad is lost; a hexa
// whose neighbours turn against each other cannot keep its heading; one with
// paired spins keeps it after the loss of some rotors (Du, Quan, Yang and Cai,
// J. Guid. Control Dyn. 38(5), 2015, from memory); an octo keeps it after any.
func TestRotorLosses(t *testing.T) {
	for _, c := range []struct {
		name              string
		least, most, lost int // rotors after which the heading is kept; rotors whose loss loses the craft
	}{
		{"quad-250g", 0, 0, 4},
		{"quad-500g", 0, 0, 4},
		{"hexa-alternating", 0, 0, 0},
		{"hexa-paired", 4, 4, 0},
		{"octo-3kg", 8, 8, 0},
	} {
		_, _, a := load(t, c.name)
		kept, lost := 0, 0
		for _, l := range a.Losses {
			if l.Outcome == "hovers with yaw" {
				kept++
			}
			if l.Outcome == "lost" {
				lost++
			}
		}
		t.Logf("%s: %+v", c.name, a.Losses)
		if kept < c.least || kept > c.most {
			t.Errorf("%s: heading kept after the loss of %d rotors, want %d to %d", c.name, kept, c.least, c.most)
		}
		if c.lost > 0 {
			require.Equal(t, c.lost, lost, c.name)
		}
	}
}

// Goal: the hover's duty, power and time are those of the simulation. Method: a
// craft high up in still air, its attitude held, its duty set by hand to keep the
// height, is stepped with full cells until the caution voltage. A fifth of the
// capacity keeps the test short.
func TestHoverIsThatOfTheSimulation(t *testing.T) {
	file, place, _ := load(t, "quad-250g")
	file.Craft.Battery.Capacity /= 5
	a := ability.Of(&file.Craft, &place, file.RotorNames)
	s, in := floating(file, &place)
	first := 0.0
	ticks := 0
	for ; ticks < 3600*1000; ticks++ {
		steer(&file.Craft, &place, &s, &in, kernel.Quat{W: 1})
		if ticks == 2000 {
			first = in.Duty[0]
		}
		if s.Cell.Volts < file.Craft.Battery.CautionVolts {
			break
		}
	}
	require.InDelta(t, first, a.Hover.DutyFull, 0.005) // two seconds on, the cells have sagged a little
	require.InEpsilon(t, float64(ticks)/1000, a.Hover.TimeCaution, 0.005)
}

// Goal: the level speed at a tilt is that of the simulation, to within what is
// left aside: the thrust that edgewise flow adds.
func TestSpeedIsThatOfTheSimulation(t *testing.T) {
	for _, name := range []string{"quad-250g", "hexa-paired"} {
		file, place, a := load(t, name)
		at := a.Speed[1]
		s, in := floating(file, &place)
		tilt := 0.8 * at.Tilt
		for range 30 * 1000 {
			steer(&file.Craft, &place, &s, &in, kernel.QuatEuler(0, tilt, 0))
		}
		got := s.VelW.NormXY()
		want := ability.Level(&file.Craft, &place, tilt)
		t.Logf("%s: %.2f m/s flown, %.2f m/s worked out, at %.0f degrees", name, got, want, tilt*180/math.Pi)
		require.InEpsilon(t, got, want, 0.1, name)
	}
}

// floating returns a craft that flies in the middle of nowhere.
func floating(file *scenarios.CraftFile, place *dynamics.Place) (dynamics.State, dynamics.Input) {
	place.Min, place.Max = kernel.Vec3{X: -1e4, Y: -1e4}, kernel.Vec3{X: 1e4, Y: 1e4, Z: 2e3}
	place.CageMin, place.CageMax = place.Min, place.Max
	place.Prepare()
	file.Craft.Battery.StartingCharge = 1
	file.Craft.Prepare()
	s := dynamics.Start(&file.Craft, place, kernel.Vec3{}, 0)
	s.PosW = kernel.Vec3{Z: 1000}
	return s, dynamics.DefaultInput()
}

// steer holds the attitude and sets the same duty on all rotors by the vertical
// speed, then steps.
func steer(c *dynamics.Craft, p *dynamics.Place, s *dynamics.State, in *dynamics.Input, q kernel.Quat) {
	s.QWB, s.OmegaB = q, kernel.Vec3{}
	s.PosW = kernel.Vec3{Z: 1000}
	trim := dynamics.HoverDuty(c, p, max(s.Cell.Volts, 3))
	if in.Tick == 0 {
		for i := range c.RotorCount {
			in.Duty[i] = trim
		}
	}
	for i := range c.RotorCount {
		in.Duty[i] = kernel.Clamp(in.Duty[i]-0.002*(s.SpecificForceB.Z*q.AxisZ().Z-p.Air.Gravity)*0.1-0.0005*s.VelW.Z, 0, 1)
	}
	dynamics.Step(c, p, s, in)
	in.Tick++
}

// Goal: the figures of every craft of the catalogue make sense together.
func TestCatalogueMakesSense(t *testing.T) {
	for _, name := range scenarios.Names(scenarios.KindCraft) {
		file, _, a := load(t, name)
		require.Greater(t, a.Hover.DutyFull, 0.2, name)
		require.Less(t, a.Hover.DutyFull, 0.9, name)
		require.Greater(t, a.Hover.DutyCaution, a.Hover.DutyFull, name)
		require.Greater(t, a.Hover.TimeCaution, 120.0, name)
		require.Greater(t, a.Hover.TimeCritical, a.Hover.TimeCaution, name)
		require.Len(t, a.Losses, file.Craft.RotorCount, name)
		for i := range a.Lift[1:] {
			require.Less(t, a.Lift[i+1].Weight, a.Lift[i].Weight, name)
		}
		for i, l := range a.Loops {
			require.Greater(t, l.Bandwidth, 0.05, "%s, loop %d", name, i)
		}
		require.NotEmpty(t, ability.Models(&file.Craft))
		for _, section := range a.Says() {
			require.NotEmpty(t, section.Lines, section.Title)
		}
	}
}
