package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/dynamics"
	"lapwing/sim/percept"
)

// Goal: an event that emerges begins with its cue, which is watched from its mark
// on and not before; a right action before it is none. Method: a sign shown
// before the mark, at the mark, and after it; once without the word emerges.
func TestAnEventThatEmergesBeginsWithItsCue(t *testing.T) {
	emerging := func() *stage {
		s := flight()
		s.d.Emerges, s.d.CueCount = true, 1
		s.d.Cues[0] = percept.Rule{Sign: percept.SignSlide, Above: 0.15, For: 100}
		s.d.DemandCount = 1
		s.d.Demands[0] = Demand{AnyOf: [MaxChoices]Deed{{Kind: DeedPositionHold}}, Count: 1, First: true, Within: NoLimit}
		return s
	}
	s := emerging()
	s.p.Uncommanded = 0.3
	s.look(20)
	assert.Equal(t, []int64{Never, Never}, []int64{s.f.Onset, s.f.Cue}, "before the mark")
	s.begun = true
	at := s.look(20)
	assert.Equal(t, []int64{at + 100, at + 100}, []int64{s.f.Onset, s.f.Cue})
	assert.Equal(t, at+100, s.f.FirstRight, "what was selected already counts from the cue on")

	s = emerging()
	s.begun = true
	s.look(50)
	assert.Equal(t, []int64{Never, Never}, []int64{s.f.Onset, s.f.FirstRight}, "no sign")

	s = emerging()
	s.d.Emerges, s.begun, s.p.Uncommanded = false, true, 0.3
	s.look(50)
	assert.Equal(t, Never, s.f.Cue, "it does not emerge, and nothing was made to go wrong")
}

// Goal: the endurance at the cue is what the model of the battery then takes.
// Method: a pack of 1 A·h that hovers at 10 A; draw that current from a cell of
// the same model, tick by tick, until its voltage under load is critical.
func TestEnduranceIsWhatTheBatteryThenTakes(t *testing.T) {
	s := flight()
	s.pack = dynamics.Battery{Capacity: 3600, CriticalVolts: 3.5, Resistance: 0.01}
	for _, charge := range []float64{0.9, 0.3, 0.12} {
		s.craft.Cell = dynamics.Cell{Charge: charge, Current: 10, Volts: dynamics.RestVolts(charge) - 0.1}
		want, left := 0.0, charge
		for dynamics.RestVolts(left)-0.1 > 3.5 {
			left -= 10 * 0.001 / 3600
			want += 0.001
		}
		assert.InDelta(t, want, endurance(&s.pack, &s.craft.Cell), 0.01, "s, at a charge of %v", charge)
	}
	s.craft.Cell.Volts = 3.4
	assert.Zero(t, endurance(&s.pack, &s.craft.Cell), "critical already")
	s.craft.Cell.Current = 0
	assert.EqualValues(t, longest, endurance(&s.pack, &s.craft.Cell), "no current")

	s = flight()
	s.pack = dynamics.Battery{Capacity: 3600, CriticalVolts: 3.5}
	s.craft.Cell = dynamics.Cell{Charge: 0.5, Current: 10, Volts: 3.8}
	s.cued()
	assert.Equal(t, endurance(&s.pack, &s.craft.Cell), s.f.Endurance)
}

// Goal: each grade of announcing has its word and its sentence.
func TestGradesOfAnnouncing(t *testing.T) {
	assert.Equal(t, []string{"no", "kind", "fully"}, AnnouncedWords())
	for i, w := range AnnouncedWords() {
		assert.Equal(t, w, Announced(i).String())
		assert.NotEmpty(t, Announced(i).Words())
	}
}
