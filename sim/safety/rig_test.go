package safety

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/link"
)

// rig is a watchman with everything round him in order: standing on the floor,
// level, camera agrees, full battery, frames fresh, hands at rest.
type rig struct {
	p      Params
	s      State
	heard  link.Heard
	belief estimate.Belief
	in     Input
}

func newRig(p Params) *rig {
	r := &rig{p: p, s: Start(&p)}
	r.heard = link.Heard{Hands: hands.Rest(), Any: true, Age: 20}
	r.belief = estimate.Belief{QWB: kernel.Quat{W: 1}, Height: 0.05, HeightOK: true}
	r.in = Input{Heard: &r.heard, Belief: &r.belief, CellVolts: 4.1, SpecificForce: 9.81,
		CautionVolts: 3.5, CriticalVolts: 3.3, PathStored: true, Powered: true}
	return r
}

// tick runs one tick with the duty that a craft would have.
func (r *rig) tick() *Status {
	Watch(&r.p, &r.s, &r.in)
	r.in.Tick++
	return &r.s.Status
}

// run runs for ticks.
func (r *rig) run(ticks int64) *Status {
	for range ticks {
		r.tick()
	}
	return &r.s.Status
}

// hold sets the hands and runs one tick.
func (r *rig) hold(change func(h *hands.Hands)) *Status {
	change(&r.heard.Hands)
	return r.tick()
}

// lift puts the craft into the air, as its sensors would tell.
func (r *rig) lift() {
	r.belief.Height, r.in.DutyMean = 1.2, 0.6
	r.heard.Hands.Throttle = 500
	r.tick()
}

// armed is a rig armed and standing; flying is one hovering in attitude.
func armed(p Params) *rig {
	r := newRig(p)
	r.tick()
	r.hold(func(h *hands.Hands) { h.CutOff = false })
	r.hold(func(h *hands.Hands) { h.Armed = true })
	return r
}

func flying(p Params) *rig {
	r := armed(p)
	r.lift()
	return r
}

// selects moves the selector and runs one tick.
func (r *rig) selects(x hands.Response) *Status {
	return r.hold(func(h *hands.Hands) { h.Response = x })
}

// with returns the default parameters changed.
func with(change func(p *Params)) Params {
	p := Default()
	change(&p)
	return p
}

// masking is a craft whose cut-off masks.
func masking() Params { return with(func(p *Params) { p.CutOffLatches = false }) }

// cornered is a craft armed by stick corners.
func cornered() Params { return with(func(p *Params) { p.ArmBy = ByStickCorners }) }
