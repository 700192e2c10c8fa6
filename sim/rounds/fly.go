package rounds

import (
	"errors"
	"fmt"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/pilot"
	"lapwing/sim/score"
	"lapwing/sim/trials"
)

// Fly flies a case and returns what is left of it: a function of its number and of
// nothing else. A panic, a law from outside that fails, a point of the sweep that
// makes no sound law and a case that passes its limit are errors of that case.
func (c *Cases) Fly(number int) (r trials.Result) {
	r = c.Named(number)
	defer func() {
		if p := recover(); p != nil {
			r.Fail(fmt.Sprintf("an internal error: %v", p))
		}
	}()
	if err := c.fly(&r); err != nil {
		r.Fail(err.Error())
	}
	return r
}

func (c *Cases) fly(r *trials.Result) error {
	from, give := c.take(c.placeOf(r.ID))
	defer give()
	if from.err != nil {
		return from.err
	}
	conditions := from.bundle.Rehearsal(r.Seed)
	end, err := from.host.Fly(&conditions)
	if err != nil {
		return fmt.Errorf("law %s: %w", from.bundle.LawName, err)
	}
	defer end()
	limited := c.Matrix.LimitTicks < conditions.Duration
	conditions.Duration = min(conditions.Duration, c.Matrix.LimitTicks)
	hands, err := conditions.Pilot(c.Person(r.ID))
	if err != nil {
		return err
	}
	run := sim.Run(&conditions, hands)
	if limited && run.Why == sim.EndTime {
		return fmt.Errorf("it had not ended after %d ticks, the limit", c.Matrix.LimitTicks)
	}
	if run.End.Void.Reason == sim.VoidOutside {
		return outside(from.bundle, &conditions, &run)
	}
	a := score.Assess(&conditions, &run, score.Available{})
	r.Note(&conditions, &run, &a)
	return nil
}

func outside(b *scenarios.Bundle, c *sim.Conditions, run *sim.Result) error {
	err := c.OutsideError()
	if err == nil {
		err = errors.New("it gave no reason")
	}
	return fmt.Errorf("law %s failed at tick %d: %w", b.LawName, run.End.Void.Tick, err)
}

// Person returns the pilot of a case, as sim.Conditions.Pilot takes it.
func (c *Cases) Person(number int) (name string, script *pilot.Script) {
	p := &c.pilots[c.placeOf(number).pilot]
	if p.script != nil {
		return "script", &p.script.Script
	}
	return p.name, nil
}

// Script returns the script file of a case, nil where none flies it.
func (c *Cases) Script(number int) *scenarios.ScriptFile {
	return c.pilots[c.placeOf(number).pilot].script
}

// Bundle returns what a case is flown from, at its point of the sweep.
func (c *Cases) Bundle(number int) (*scenarios.Bundle, error) {
	at := c.placeOf(number)
	return c.bundles[at.bundle].Tuned(c.points[at.point])
}
