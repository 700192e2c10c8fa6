package flight

import (
	"sort"

	"lapwing/sim"
	"lapwing/sim/pilot"
)

// keyEvery is the distance of the worlds that a track keeps: what lies between is
// flown again when it is asked for, a third of a millisecond's work.
const keyEvery = 500 // ticks

// Track is a flight that is over, at every tick of which one may look.
type Track struct {
	C          *sim.Conditions
	Start, End sim.World

	keys    []sim.World
	moments []pilot.Moment
	at      sim.World
	player  pilot.Recorded
}

// NewTrack lets p fly from start until the run is over or past until, and keeps
// what is needed to look at it again.
func NewTrack(c *sim.Conditions, start *sim.World, p pilot.Pilot, until int64) *Track {
	t := &Track{C: c, Start: *start}
	w := *start
	var taped tape
	for w.Tick < until {
		if w.Tick%keyEvery == 0 || w.Tick == start.Tick {
			t.keys = append(t.keys, w)
		}
		if _, over := sim.Over(c, &w); over {
			break
		}
		sim.Turn(c, &w, p, &taped)
	}
	t.End, t.moments = w, taped.moments
	t.seek(start.Tick)
	return t
}

// At returns the world at a tick, the nearest there is. It is good until the next
// call.
func (t *Track) At(tick int64) *sim.World {
	tick = min(max(tick, t.Start.Tick), t.End.Tick)
	if tick < t.at.Tick || tick-t.at.Tick > keyEvery {
		t.seek(tick)
	}
	for t.at.Tick < tick {
		sim.Turn(t.C, &t.at, &t.player)
	}
	return &t.at
}

func (t *Track) seek(tick int64) {
	i := sort.Search(len(t.keys), func(i int) bool { return t.keys[i].Tick > tick }) - 1
	t.at = t.Start
	if i >= 0 {
		t.at = t.keys[i]
	}
	t.player = pilot.NewRecorded(t.moments)
}
