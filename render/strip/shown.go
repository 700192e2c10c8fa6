package strip

import (
	"fmt"

	"lapwing/render/words"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// Shown is all that the strip shows, a plain value.
type Shown struct {
	Tick int64

	Response  Pair // words: commanded, actual
	Motors    Pair
	CutOff    Pair
	Link      Line
	Camera    Line
	Battery   Line
	CellShare float64 // 0 … 1, from critical to full

	Throttle    float64 // 0 … 1
	Roll        float64 // −1 … 1, right
	Pitch       float64 // −1 … 1, forward
	Yaw         float64 // −1 … 1, right
	HoverStick  float64 // 0 … 1, the hover mark
	ThrustStick bool    // the throttle is thrust now, so the hover mark counts

	Messages []Line // worst first
	Captions []string
	Old      bool // no telemetry: what the craft reported is shown as it was last
}

// Pair is what was commanded and what is so.
type Pair struct {
	Commanded, Actual string
	Differ            bool
}

// Line is a word with its grade.
type Line struct {
	Grade Grade
	Words string
}

// Read returns what the station shows of w. Further messages, such as that a run
// is paused, may be added to what it returns.
func Read(c *sim.Conditions, w *sim.World) Shown {
	p, h := &w.Percept, &w.Hands
	s := Shown{
		Tick:     w.Tick,
		Response: Pair{h.Response.String(), p.Actual.String(), h.Response != p.Actual},
		Motors:   motorsOf(c, w),
		CutOff:   Pair{cutOff(h.CutOff), cutOff(p.CutOff), h.CutOff != p.CutOff},
		Throttle: hands.Share(h.Throttle), Roll: hands.Share(h.Roll), Pitch: hands.Share(h.Pitch), Yaw: hands.Share(h.Yaw),
		HoverStick: p.HoverStick, ThrustStick: !p.Actual.HoldsHeight(),
		Old: p.LinkLost || p.Silent,
	}
	s.Link = Line{Well, words.Say("strip.link-good")}
	if p.LinkLost {
		s.Link = Line{Warning, words.Say("strip.link-lost")}
	} else if p.Silent {
		s.Link = Line{Caution, words.Say("strip.link-silent")}
	}
	s.Camera = cameraOf(w)
	b := &c.Craft.Battery
	s.CellShare = (p.CellVolts - b.CriticalVolts) / (b.FullVolts - b.CriticalVolts)
	s.Battery = Line{grade(p.Battery), words.Say("strip.volts", "volts", fmt.Sprintf("%.2f", p.CellVolts))}
	s.Messages = messages(w, &s)
	return s
}

func grade(level uint8) Grade { return Grade(min(level, 2)) }

func cutOff(engaged bool) string {
	if engaged {
		return words.Say("strip.engaged")
	}
	return words.Say("strip.released")
}

func armed(on bool) string {
	if on {
		return words.Say("strip.armed")
	}
	return words.Say("strip.disarmed")
}

func motorsOf(c *sim.Conditions, w *sim.World) Pair {
	commanded := words.Say("strip.by-sticks")
	differ := false
	if c.Safety.ArmBy == safety.BySwitch {
		commanded = armed(w.Hands.Armed)
		differ = w.Hands.Armed != w.Percept.Armed
	}
	return Pair{commanded, armed(w.Percept.Armed), differ}
}

func cameraOf(w *sim.World) Line {
	g := grade(w.Percept.Camera)
	switch g {
	case Caution:
		return Line{g, words.Say("strip.camera-doubtful")}
	case Warning:
		return Line{g, words.Say("strip.camera-disagrees")}
	}
	return Line{g, words.Say("strip.camera-agrees")}
}

// messages lists cautions and warnings, worst first.
func messages(w *sim.World, s *Shown) (lines []Line) {
	p := &w.Percept
	say := func(is bool, g Grade, text string) {
		if is {
			lines = append(lines, Line{g, text})
		}
	}
	say(p.LinkLost, Warning, words.Say("strip.warn-link"))
	say(p.Camera == 2, Warning, words.Say("strip.warn-camera"))
	say(p.Battery == 2, Warning, words.Say("strip.warn-battery"))
	say(p.CutRuns > 0, Warning, words.Say("strip.warn-cut-runs"))
	say(p.Silent && !p.LinkLost, Caution, words.Say("strip.caution-silent"))
	say(p.Landing, Caution, words.Say("strip.caution-landing"))
	say(p.CageAlert, Caution, words.Say("strip.caution-cage"))
	say(p.Camera == 1, Caution, words.Say("strip.caution-camera"))
	say(p.Battery == 1, Caution, words.Say("strip.caution-battery"))
	say(s.Response.Differ && !s.Old, Caution, words.Say("strip.caution-response", "asked", s.Response.Commanded, "actual", s.Response.Actual))
	return lines
}
