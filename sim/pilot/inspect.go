package pilot

import (
	"lapwing/sim/bench"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// working is how far the work of one leg is.
type working struct {
	stage int64
	item  int64   // place, move or prompt that is worked on
	since int64   // tick at which the stage began
	due   int64   // tick at which the hand moves, of a prompt
	saw   bool    // what was looked for was seen
	seen  uint8   // what a place looked like
	from  placing // where a move began
	shown float64 // m², what the station showed along the ways of a carry, by their lengths
	way   float64 // m², what was seen of them
}

func (w *working) to(stage, tick int64) { w.stage, w.since = stage, tick }

// Times of the work before a flight, in ticks. Judgements.
const (
	pauseWalk   = 700  // from one place of the inspection list to the next
	pauseLook   = 1200 // a close look
	pauseDecide = 1500 // go or no-go
	pauseShown  = 1000 // a look that shows nothing
)

// The stages of an inspection.
const (
	inspectWalk int64 = iota
	inspectLook
)

// inspect looks at the places of the list in their order and ticks each.
func (e *Executor) inspect(p *percept.Percept, h *hands.Hands) {
	e.stay(p, h)
	w := &e.work
	if w.item >= int64(p.Items) {
		return
	}
	waited := p.Tick - w.since
	h.Item = uint8(w.item)
	switch w.stage {
	case inspectWalk:
		if waited >= pauseWalk {
			h.Step = hands.StepLook
			w.saw = false
			w.to(inspectLook, p.Tick)
		}
	case inspectLook:
		if int64(p.Item) == w.item+1 {
			w.saw, w.seen = true, p.ItemState
		}
		if w.saw && waited >= pauseLook || waited >= pauseLook+pauseShown {
			e.tick(h)
			w.item++
			w.to(inspectWalk, p.Tick)
		}
	}
}

// tick ticks the place that was looked at as it looked to this person.
func (e *Executor) tick(h *hands.Hands) {
	h.Step = hands.StepTickGood
	found := bench.Finding(e.work.seen)
	if !e.work.saw || found == bench.Sound || e.Care.misses(found.Ease(), e.lot(lotOverlook, e.work.item)) {
		return
	}
	h.Step = hands.StepTickBad
	e.refuses = e.refuses || found.NoGo()
}

// decide says go, or no-go where something stands against flying.
func (e *Executor) decide(p *percept.Percept, h *hands.Hands, waited int64) {
	e.stay(p, h)
	if waited < pauseDecide {
		return
	}
	h.Call = hands.CallGo
	if e.refuses {
		h.Call, e.ended = hands.CallNoGo, true
	}
}
