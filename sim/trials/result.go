package trials

import (
	"strings"

	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/score"
)

// Case names one rehearsal of many.
type Case struct {
	ID    int       `json:"case"` // from 0, in the order of the matrix
	Craft string    `json:"craft"`
	Law   string    `json:"law"`
	Point []Setting `json:"sweep,omitempty"`
}

// Outcome is how a case ended.
type Outcome string

// The outcomes. A failure is the craft's or the person's; an error is the
// program's, or that of a law from outside.
const (
	Passed   Outcome = "passed"
	Failed   Outcome = "failed"
	Errored  Outcome = "error"
	Voided   Outcome = "void"
	Unscored Outcome = "unscored"
)

// Result is what is left of one case.
type Result struct {
	Case
	Outcome Outcome `json:"outcome"`
	Error   string  `json:"error,omitempty"` // in a sentence
	EndS    float64 `json:"end_s"`           // s of simulated time
	Hard    string  `json:"hard_outcome"`    // in words, empty where nothing hard happened
	Row

	MaxAwayM   *float64 `json:"max_away_m"`      // after the cue, null without one
	MaxTiltDeg *float64 `json:"max_tilt_deg"`    // after the cue or, without an event, from take-off on; null for work at the bench
	TouchdownM *float64 `json:"touchdown_m_s"`   // null where it did not come down
	ClearanceM *float64 `json:"min_clearance_m"` // to net, wall, box or ceiling in the air
}

// Name names a case in one line, the same in every run.
func (r *Result) Name() string {
	parts := []string{r.Scenario, r.Craft, r.Law}
	for _, s := range r.Point {
		parts = append(parts, s.String())
	}
	return strings.Join(parts, " ")
}

// Note fills in what a finished flight came to.
func (r *Result) Note(c *sim.Conditions, run *sim.Result, a *score.Assessment) {
	r.Row = RowOf(r.Scenario, r.Pilot, c, run, a)
	f := &run.End.Judge
	r.EndS = float64(run.End.Tick) / sim.TicksPerSecond
	if f.Hard != judge.Never {
		r.Hard = f.HardKind.Words()
	}
	if f.Cue != judge.Never {
		r.MaxAwayM = &a.MaxAwayM
	}
	if r.Flown {
		r.MaxTiltDeg = &a.MaxTilt
	}
	r.TouchdownM, r.ClearanceM = a.TouchdownM, a.MinWallM
	switch a.Verdict {
	case score.Go:
		r.Outcome = Passed
	case score.NoGo:
		r.Outcome = Failed
	case score.Void:
		r.Outcome = Voided
	default:
		r.Outcome = Unscored
	}
}

// Fail makes the case an error, whatever else was noted of it.
func (r *Result) Fail(says string) {
	*r = Result{Case: r.Case, Outcome: Errored, Error: says,
		Row: Row{Scenario: r.Scenario, Pilot: r.Pilot, Seed: r.Seed, Verdict: score.Void, WhyNot: []string{}}}
}
