package pilot

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/bench"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/prompt"
)

// desk is a craft at its place before a flight, as a person sees it: an
// inspection list, a craft that can be carried, a lens, a voice that asks for
// switches. Independent of package sim.
type desk struct {
	p percept.Percept
	h hands.Hands

	states  []bench.Finding // of the places of the list
	moves   []deskMove
	shown   func(posW kernel.Vec3) kernel.Vec3 // what the station makes of a place
	motors  func(p *percept.Percept) [8]float64
	blind   bool // the station says nothing of a covered lens
	asks    []prompt.Ask
	quiet   int64 // tick until which nobody asks
	busy    int64 // looks until the move is made
	move    int
	covered int64
	steps   []string
	items   []uint8
	wrong   int // switches that nobody asked for
}

type deskMove struct{ to, leanW kernel.Vec3 }

func newDesk() *desk {
	d := &desk{h: hands.Rest(), shown: func(posW kernel.Vec3) kernel.Vec3 { return posW }}
	d.motors = func(*percept.Percept) [8]float64 { return [8]float64{} }
	d.p = percept.Percept{OnFloor: true, MoveDone: true, CutOff: true, Person: 1000, Wall: 2, HoverStick: 0.4}
	return d
}

// turn is one look.
func (d *desk) turn(pilot Pilot) {
	p := &d.p
	p.Items, p.Moves = uint8(len(d.states)), uint8(len(d.moves))
	p.Prompts, p.Prompt = uint8(len(d.asks)), 0
	if len(d.asks) > 0 && p.Tick > d.quiet {
		p.Prompt = uint8(d.asks[0])
	}
	p.ShownPosW, p.Motors = d.shown(p.PosW), d.motors(p)
	p.Camera = 0
	if d.covered > 0 && p.Tick-d.covered > 800 && !d.blind {
		p.Camera = 1
	}
	before := d.h
	pilot.Act(p, &d.h)
	d.take(&before)
	p.Armed = d.h.Armed && !d.h.CutOff && (p.Armed || d.h.Throttle == 0) && p.Refused == hands.CallNone
	p.CutOff = d.h.CutOff
	p.Tick += percept.Every
}

// take lets the step of this look have its effect.
func (d *desk) take(before *hands.Hands) {
	p, h := &d.p, &d.h
	if h.Step != hands.StepNone {
		d.steps, d.items = append(d.steps, h.Step.String()), append(d.items, h.Item)
	}
	switch h.Step {
	case hands.StepLook:
		p.Item, p.ItemState = h.Item+1, uint8(d.states[h.Item])
	case hands.StepTickGood, hands.StepTickBad:
		p.Item, p.ItemState = 0, 0
	case hands.StepPickUp:
		p.Held, p.OnFloor, d.busy, d.move = true, false, 20, -1
	case hands.StepCarry:
		d.move, d.busy = int(h.Item), 50
	case hands.StepSetDown:
		p.Held, p.OnFloor = false, true
	case hands.StepCoverLens:
		d.covered = p.Tick
	case hands.StepUncover:
		d.covered = 0
	}
	p.MoveDone = d.busy == 0
	if d.busy > 0 {
		d.busy--
		if d.busy == 0 && d.move >= 0 && p.Held {
			m := &d.moves[d.move]
			p.PosW, p.TiltW, p.Tilt = m.to, m.leanW, m.leanW.Norm()
		}
	}
	if p.Prompt == 0 {
		return
	}
	if d.asks[0].Answers(h) {
		d.asks, d.quiet = d.asks[1:], p.Tick+1000
	} else if before.CutOff != h.CutOff || before.Armed != h.Armed || before.Response != h.Response {
		d.wrong++
	}
}
