package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics"
)

// Goal: who flies is to blame for what they can avoid. Method: a person walks
// from 4 m to 1 m of a hovering craft and stands there; it counts two seconds
// after they came within the radius, not before, and not if the craft is gone by
// then. A craft that flies to somebody, and one that flies on to where somebody
// has walked, count at once. A craft that is cut off never does.
func TestOnlyWhatIsAvoidableCounts(t *testing.T) {
	walk := func(s *stage) (in int64) { // returns the tick at which they come within the radius
		s.place.People[0].PosW.X = -4
		for s.shiftW.X < 3 {
			s.shiftW.X += 0.002 // m in a tick: 2 m/s
			s.tickOn()
			if in == 0 && s.shiftW.X > 4-s.place.PersonRadius {
				in = s.tick
			}
		}
		return in
	}
	s := flight()
	in := walk(s)
	s.look(80)
	require.Less(t, s.tick, in+2000)
	assert.Equal(t, []int64{Never, Never}, []int64{s.f.Fail[FailPerson], s.f.Hard}, "within two seconds")
	s.look(50)
	assert.InDelta(t, in+2000, s.f.Fail[FailPerson], 21)
	assert.InDelta(t, in+2000, s.f.Hard, 2)
	assert.Equal(t, HardPerson, s.f.HardKind)

	s = flight()
	walk(s)
	s.craft.PosW.X = 1
	s.look(200)
	assert.Equal(t, Never, s.f.Fail[FailPerson], "the craft moved away")

	s = flight()
	s.craft.PosW.X = 1
	walk(s)
	s.look(5)
	s.craft.PosW.X = 0
	at := s.look(5)
	assert.Equal(t, at, s.f.Fail[FailPerson], "flown to where they stand now")

	s = flight()
	walk(s)
	s.h.CutOff = true
	s.craft.Touch.Kinds = dynamics.TouchPerson
	s.look(200)
	assert.Equal(t, Never, s.f.Fail[FailPerson], "cut off, it falls where it falls")
}

// Goal: a person who has walked is where they are now, also for a cut-off above
// them and for arming.
func TestAPersonIsWhereTheyWalkedTo(t *testing.T) {
	s := flight()
	s.shiftW.X = 6
	s.look(1)
	s.h.CutOff = true
	at := s.look(1)
	assert.Equal(t, at, s.f.Fail[FailCutOver])

	s = flight()
	s.f = Start()
	s.land()
	s.status.Armed, s.shiftW.X = false, 4
	s.look(1)
	s.status.Armed = true
	at = s.look(1)
	assert.Equal(t, at, s.f.Fail[FailArming])
}
