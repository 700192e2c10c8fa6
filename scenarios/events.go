package scenarios

import "lapwing/sim/judge"

// Event is a kind of abnormal event that a drill can be about: what the craft
// suffers, as a class and a word. The list, its classes and their times are
// judgements of ours from trade practice; a scenario shows them in its briefing
// and may tighten the times.
type Event struct {
	Row   uint8       // place in the list, from 1; a drill keeps it
	Word  string      // as in files
	Class judge.Class // how fast the answer must be
}

// events lists the abnormal events. The order is part of the format: recordings
// keep the row.
var events = []Event{
	{1, "estimate-drift", judge.ClassB},
	{2, "estimate-runaway", judge.ClassB},
	{3, "estimate-jump", judge.ClassB},
	{4, "vision-lost", judge.ClassB},
	{5, "yaw-breaks-estimate", judge.ClassB},
	{6, "heading-wrong", judge.ClassB},
	{7, "height-lost", judge.ClassC},
	{8, "uncommanded-path", judge.ClassB},
	{9, "on-board-computer-dies", judge.ClassB},
	{10, "lost-link", judge.ClassE},
	{11, "intermittent-link", judge.ClassD},
	{12, "fly-away", judge.ClassE},
	{13, "telemetry-lost", judge.ClassD},
	{14, "motor-failure", judge.ClassA},
	{15, "thrust-loss", judge.ClassC},
	{16, "inertial-sensor-fault", judge.ClassA},
	{17, "law-oscillation", judge.ClassC},
	{18, "pilot-induced-oscillation", judge.ClassB},
	{19, "battery-caution", judge.ClassD},
	{20, "battery-critical", judge.ClassC},
	{21, "power-loss", judge.ClassA},
	{22, "battery-shift", judge.ClassC},
	{23, "battery-fire", judge.ClassF},
	{24, "tip-over", judge.ClassA},
	{25, "slide-at-lift-off", judge.ClassA},
	{26, "net-contact", judge.ClassA},
	{27, "ceiling-contact", judge.ClassC},
	{28, "crashed-motors-turning", judge.ClassA},
	{29, "motors-run-after-landing", judge.ClassA},
	{30, "cut-off-released", judge.ClassA},
	{31, "spin-on-bench", judge.ClassA},
	{32, "person-enters", judge.ClassF},
	{33, "response-type-not-engaged", judge.ClassB},
	{34, "throttle-mismatch", judge.ClassB},
	{35, "stuck-axis", judge.ClassA},
	{36, "wrong-craft-answers", judge.ClassA},
	{37, "orientation-lost", judge.ClassB},
	{38, "video-frozen", judge.ClassB},
	{39, "cage-alert", judge.ClassB},
	{40, "air-disturbance", judge.ClassD},
	{41, "cut-off-fails", judge.ClassE},
	{42, "no-event", judge.ClassN},
}

// Events returns the list of abnormal events in order.
func Events() []Event { return append([]Event(nil), events...) }

// EventOf returns the event at a row of the list.
func EventOf(row uint8) (Event, bool) {
	if row < 1 || int(row) > len(events) {
		return Event{}, false
	}
	return events[row-1], true
}

func eventNamed(w string) Event {
	for _, e := range events {
		if e.Word == w {
			return e
		}
	}
	panic("scenarios: no event " + w)
}

func eventWords() []string {
	words := make([]string, len(events))
	for i, e := range events {
		words[i] = e.Word
	}
	return words
}

// ClassTimes are the times of a class, in seconds from the cue.
type ClassTimes struct {
	Unannounced float64 // target for the first right action when the event was not announced
	Announced   float64 // target when it was
	Limit       float64 // latest first right action that still is GO
}

// Target returns the target for a grade of announcing; where the kind is known and
// the time is not, it lies halfway.
func (t ClassTimes) Target(a judge.Announced) float64 {
	switch a {
	case judge.AnnouncedFully:
		return t.Announced
	case judge.AnnouncedKind:
		return (t.Unannounced + t.Announced) / 2
	}
	return t.Unannounced
}

// TimesOf returns the times of a class. Judgements of ours: simple responses to
// a surprise take about 1.5 s and to the expected 0.7 s (M. Green, "How long
// does it take to stop?", Transportation Human Factors 2(3), 2000), to which
// hand travel or the choice of a response type is added; the limits leave room
// for a startle. Class D allows no more than half of what the battery has left at
// the cue, but never less than its target (package score). Class N has none:
// completing the plan decides.
func TimesOf(c judge.Class) ClassTimes {
	return [...]ClassTimes{
		judge.ClassN: {},
		judge.ClassA: {2, 1, 4},
		judge.ClassB: {2.5, 1.5, 6},
		judge.ClassC: {4, 3, 15},
		judge.ClassD: {10, 10, 30},
		judge.ClassE: {3, 2, 5},
		judge.ClassF: {2, 1, 4},
	}[c]
}
