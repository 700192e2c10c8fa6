package station

import (
	"fmt"
	"sort"

	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/pages"
	"lapwing/render/strip"
	"lapwing/render/words"
	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/score"
)

// result is a finished flight that comes back from its goroutine.
type result struct {
	number int
	done   *flight.Finished
	err    error
}

// over takes a flight that has just ended: its result is told at once, and once
// more when it is known how long there was to act.
func (s *Station) over() {
	f := s.flight
	s.taken = f.Take()
	quick := s.taken.Quick()
	s.wash = s.washOf(s.taken, &quick, nil)
	s.wash.Asking = true
	stamp := s.stamp()
	dir, who, number, taken := s.folderFor(f.Bundle.Name, f.Setup.Seed), s.who(), s.number, s.taken
	s.model.Course.Ready = false
	s.writing.Go(func() {
		done, err := taken.Finish(dir, who, &stamp)
		s.results <- result{number, done, err}
	})
	s.do(flow.Event{Kind: flow.RunOver})
}

// stamp is what the record says of device, delay and pictures.
func (s *Station) stamp() flight.Stamp {
	stamp := s.flight.StampOf()
	stamp.Hands = s.mapper.Stamp()
	stamp.View = s.model.View.String()
	stamp.Renderer = s.win.Renderer()
	stamp.Latency = flight.LatencyOf(&s.delay.Latency, s.speaker.Delay().Seconds())
	stamp.Baseline = flight.BaselineStamp{Presses: len(s.baseline.times), Early: s.baseline.early, Median: s.baseline.median().Seconds()}
	return stamp
}

// collect takes results that have come.
func (s *Station) collect() {
	for {
		select {
		case r := <-s.results:
			s.collected(r)
		default:
			return
		}
	}
}

func (s *Station) collected(r result) {
	if r.number != s.number || s.taken == nil {
		return // another flight is on
	}
	s.wash.Asking = false
	s.model.Ready = r.done != nil
	if r.done != nil {
		s.finished = r.done
		s.noteCourse(r.done)
		s.wash = s.washOf(r.done.Taken, &r.done.Assessment, r.done)
	}
	if r.err != nil {
		s.wash.Kept = words.Say("wash.fault", "why", r.err.Error())
	}
}

// washOf puts the hot wash together; d is nil while it is not known how long there
// was.
func (s *Station) washOf(t *flight.Taken, a *score.Assessment, d *flight.Finished) *pages.Wash {
	w := &pages.Wash{Verdict: string(a.Verdict), Grade: gradeOf(a.Verdict)}
	w.Title = words.Say("wash.title", "title", t.Bundle.Title, "craft", t.Bundle.CraftName, "room", t.Bundle.RoomName, "seed", t.Setup.Seed)
	r := &sim.Result{End: t.End, Why: t.Why}
	if d != nil {
		r = &d.Result
		w.Kept = words.Say("wash.kept", "folder", d.Dir)
	}
	w.Under = s.under(t, a)
	w.Counts = a.Verdict == score.Go || a.Verdict == score.NoGo
	for _, section := range score.HotWash(&t.C, r, a) {
		w.Sections = append(w.Sections, pages.Section{Title: section.Title, Lines: section.Lines})
	}
	w.Marks = marksOf(t, a)
	w.From, w.To = spanOf(t)
	for _, l := range a.Lost(&t.C, r) {
		if l.Points < 0.05 {
			continue
		}
		w.Lost = append(w.Lost, pages.Lost{Says: l.Rule + ": " + l.Says, Value: lossValue(&l), Points: words.Say("wash.points", "points", fmt.Sprintf("%.1f", l.Points))})
	}
	return w
}

func lossValue(l *score.Loss) string {
	switch {
	case l.Value != nil && l.Threshold != nil:
		return words.Say("wash.threshold", "value", fmt.Sprintf("%.1f", *l.Value), "threshold", fmt.Sprintf("%.1f", *l.Threshold), "unit", l.Unit)
	case l.Value != nil:
		return fmt.Sprintf("%.1f %s", *l.Value, l.Unit)
	case l.Threshold != nil:
		return words.Say("wash.never", "threshold", fmt.Sprintf("%.1f", *l.Threshold), "unit", l.Unit)
	}
	return ""
}

func gradeOf(v score.Verdict) strip.Grade {
	switch v {
	case score.Go:
		return strip.Well
	case score.NoGo:
		return strip.Warning
	}
	return strip.Old
}

// under is the sentence under the verdict.
func (s *Station) under(t *flight.Taken, a *score.Assessment) string {
	switch {
	case t.Void != flight.Stands:
		return words.Of("wash", "void-"+string(t.Void))
	case s.model.Course.On && s.model.Course.Says != "":
		return s.model.Course.Says
	case t.Setup.Kind == flight.Practice:
		return words.Say("wash.practice")
	case a.Verdict == score.Go || a.Verdict == score.NoGo:
		return words.Say("wash.trend", "number", fmt.Sprintf("%.0f", a.Number))
	}
	return ""
}

// marksOf lists the moments of a flight: of the event above, of the person below.
func marksOf(t *flight.Taken, a *score.Assessment) []pages.Mark {
	f := &t.End.Judge
	var all []pages.Mark
	mark := func(tick int64, text string, g strip.Grade, above bool) {
		if tick != judge.Never && tick <= t.End.Tick {
			all = append(all, pages.Mark{Tick: tick, Words: text, Grade: g, Above: above})
		}
	}
	mark(f.Airborne, words.Say("wash.airborne"), strip.Old, true)
	if first := t.End.Inject.First(); first != judge.Never {
		mark(first, words.Say("wash.onset"), strip.Caution, true)
	}
	mark(f.Cue, words.Say("wash.cue"), strip.Caution, true)
	mark(f.Hard, f.HardKind.Words(), strip.Warning, true)
	if f.Cue != judge.Never && f.FirstInput != f.FirstRight {
		mark(f.FirstInput, words.Say("wash.first-input"), strip.Old, false)
	}
	for _, d := range a.Demands {
		if d.DoneS != nil {
			mark(int64(*d.DoneS*1000), d.Action, strip.Well, false)
		}
	}
	for _, x := range a.Commissions {
		mark(int64(x.AtS*1000), x.Action, strip.Warning, false)
	}
	for _, x := range a.Exceedances {
		mark(int64(x.AtS*1000), x.Says, strip.Warning, false)
	}
	mark(f.Safe, words.Say("wash.safe"), strip.Well, true)
	sort.SliceStable(all, func(i, j int) bool { return all[i].Tick < all[j].Tick })
	return all
}

// spanOf is the part of a flight that its line shows: where there was an event, from
// shortly before it.
func spanOf(t *flight.Taken) (from, to int64) {
	to = t.End.Tick
	if cue := t.End.Judge.Cue; cue != judge.Never {
		from = max(cue-5000, 0)
		if first := t.End.Inject.First(); first != judge.Never && first < cue {
			from = max(first-2000, 0)
		}
	}
	return from, max(to, from+1000)
}
