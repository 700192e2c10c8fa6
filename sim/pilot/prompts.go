package pilot

import (
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/prompt"
)

// The stages of a prompt.
const (
	promptListen  int64 = iota
	promptHeard         // the hand is on its way
	promptSlipped       // the wrong switch was moved
	promptAnswered
)

// Times of a prompt, in ticks. Judgements.
const (
	promptSlip  = 700  // until a wrong switch is felt
	promptAgain = 1500 // until an answer that changed nothing is given again
)

// prompts answers what is asked for aloud, each by its switch, without looking.
func (e *Executor) prompts(p *percept.Percept, h *hands.Hands) {
	w := &e.work
	ask := prompt.Ask(p.Prompt)
	if p.Prompt == 0 {
		w.to(promptListen, p.Tick)
		return
	}
	switch w.stage {
	case promptListen:
		w.item++
		t := max(e.Care.Answer.Sample(e.grip.seed, promptTime, uint64(w.item)), leastResponse)
		w.due = p.Tick + int64(1000*t)
		w.to(promptHeard, p.Tick)
	case promptHeard:
		if p.Tick < w.due {
			return
		}
		if e.lot(lotSlip, w.item) < e.Care.Slip {
			flipOther(ask, h)
			w.to(promptSlipped, p.Tick)
			return
		}
		flip(ask, h)
		w.to(promptAnswered, p.Tick)
	case promptSlipped:
		if p.Tick-w.since >= promptSlip {
			flipOther(ask, h)
			flip(ask, h)
			w.to(promptAnswered, p.Tick)
		}
	case promptAnswered:
		if p.Tick-w.since >= promptAgain {
			flip(ask, h)
			w.since = p.Tick
		}
	}
}

// flip sets the switch that is asked for.
func flip(ask prompt.Ask, h *hands.Hands) {
	switch ask {
	case prompt.CutOffOn, prompt.CutOffOff:
		h.CutOff = ask == prompt.CutOffOn
	case prompt.Arm, prompt.Disarm:
		h.Armed = ask == prompt.Arm
	case prompt.Attitude:
		h.Response = hands.Attitude
	case prompt.HeightHold:
		h.Response = hands.HeightHold
	case prompt.PositionHold:
		h.Response = hands.PositionHold
	}
}

// flipOther moves the switch beside the one that is asked for.
func flipOther(ask prompt.Ask, h *hands.Hands) {
	if ask == prompt.CutOffOn || ask == prompt.CutOffOff {
		h.Armed = !h.Armed
	} else {
		h.CutOff = !h.CutOff
	}
}
