package sim

import (
	"lapwing/dynamics"
	"lapwing/sim/bench"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/judge"
	"lapwing/sim/link"
	"lapwing/sim/safety"
	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

// work lets act what a person does at the craft with eyes and fingers: steps,
// the battery in or out, propellers off, a hand that holds it.
func work(c *Conditions, w *World) {
	if w.Looks() {
		takeStep(c, w)
		w.Prompt.Listen(&c.Prompt, &w.Hands, c.Seed, w.Tick)
	}
	in := &w.Input
	in.PropsOff = c.Bench.PropsOff
	in.PowerLost = w.Effects.PowerLost || !w.Bench.BatteryIn
	if w.Carry.Held() {
		w.Carry.Hold(&c.Craft, &c.Place, &w.Craft, w.shownPosW(c), w.Tick, in)
	}
}

// takeStep takes the step of this look, if there is one.
func takeStep(c *Conditions, w *World) {
	if w.Hands.Step == hands.StepNone {
		return
	}
	was := w.Bench.BatteryIn
	w.Bench.Take(&c.Bench, &w.Hands, w.inReach(), w.Tick)
	if w.Bench.BatteryIn && !was {
		w.powerUp(c)
	}
	safe := !w.Safety.Status.Armed || c.Bench.PropsOff
	w.Carry.Take(&c.Carry, &w.Hands, &w.Craft, w.shownPosW(c), safe, w.Tick)
}

// inReach tells whether somebody could lay hands on the craft: it is held, or it
// stands, lies or hangs still.
func (w *World) inReach() bool {
	return w.Carry.Held() || w.Craft.Touch.Kinds != 0 && w.Craft.VelW.NormSq() < stillSpeed*stillSpeed
}

// stillSpeed is the speed below which a craft that touches something counts as
// still. A judgement.
const stillSpeed = 0.3 // m/s

// powerUp starts the craft's electronics: everything that they knew is gone, and
// where the craft stands counts as known, as at the beginning of a run.
func (w *World) powerUp(c *Conditions) {
	w.Heard = link.Heard{}
	w.Sense = sense.Start(&c.Sense, c.Seed)
	w.Sight = sight.Start(&c.Sight, c.Seed)
	w.Relative = estimate.Relative{}
	w.Estimate = estimate.StartSighted(&c.Estimate, w.Craft.PosW, w.Craft.QWB.Yaw())
	w.Safety = safety.Start(&c.Safety)
	w.Law = control.Start(&c.Law)
}

// shownPosW is the estimate (m, room axes) as the station shows it.
func (w *World) shownPosW(c *Conditions) dynamics.Vec3 {
	return c.Carry.Fault.Show(c.Place.TakeOff, w.Estimate.Belief.PosW)
}

// NoGo tells whether the craft must not fly: a discrepancy stands that forbids
// it, the estimate is shown the wrong way, or motors answer for one another.
func (c *Conditions) NoGo(w *World) bool {
	return w.Bench.Open(&c.Bench) || c.Carry.Fault != 0 || w.Effects.SwapA != 0
}

// seeBench fills in what is before the eyes at the craft, and what is asked for
// aloud.
func seeBench(c *Conditions, w *World) {
	p := &w.Percept
	var state bench.Finding
	p.Item, state = w.Bench.Shown(&c.Bench)
	p.ItemState, p.Items = uint8(state), uint8(c.Bench.Count)
	p.Held, p.Moves, p.MoveDone = w.Carry.Held(), uint8(c.Carry.Count), !w.Carry.Moves()
	p.Prompt, p.Prompts = uint8(w.Prompt.Now), uint8(w.Prompt.Left(&c.Prompt))
}

// workDone tells the judge how far the work before a flight has come.
func workDone(c *Conditions, w *World) judge.Work {
	work := judge.Work{BenchTask: c.Bench.Task, PropsOff: c.Bench.PropsOff, PowerOrder: w.Bench.OutOfOrder}
	if c.Bench.Count > 0 {
		b := &w.Bench
		work.Inspected, work.Open = b.Complete(&c.Bench), b.Open(&c.Bench)
		work.FoundAll = work.Inspected && b.FoundAll(&c.Bench)
		work.FalseFind, work.Missed = b.False(&c.Bench) > 0, b.Missed(&c.Bench) > 0
		work.Unfit = b.Unmended(&c.Bench)
	}
	work.Unfit = work.Unfit || c.NoGo(w)
	if c.Prompt.Count > 0 {
		work.Prompted, work.WrongSwitch = w.Prompt.Complete(&c.Prompt), w.Prompt.WrongSwitches() > 0
	}
	work.Carried = w.Carry.Done(&c.Carry)
	return work
}
