package judge

import "lapwing/sim/hands"

// Work is how far what a person does at the craft before a flight has come: the
// inspection list, battery and transmitter, spoken prompts, the carry.
type Work struct {
	Inspected   bool // every item of the list is looked at and ticked
	FoundAll    bool // and every discrepancy is found
	FalseFind   bool // something sound is ticked as not sound
	Missed      bool // something not sound is ticked as sound
	Open        bool // a discrepancy stands that forbids flying
	Unfit       bool // the craft must not fly, whatever the reason
	PowerOrder  bool // the battery went in while the transmitter was off
	Prompted    bool // every prompt was answered in time
	WrongSwitch bool // another switch than the one asked for was moved
	Carried     bool // every move of the carry was made and the craft stands again
	BenchTask   bool // a task at the bench, for which the propellers must be off
	PropsOff    bool // the propellers are off
}

// done tells whether a deed of the work before a flight is seen.
func (w *Work) done(deed *Deed, v *View) bool {
	switch deed.Kind {
	case DeedInspected:
		return w.Inspected
	case DeedFoundAll:
		return w.FoundAll
	case DeedFalseFind:
		return w.FalseFind
	case DeedMissed:
		return w.Missed
	case DeedVerdictRight:
		return v.Hands.Call == w.verdict(hands.CallNoGo, hands.CallGo)
	case DeedVerdictWrong:
		return v.Hands.Call == w.verdict(hands.CallGo, hands.CallNoGo)
	case DeedPowerOrder:
		return w.PowerOrder
	case DeedPromptsAnswered:
		return w.Prompted
	case DeedWrongSwitch:
		return w.WrongSwitch
	case DeedCarryDone:
		return w.Carried
	}
	return false
}

// verdict returns what is called of a craft that must not fly, and of one that may.
func (w *Work) verdict(unfit, fit hands.Call) hands.Call {
	if w.Unfit {
		return unfit
	}
	return fit
}
