package sim

import (
	"errors"

	"lapwing/sim/control"
)

// errNoGuest is what stands in the way where conditions that name a law from
// outside are flown without one.
var errNoGuest = errors.New("the conditions name a law from outside, and none was started")

// With returns the conditions with a law from outside, not yet asked, that takes
// the stage they name.
func (c *Conditions) With(g control.Guest) Conditions {
	own := *c
	own.Stage, own.Outside = g.Stage(), control.NewOutside(g)
	return own
}

// SaveLaw returns the memory of the law from outside, nil for the built-in law.
func (c *Conditions) SaveLaw() (control.Saved, error) {
	if c.Outside == nil {
		return nil, nil
	}
	return c.Outside.Guest.Save()
}

// Resume returns the conditions with a law that goes on from saved: those of a
// fork. The caller calls done when the fork is over. For the built-in law they
// are c itself.
func (c *Conditions) Resume(saved control.Saved) (own *Conditions, done func(), err error) {
	if saved == nil {
		return c, func() {}, nil
	}
	g, err := saved.Start()
	if err != nil {
		return nil, nil, err
	}
	with := c.With(g)
	return &with, func() { g.Close() }, nil
}

// OutsideError returns what went wrong with the law from outside, or nil.
func (c *Conditions) OutsideError() error {
	switch {
	case c.Outside != nil:
		return c.Outside.Err
	case c.Stage != control.BuiltIn:
		return errNoGuest
	}
	return nil
}

func (c *Conditions) outsideFailed() bool {
	return c.Stage != control.BuiltIn && c.OutsideError() != nil
}
