package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Moment is where the hands stood from a tick on.
type Moment struct {
	Tick  int64
	Hands hands.Hands
}

// Recorded repeats recorded hands. The moments are read-only and in order of
// their ticks; hands stay as they are between them.
type Recorded struct {
	moments []Moment
	next    int64
}

// NewRecorded returns the pilot who repeats moments.
func NewRecorded(moments []Moment) Recorded { return Recorded{moments: moments} }

// Act implements Pilot.
func (r *Recorded) Act(p *percept.Percept, h *hands.Hands) {
	for r.next < int64(len(r.moments)) && r.moments[r.next].Tick <= p.Tick {
		*h = r.moments[r.next].Hands
		r.next++
	}
}
