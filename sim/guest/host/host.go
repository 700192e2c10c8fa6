// Package host starts the law from outside that a law file names, whichever way
// it comes.
//
// It stands apart so that the ways know nothing of each other, and so that
// programs have one thing to call.
package host

import (
	"fmt"

	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/guest"
	"lapwing/sim/guest/child"
	"lapwing/sim/guest/wasm"
)

// Host is a law from outside, ready to be started as often as is wanted. A
// module is compiled once.
type Host struct {
	source *guest.Source
	module *wasm.Module // nil for a process
}

// Open makes the law of a source ready. The built-in law needs no host: Open
// returns nil, which every method takes.
func Open(s *guest.Source) (*Host, error) {
	switch {
	case !s.Outside():
		return nil, nil
	case s.Module == nil:
		return &Host{source: s}, nil
	}
	m, err := wasm.Load(s.Module)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.Name, err)
	}
	return &Host{s, m}, nil
}

// Close frees the module.
func (h *Host) Close() error {
	if h == nil || h.module == nil {
		return nil
	}
	return h.module.Close()
}

// Start returns a law that has not been asked, told of the craft in p; nil for
// the built-in law.
func (h *Host) Start(p *control.Params) (control.Guest, error) {
	if h == nil {
		return nil, nil
	}
	if h.module == nil {
		return child.Start(h.source, p, child.DefaultLimits())
	}
	g, err := h.module.Start(h.source.Stage, p)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", h.source.Name, err)
	}
	return g, nil
}

// Fly gives conditions a law that has not been asked. The caller closes it with
// done, when the run and its forks are over.
func (h *Host) Fly(c *sim.Conditions) (done func(), err error) {
	g, err := h.Start(&c.Law)
	if err != nil || g == nil {
		return func() {}, err
	}
	*c = c.With(g)
	return func() { g.Close() }, nil
}
