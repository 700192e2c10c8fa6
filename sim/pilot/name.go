package pilot

import (
	"fmt"
	"strings"

	"lapwing/sim/judge"
)

// Task is what a pilot is given: the briefed plan, what is expected, what it was
// told of the craft. Plan, Drill and Script are only read.
type Task struct {
	Plan   *Plan
	Drill  *judge.Drill
	Brief  Brief
	Seed   uint64
	Script *Script // of the pilot called script
}

// Names lists the pilots that ByName knows.
func Names() []string {
	names := []string{"none"}
	for _, p := range Profiles() {
		names = append(names, p.Name)
	}
	return append(names, "script")
}

// ByName returns the pilot called name for a task: none (flies the plan and
// answers nothing), a modelled person, or script.
func ByName(name string, t Task) (Pilot, error) {
	if err := t.Brief.Validate(); err != nil {
		return nil, err
	}
	switch name {
	case "none":
		e := NewExecutor(t.Plan, TrainedHand().With(t.Brief), t.Seed)
		e.trusts = true
		return &e, nil
	case "script":
		if t.Script == nil {
			return nil, fmt.Errorf("pilot: script needs a script")
		}
		s := NewScripted(t.Plan, t.Script, TrainedHand().With(t.Brief), t.Seed)
		return &s, nil
	}
	profile, ok := ProfileByName(name)
	if !ok {
		return nil, fmt.Errorf("pilot: there is no pilot %q; there are %s", name, strings.Join(Names(), ", "))
	}
	profile.Hand = profile.Hand.With(t.Brief)
	x := NewPerson(t.Plan, t.Drill, &profile, t.Seed)
	return &x, nil
}
