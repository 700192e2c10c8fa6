package score

import (
	"fmt"
	"sort"
	"strings"

	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// Section is a heading with its sentences.
type Section struct {
	Title string
	Lines []string
}

// HotWash says an assessment in sentences, for straight after the run: what
// happened, what was done, how long there was, what it cost, and why it is a GO
// or not.
func HotWash(c *sim.Conditions, r *sim.Result, a *Assessment) []Section {
	return []Section{
		{"What happened", happened(c, r, a)},
		{"What you did", did(a)},
		{"How long there was", howLong(c, a)},
		{"What it cost", cost(a)},
		{"Result: " + string(a.Verdict), why(c, a)},
	}
}

func happened(c *sim.Conditions, r *sim.Result, a *Assessment) (lines []string) {
	f := &r.End.Judge
	if f.Airborne != judge.Never {
		lines = append(lines, fmt.Sprintf("At %.1f s the craft left the floor.", float64(f.Airborne)/1000))
	} else {
		lines = append(lines, "The craft did not leave the floor.")
	}
	for i := range c.Injects.Count {
		if onset := r.End.Inject.Onset[i]; onset != judge.Never && onset <= r.End.Tick {
			lines = append(lines, fmt.Sprintf("At %.1f s %s.", float64(onset)/1000, c.Injects.Injects[i].Says()))
		}
	}
	if c.Drill.Class == judge.ClassN {
		lines = append(lines, "Nothing was made to go wrong in this run.")
	}
	if a.CueS != nil {
		lines = append(lines, fmt.Sprintf("From %.1f s on a person could notice: %s.", *a.CueS, signSays(&c.Drill.Cues[f.CueRule])))
	}
	if f.Hard != judge.Never {
		lines = append(lines, fmt.Sprintf("At %.1f s %s.", float64(f.Hard)/1000, f.HardKind.Words()))
	}
	return lines
}

// signSays says a cue rule in a sentence's second half.
func signSays(r *percept.Rule) string {
	deg := r.Above * 57.29577951308232
	switch r.Sign {
	case percept.SignSlide:
		return fmt.Sprintf("it slid faster than %.2f m/s without being asked to", r.Above)
	case percept.SignAway:
		return fmt.Sprintf("it was more than %.1f m from where it should be", r.Above)
	case percept.SignTilt:
		return fmt.Sprintf("it leaned by more than %.0f degrees", deg)
	case percept.SignTipping:
		return fmt.Sprintf("it leaned by more than %.0f degrees on its feet", deg)
	case percept.SignCamera:
		return "the station said that the camera is doubtful or disagrees"
	case percept.SignLinkLost:
		return "the station showed the link as lost"
	case percept.SignDeadSticks:
		return fmt.Sprintf("a moved stick had no answer for %.1f s", r.Above)
	case percept.SignOddRotor:
		return fmt.Sprintf("one rotor sounded more than %.0f %% off the others", 100*r.Above)
	case percept.SignBattery:
		return "the station warned of the battery"
	case percept.SignSink:
		return fmt.Sprintf("it sank faster than %.1f m/s", r.Above)
	case percept.SignAccel:
		return fmt.Sprintf("it was pushed with more than %.1f m/s²", r.Above)
	case percept.SignOverPath:
		return fmt.Sprintf("it flew faster than %.1f times the briefed path", r.Above)
	case percept.SignContact:
		return "it touched something"
	case percept.SignPersonNear:
		return "a person was near it"
	}
	return strings.ReplaceAll(r.Sign.String(), "_", " ")
}

// did lists what the person did, in the order in which it was done.
func did(a *Assessment) []string {
	type act struct {
		at   float64
		says string
	}
	var acts []act
	for _, d := range a.Demands {
		if d.DoneS != nil {
			acts = append(acts, act{*d.DoneS, "right: " + d.Action})
		}
	}
	for _, commission := range a.Commissions {
		acts = append(acts, act{commission.AtS, commission.Grade + " error: " + commission.Action})
	}
	for _, x := range a.Exceedances {
		acts = append(acts, act{x.AtS, x.Grade + " exceedance: " + x.Says})
	}
	sort.SliceStable(acts, func(i, j int) bool { return acts[i].at < acts[j].at })
	var lines []string
	for _, x := range acts {
		lines = append(lines, fmt.Sprintf("At %5.1f s, %s%s.", x.at, x.says, afterCue(a, x.at)))
	}
	for _, d := range a.Demands {
		if d.DoneS == nil {
			lines = append(lines, "Left out: "+d.Action+".")
		}
	}
	if !a.CallMade {
		lines = append(lines, "Left out: the call that belongs to this event.")
	}
	if a.Secured < 4 {
		lines = append(lines, fmt.Sprintf("Securing the craft: %d of 4 steps in order (throttle lowest, disarmed, cut-off held, battery out).", a.Secured))
	}
	if len(lines) == 0 {
		lines = append(lines, "Nothing that counts.")
	}
	return lines
}

func afterCue(a *Assessment, at float64) string {
	switch {
	case a.CueS == nil:
		return ""
	case at < *a.CueS:
		return " (before the cue)"
	}
	return fmt.Sprintf(" (%.1f s after the cue)", at-*a.CueS)
}

func howLong(c *sim.Conditions, a *Assessment) (lines []string) {
	v := &a.Available
	switch {
	case c.Drill.Class == judge.ClassN:
		return []string{"No answer was needed."}
	case c.Drill.Class == judge.ClassE:
		lines = append(lines, "Nobody can act on the craft while it hears nothing: it does what it was set to do. What counts is the call, and how the sticks stand when the link comes back.")
	case !v.Known:
		lines = append(lines, "Not computed in this run.")
	case v.Hand.AtLeast && v.HardS == nil:
		lines = append(lines, fmt.Sprintf("Long: in the %.0f s after the cue nothing hard would have come even if nobody had acted, and acting then still helped.", v.Hand.Seconds))
	case v.Hand.AtLeast:
		lines = append(lines, fmt.Sprintf("More than %.1f s: acting still helped at the end of the search.", v.Hand.Seconds))
	case v.Hand.Seconds <= 0:
		lines = append(lines, "None: even the right action at the moment of the cue would not have saved the craft. What counts here is that nobody is hurt.")
	default:
		lines = append(lines, fmt.Sprintf("About %.1f s from the cue (%.1f to %.1f over mass, motor lag, drag and noise) for a trained hand; an ideal hand had about %.1f s.",
			v.Hand.Seconds, v.Hand.Low, v.Hand.High, v.Ideal.Seconds))
	}
	if v.Known && v.Hand.Seconds > 0 && !v.Hand.AtLeast && !v.Saveable {
		lines = append(lines, fmt.Sprintf("That is less than the %.1f s in which a practised person answers, so the craft counts as not saveable.", a.TargetS))
	}
	for _, w := range v.Hand.Later {
		lines = append(lines, fmt.Sprintf("From %.1f to %.1f s after the cue acting would have helped again: that is luck, and does not count.", w[0], w[1]))
	}
	if v.HardS != nil {
		lines = append(lines, fmt.Sprintf("Had nobody acted, it would have ended hard %.1f s after the cue.", *v.HardS))
	}
	if a.ToFirstRightS != nil {
		says := fmt.Sprintf("Your first right action came %.1f s after the cue", *a.ToFirstRightS)
		if a.BeforeCue {
			says = "Your first right action came before the cue"
		}
		if a.UsedShare != nil {
			says += fmt.Sprintf(": you used %.0f %% of the time there was%s", 100**a.UsedShare, left(v))
		}
		lines = append(lines, says+".")
	}
	return lines
}

// left says what was left at the first right action.
func left(v *Available) string {
	if v.LeftS == nil || *v.LeftS <= 0 {
		return ""
	}
	return fmt.Sprintf(", and %.1f s were left", *v.LeftS)
}

func cost(a *Assessment) (lines []string) {
	if a.CueS != nil {
		lines = append(lines, fmt.Sprintf("After the cue the craft was at most %.1f m from where it should have been and leaned by at most %.0f degrees.", a.MaxAwayM, a.MaxTilt))
	}
	if a.MinWallM != nil {
		lines = append(lines, fmt.Sprintf("It came no nearer than %.1f m to a net, wall or box.", max(*a.MinWallM, 0)))
	}
	if a.TouchdownM != nil {
		lines = append(lines, fmt.Sprintf("It touched down at %.1f m/s.", *a.TouchdownM))
	}
	if len(lines) == 0 {
		lines = append(lines, "Nothing.")
	}
	return lines
}

func why(c *sim.Conditions, a *Assessment) (lines []string) {
	for _, r := range a.Reasons {
		at := ""
		if r.AtS != nil {
			at = fmt.Sprintf(" (at %.1f s)", *r.AtS)
		}
		lines = append(lines, capital(r.Says)+at+".")
	}
	if a.Verdict == Void {
		return append(lines, "A void run is not scored.")
	}
	if a.Verdict == Go {
		lines = append(lines, fmt.Sprintf("Performance was %s: the target for the first right action was %.1f s, the limit %.1f s.", a.Band, a.TargetS, a.LimitS))
		if c.Drill.Class == judge.ClassN {
			lines = []string{fmt.Sprintf("Performance was %s: the plan was completed and nothing was done without cause.", a.Band)}
		}
	}
	return append(lines, fmt.Sprintf("For the trend only: %.0f of 100 (%.0f to %.0f as the weights move by 0.1): time %.2f, actions %.2f, control %.2f, procedure %.2f.",
		a.Number, a.NumberRange[0], a.NumberRange[1], a.Parts.Time, a.Parts.Actions, a.Parts.Control, a.Parts.Procedure))
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
