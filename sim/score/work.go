package score

import (
	"fmt"

	"lapwing/sim"
	"lapwing/sim/bench"
	"lapwing/sim/carry"
)

// WorkResult is what was done at the craft before a flight, where a scenario asks
// for it.
type WorkResult struct {
	Items         int     `json:"items"`     // of the inspection list
	ThereWas      []Thing `json:"there_was"` // everything that was not sound, in walking order
	Discrepancies int     `json:"discrepancies"`
	Found         int     `json:"found"`
	Missed        int     `json:"missed"`      // ticked as sound
	FalseFinds    int     `json:"false_finds"` // sound, and ticked as not
	Prompts       int     `json:"prompts"`
	Unanswered    int     `json:"unanswered"`
	WrongSwitches int     `json:"wrong_switches"`
	AnswerS       float64 `json:"median_answer_s"` // 0 where nothing was answered
	Moves         int     `json:"moves"`           // of the carry
	Fault         string  `json:"shown_wrongly"`   // of the estimate, in words; empty where nothing was
	OffShare      float64 `json:"off_share"`       // by which the estimate was off at the setting down, of the way carried
}

// Thing is one thing on the inspection list that was not sound.
type Thing struct {
	Says   string `json:"says"`
	Found  bool   `json:"found"`
	Forbid bool   `json:"forbids_flying"`
}

// workOf returns what was done before the flight, nil where nothing was asked.
func workOf(c *sim.Conditions, w *sim.World) *WorkResult {
	b, p := &w.Bench, &w.Prompt
	work := WorkResult{Items: c.Bench.Count, ThereWas: thingsOf(&c.Bench, b), Prompts: c.Prompt.Count, Moves: c.Carry.Count,
		Fault: faultSays[c.Carry.Fault]}
	if work.Items+work.Prompts+work.Moves == 0 {
		return nil
	}
	work.Discrepancies, work.Found = c.Bench.Discrepancies(), b.Found(&c.Bench)
	work.Missed, work.FalseFinds = b.Missed(&c.Bench), b.False(&c.Bench)
	if work.Prompts > 0 {
		work.Unanswered, work.WrongSwitches, work.AnswerS = p.Unanswered(&c.Prompt), p.WrongSwitches(), p.Median()
	}
	work.OffShare = w.Carry.OffShare()
	return &work
}

// faultSays says what the station showed wrongly of the estimate.
var faultSays = map[carry.Fault]string{
	carry.FaultSignX: "what went forward was shown going back",
	carry.FaultSignY: "what went left was shown going right",
	carry.FaultScale: "every way was shown too long",
}

// thingsOf lists what was not sound.
func thingsOf(p *bench.Params, s *bench.State) []Thing {
	things := []Thing{}
	for i := range p.Count {
		if state := p.Items[i].State; state != bench.Sound {
			things = append(things, Thing{state.Says(), s.Bad[i], state.NoGo()})
		}
	}
	return things
}

func (t *Thing) line() string {
	words := "It forbids flying"
	if !t.Forbid {
		words = "It is put right where it stands"
	}
	found := "overlooked"
	if t.Found {
		found = "found"
	}
	return capital(t.Says) + ": " + found + ". " + words + "."
}

// says tells w in sentences.
func (w *WorkResult) says() (lines []string) {
	if w == nil {
		return nil
	}
	if w.Items > 0 {
		lines = append(lines, fmt.Sprintf("Of %d places on the list %d were not sound: %d found, %d ticked as sound; %d false finds.",
			w.Items, w.Discrepancies, w.Found, w.Missed, w.FalseFinds))
	}
	for i := range w.ThereWas {
		lines = append(lines, w.ThereWas[i].line())
	}
	if w.Fault != "" {
		lines = append(lines, "What was wrong: "+w.Fault+".")
	}
	if w.Prompts > 0 {
		lines = append(lines, fmt.Sprintf("Of %d prompts %d had no answer; at %d another switch was moved first; half of the answers came within %.1f s.",
			w.Prompts, w.Unanswered, w.WrongSwitches, w.AnswerS))
	}
	if w.OffShare > 0 {
		lines = append(lines, fmt.Sprintf("Carried through %d moves and set down, the craft took itself to be %.1f %% of the way from where it was.", w.Moves, 100*w.OffShare))
	}
	return lines
}
