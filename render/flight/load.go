package flight

import (
	_ "embed"

	"lapwing/scenarios"
	"lapwing/sim/control"
	"lapwing/sim/pilot"
)

//go:embed free.yaml
var freeText []byte

// Levers make a practice easier or harder. They stand in the record.
type Levers struct {
	Onset    float64 `json:"onset_factor"`   // on how hard it strikes, 1 as it is
	Wind     float64 `json:"wind_m_s"`       // across the room
	Latency  float64 `json:"latency_s"`      // more on the C2 link
	Room     string  `json:"room,omitempty"` // in place of the scenario's
	Salience bool    `json:"cue_told"`       // the cue is also told by a word
	Hints    int     `json:"hints"`          // 0 none, 1 what comes next, 2 with the key for it
}

// DefaultLevers change nothing.
func DefaultLevers() Levers { return Levers{Onset: 1} }

// Load reads a scenario, or free flight where the name is empty, for the throttle
// of the hand that flies.
func Load(name string, l Levers, instead scenarios.Instead, throttle *control.Overrides) (*scenarios.Bundle, error) {
	b, err := read(name, l, instead)
	if err != nil {
		return nil, err
	}
	return b.Changed(scenarios.Changes{Throttle: throttle, Onset: l.Onset, Wind: l.Wind, Latency: l.Latency})
}

func read(name string, l Levers, instead scenarios.Instead) (*scenarios.Bundle, error) {
	if l.Room != "" {
		instead.Room = l.Room
	}
	find := scenarios.Disk("")
	if name != "" {
		return scenarios.LoadInstead(find, name, instead)
	}
	return scenarios.LoadInstead(free{find}, FreeName, instead)
}

// FreeName is the name of free flight, which stands in no catalogue.
const FreeName = "free-flight"

// FreeFrom is the leg from which a person flies in it.
const FreeFrom = 3

// free finds free flight before others are looked for.
type free struct{ scenarios.Finder }

func (f free) Find(kind scenarios.Kind, name string) (scenarios.Document, error) {
	if kind == scenarios.KindScenario && name == FreeName {
		return scenarios.Document{Kind: kind, Name: name, File: name, Text: freeText}, nil
	}
	return f.Finder.Find(kind, name)
}

// Legs lists the legs of the plan from which a practice may begin: the first, and
// those that are begun in the air.
func Legs(p *pilot.Plan) []int64 {
	list := []int64{0}
	flies := false
	for i := range p.Count {
		leg := &p.Legs[i]
		if flies && leg.Do != pilot.LegCall {
			list = append(list, int64(i))
		}
		switch leg.Do {
		case pilot.LegLift:
			flies = true
		case pilot.LegLand, pilot.LegCutOff, pilot.LegDisarm:
			flies = false
		}
	}
	return list
}
