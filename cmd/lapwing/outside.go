package main

import (
	"fmt"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/guest/host"
	"lapwing/sim/record"
)

// bring starts the law from outside that a bundle names, if it names one, and
// lets the recorder listen to one whose memory no recording can hold. The caller
// calls done when the run and its forks are over.
func bring(b *scenarios.Bundle, c *sim.Conditions, recorder *record.Writer) (done func(), err error) {
	h, err := host.Open(&b.From)
	if err != nil {
		return nil, internal(fmt.Errorf("law %s: %w", b.LawName, err))
	}
	end, err := h.Fly(c)
	if err != nil {
		return nil, internal(fmt.Errorf("law %s: %w", b.LawName, err))
	}
	if recorder != nil && b.From.Command != nil {
		tape := record.NewTape(c.Outside.Guest)
		*c = c.With(tape)
		recorder.Listen(tape)
	}
	return func() { end(); h.Close() }, nil
}

// bringBack gives conditions the law from outside that a recording was flown
// with: a module as it was, a process by what it answered. No command of a
// recording is ever run. It lives as long as the program.
func bringBack(b *scenarios.Bundle, c *sim.Conditions, r *record.Recording) error {
	if b.From.Command == nil {
		_, err := bring(b, c, nil)
		return err
	}
	g := r.Guest()
	if g == nil || g.Stage() != b.From.Stage {
		return badUse("%s: the recording does not hold the answers of its law %s", r.Path, b.LawName)
	}
	*c = c.With(g)
	return nil
}

// outsideError turns a run that a law from outside has ended into an error: it
// is a fault of the law, never of the flight.
func outsideError(b *scenarios.Bundle, c *sim.Conditions, w *sim.World) error {
	if w.Void.Reason != sim.VoidOutside {
		return nil
	}
	return internal(fmt.Errorf("law %s (%s, stage %s) failed at %.3f s, tick %d: %w", b.LawName, b.From.Name, c.Stage,
		float64(w.Void.Tick)/sim.TicksPerSecond, w.Void.Tick, c.OutsideError()))
}
