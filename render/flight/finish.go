package flight

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"lapwing/render/clock"
	"lapwing/render/devices"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/folder"
	"lapwing/sim/pilot"
	"lapwing/sim/record"
	"lapwing/sim/score"
)

// Taken is what is left of a flight that is over: enough to record, score and
// show it, and nothing that the next flight changes.
type Taken struct {
	Bundle *scenarios.Bundle
	Setup  Setup
	C      sim.Conditions
	End    sim.World
	Why    sim.End
	Void   Reason

	moments []pilot.Moment
}

// Take takes what is left of a flight.
func (f *Flight) Take() *Taken {
	return &Taken{f.Bundle, f.Setup, f.C, f.W, f.Why, f.Void, slices.Clone(f.tape.moments)}
}

// Hands is a pilot who repeats the flight.
func (t *Taken) Hands() *pilot.Recorded {
	p := pilot.NewRecorded(t.moments)
	return &p
}

// Quick is the assessment without the time that there was to act, at once.
func (t *Taken) Quick() score.Assessment {
	return score.Assess(&t.C, &sim.Result{End: t.End, Why: t.Why}, score.Available{})
}

// Finished is a flight with its score.
type Finished struct {
	*Taken
	Result     sim.Result
	Assessment score.Assessment
	Sections   []score.Section // in sentences
	Track      *Track
	Dir        string // where it was left, "" where nowhere
}

// errOtherwise would be a fault of the program: the tick is the same for window
// and replay.
var errOtherwise = errors.New("flight: flown again, the run came out otherwise: this is a fault of the program")

// Finish flies the taped hands again from tick 0 into a recording in dir, unless
// dir is empty, proves that nothing came out otherwise, and scores. It may run
// beside the window.
func (t *Taken) Finish(dir, who string, about *Stamp) (*Finished, error) {
	d := &Finished{Taken: t, Dir: dir}
	var watchers []sim.Watcher
	var writer *record.Writer
	flown := folder.Flown{Scenario: t.Bundle.Name, Craft: t.Bundle.CraftName, Room: t.Bundle.RoomName, Pilot: who, Seed: t.Setup.Seed}
	if dir != "" {
		w, path, err := folder.Start(dir, t.Bundle, record.Rehearsal{Pilot: who, Seed: t.Setup.Seed})
		if err != nil {
			return nil, err
		}
		writer, flown.Recording = w, filepath.Base(path)
		watchers = append(watchers, w)
	}
	d.Result = sim.Run(&t.C, t.Hands(), watchers...)
	if writer != nil {
		body, err := writer.Close(&d.Result)
		if err != nil {
			return nil, err
		}
		flown.Body = body
	}
	if groups := d.Result.End.Hash().Differs(t.End.Hash()); d.Result.End.Tick != t.End.Tick || len(groups) > 0 {
		return nil, fmt.Errorf("%w (%v)", errOtherwise, groups)
	}
	start := sim.Start(&t.C)
	d.Track = NewTrack(&t.C, &start, t.Hands(), t.End.Tick+1)
	d.Assessment = score.Assess(&t.C, &d.Result, score.TimeAvailable(&t.C, &d.Result))
	d.Sections = score.HotWash(&t.C, &d.Result, &d.Assessment)
	if dir == "" {
		return d, nil
	}
	flown.Result = d.Assessment
	a := folder.AboutNow()
	a.Station = about
	return d, folder.Save(dir, &flown, a)
}

// Stamp is what a window adds to about.json: all that a time depends on and the
// recording does not hold.
type Stamp struct {
	Kind     string         `json:"kind"` // practice, scored
	View     string         `json:"view"`
	Void     Reason         `json:"void_because,omitempty"`
	Pauses   int            `json:"pauses"`
	Hands    devices.Stamp  `json:"hands"`
	Practice *PracticeStamp `json:"practice,omitempty"`

	Renderer string        `json:"drawn_by"`
	Latency  LatencyStamp  `json:"input_to_picture"`
	Frames   FrameStamp    `json:"pictures"`
	Baseline BaselineStamp `json:"reaction_baseline"`
}

// PracticeStamp says what helped, or made it harder.
type PracticeStamp struct {
	Levers
	Speed string `json:"speed"`
	From  int64  `json:"from_leg"` // of the plan, from 0; before it a steady hand flew
}

// LatencyStamp is the time from a moved stick to the picture that shows it, handed
// to the screen; the screen's own delay is not known.
type LatencyStamp struct {
	Samples int     `json:"samples"`
	Median  float64 `json:"median_s"`
	P95     float64 `json:"p95_s"`
	Sound   float64 `json:"sound_later_s"` // length of the sound's buffers
	Ruling  string  `json:"ruling"`
}

// FrameStamp is how steadily pictures came.
type FrameStamp struct {
	Median   float64 `json:"median_s"`
	P95      float64 `json:"p95_s"`
	Longest  float64 `json:"longest_gap_s"`
	Lag      float64 `json:"greatest_lag_s"`
	LagShare float64 `json:"lagging_share"`
}

// BaselineStamp is the simple reaction of this person at this machine.
type BaselineStamp struct {
	Presses int     `json:"presses"`
	Early   int     `json:"early"`
	Median  float64 `json:"median_s"`
}

// FramesOf returns what s has found.
func FramesOf(s *clock.Steady) FrameStamp {
	gap, lag := s.Longest()
	return FrameStamp{s.Frame(0.5).Seconds(), s.Frame(0.95).Seconds(), gap.Seconds(), lag.Seconds(), s.LagShare()}
}

// LatencyOf returns what l has found.
func LatencyOf(l *clock.Latency, sound float64) LatencyStamp {
	return LatencyStamp{l.Count(), l.At(0.5).Seconds(), l.At(0.95).Seconds(), sound, l.Rule().String()}
}

// StampOf returns what the flight itself knows of its stamp.
func (f *Flight) StampOf() Stamp {
	s := Stamp{Kind: f.Setup.Kind.String(), View: "pilots-place", Void: f.Void, Pauses: f.Pauses, Frames: FramesOf(&f.Steady)}
	if f.Setup.Kind == Practice {
		v := f.speed()
		s.Practice = &PracticeStamp{f.Setup.Levers, fmt.Sprintf("%d/%d", v.Num, v.Den), f.Setup.From}
	}
	return s
}
