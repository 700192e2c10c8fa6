package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// Unaware goes on with the task as if nothing were wrong: the baseline of the
// forks that ask how much time there was. It is a plain value but for the plan
// it reads, so that assigning it forks it.
type Unaware struct{ exec Executor }

// NewUnaware returns the unaware pilot of plan from where progress stands.
func NewUnaware(plan *Plan, progress Progress) Unaware {
	e := NewExecutor(plan, UnawareHand(), 0)
	e.Progress, e.trusts = progress, true
	return Unaware{exec: e}
}

// With returns u with another brief of the craft.
func (u Unaware) With(b Brief) Unaware {
	u.exec.Hand.Brief = b
	return u
}

// Act implements Pilot.
func (u *Unaware) Act(p *percept.Percept, h *hands.Hands) { u.exec.Act(p, h) }
