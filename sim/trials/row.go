package trials

import (
	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/score"
)

// Row is what is left of one flight. Times are seconds from the cue; one that never
// came is null.
type Row struct {
	Scenario string `json:"scenario"`
	Pilot    string `json:"pilot"`
	Seed     uint64 `json:"seed"`

	Event     bool          `json:"event"` // something went wrong in it
	Flown     bool          `json:"flown"` // it left the floor
	Class     string        `json:"class"`
	Announced string        `json:"announced"` // no, kind, fully
	Verdict   score.Verdict `json:"verdict"`
	Band      string        `json:"band"`
	Number    float64       `json:"number"`

	FirstRightS *float64 `json:"time_to_first_right_s"`
	WatchedS    float64  `json:"watched_s"` // from the cue to the end of the run
	AvailableS  *float64 `json:"time_available_s"`
	UsedShare   *float64 `json:"used_share"` // of the time available, saveable events only

	Hit        bool     `json:"hit"`         // an event, and the first right action came in time
	FalseAlarm bool     `json:"false_alarm"` // flown, no event, and it was broken off or cut off
	WhyNot     []string `json:"why_not"`     // in sentences, the first the gravest
}

// RowOf returns the row of a finished flight.
func RowOf(scenario, pilot string, c *sim.Conditions, r *sim.Result, a *score.Assessment) Row {
	f := &r.End.Judge
	row := Row{Scenario: scenario, Pilot: pilot, Seed: c.Seed, Event: c.Drill.Class != judge.ClassN, Class: a.Class,
		Announced: a.Announced, Verdict: a.Verdict, Band: a.Band, Number: a.Number, Flown: f.Airborne != judge.Never, WhyNot: []string{}}
	for _, reason := range a.Reasons {
		row.WhyNot = append(row.WhyNot, reason.Says)
	}
	if !row.counts() {
		return row
	}
	if !row.Event {
		row.FalseAlarm = row.Flown && brokenOff(&c.Drill, f)
		return row
	}
	if f.Cue != judge.Never {
		row.WatchedS = float64(r.End.Tick-f.Cue) / sim.TicksPerSecond
	}
	row.FirstRightS = a.ToFirstRightS
	row.Hit = row.FirstRightS != nil && *row.FirstRightS <= a.LimitS
	row.setAvailable(a)
	return row
}

// counts tells whether the flight was judged: neither void nor a demonstration.
func (r *Row) counts() bool { return r.Verdict == score.Go || r.Verdict == score.NoGo }

func (r *Row) setAvailable(a *score.Assessment) {
	if a.Available.Known && !a.Available.Hand.AtLeast {
		r.AvailableS = &a.Available.Hand.Seconds
	}
	r.UsedShare = a.UsedShare
}

// brokenOff tells whether a flight without an event was cut off, left or not
// finished, though nothing hard had happened.
func brokenOff(d *judge.Drill, f *judge.Facts) bool {
	for i := range d.CommissionCount {
		kind := d.Commissions[i].Deed.Kind
		if f.Committed[i] != judge.Never && (kind == judge.DeedCutOff || kind == judge.DeedLeaveCause) {
			return true
		}
	}
	return f.FirstRight == judge.Never && f.Hard == judge.Never
}
