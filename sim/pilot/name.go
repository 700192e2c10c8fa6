package pilot

import (
	"fmt"
	"strconv"
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

// mostDelay bounds what Delayed takes.
const mostDelay = 20.0 // s

// WithDelay returns the name of a modelled person who waits so long (s) on top.
func WithDelay(name string, delay float64) string {
	if delay == 0 {
		return name
	}
	return name + "+" + strconv.FormatFloat(delay, 'g', -1, 64) + "s"
}

// Delayed splits a name such as trained+2s into the person and how long (s) that
// one waits on top before answering.
func Delayed(name string) (person string, delay float64, err error) {
	person, wait, has := strings.Cut(name, "+")
	if !has {
		return name, 0, nil
	}
	delay, err = strconv.ParseFloat(strings.TrimSuffix(wait, "s"), 64)
	if err != nil || !strings.HasSuffix(wait, "s") || !(delay >= 0 && delay <= mostDelay) {
		return "", 0, fmt.Errorf("pilot: %q: a delay is written as in trained+2s, 0 to %g s", name, mostDelay)
	}
	if _, ok := ProfileByName(person); !ok {
		return "", 0, fmt.Errorf("pilot: %q: only a modelled person waits on top; %s does not", name, person)
	}
	return person, delay, nil
}

// ByName returns the pilot called name for a task: none (flies the plan and
// answers nothing), a modelled person, one who waits on top as in trained+2s, or
// script.
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
		s.exec.Care = Care{Scale: scaleTold, Answer: withMean(expected)}
		return &s, nil
	}
	person, delay, err := Delayed(name)
	if err != nil {
		return nil, err
	}
	profile, ok := ProfileByName(person)
	if !ok {
		return nil, fmt.Errorf("pilot: there is no pilot %q; there are %s", name, strings.Join(Names(), ", "))
	}
	profile.Hand, profile.Wait = profile.Hand.With(t.Brief), profile.Wait+delay
	x := NewPerson(t.Plan, t.Drill, &profile, t.Seed)
	return &x, nil
}
