package score

import (
	"fmt"
	"sort"
	"strings"

	"lapwing/sim"
	"lapwing/sim/carry"
	"lapwing/sim/judge"
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
		{resultTitle(a), why(c, a)},
	}
}

func resultTitle(a *Assessment) string {
	if a.Verdict == Unscored {
		return "Result: shown, not scored"
	}
	return "Result: " + string(a.Verdict)
}

func happened(c *sim.Conditions, r *sim.Result, a *Assessment) (lines []string) {
	f := &r.End.Judge
	switch {
	case c.Inverted:
		lines = append(lines, "The run began with the craft on its back, armed, its motors turning.")
	case f.Airborne == judge.Never:
		lines = append(lines, "The craft did not leave the floor.")
	}
	lines = append(lines, inOrder(c, r)...)
	switch {
	case c.Drill.Class != judge.ClassN:
	case f.Onset != judge.Never:
		lines = append(lines, "What was made to happen is harmless: flying on and landing are both right.")
	case c.Bench.Discrepancies() > 0 || c.Carry.Fault != carry.FaultNone:
		lines = append(lines, "Something was wrong with it from the start, to be found.")
	case asks(&c.Drill, judge.DeedRefusalNamed):
		lines = append(lines, "Something stood against arming, to be named.")
	default:
		lines = append(lines, "Nothing was made to go wrong in this run.")
	}
	return append(lines, emerged(c, a)...)
}

// emerged says how an event came that no inject made.
func emerged(c *sim.Conditions, a *Assessment) []string {
	switch {
	case a.CueS == nil || !c.Drill.Emerges || c.Inverted:
		return nil
	case c.Drill.Demonstration:
		return []string{"It was brought about on purpose, to be seen."}
	}
	return []string{"Nothing was made to go wrong: the event came of how, where and with what it was flown."}
}

// inOrder tells take-off, injects, cue and hard outcome in the order in which
// they came.
func inOrder(c *sim.Conditions, r *sim.Result) (lines []string) {
	type moment struct {
		at   int64 // tick
		says string
	}
	var all []moment
	add := func(at int64, says string) {
		if at != judge.Never && at <= r.End.Tick {
			all = append(all, moment{at, fmt.Sprintf(says, float64(at)/1000)})
		}
	}
	f := &r.End.Judge
	add(f.Airborne, "At %.1f s the craft left the floor.")
	for i := range c.Injects.Count {
		says := strings.ReplaceAll(c.Injects.Injects[i].Says(), "%", "%%")
		add(r.End.Inject.Onset[i], "At %.1f s "+says+".")
	}
	if f.Cue != judge.Never {
		add(f.Cue, "From %.1f s on a person could notice: "+strings.ReplaceAll(signSays(&c.Drill.Cues[f.CueRule]), "%", "%%")+".")
	}
	add(f.Hard, "At %.1f s "+f.HardKind.Words()+".")
	sort.SliceStable(all, func(i, j int) bool { return all[i].at < all[j].at })
	for _, m := range all {
		lines = append(lines, m.says)
	}
	return lines
}

// asks tells whether a drill asks for a deed of kind k.
func asks(d *judge.Drill, k judge.DeedKind) bool {
	for i := range d.DemandCount {
		for j := range d.Demands[i].Count {
			if d.Demands[i].AnyOf[j].Kind == k {
				return true
			}
		}
	}
	return false
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
		if d.EarlyS != nil {
			lines = append(lines, fmt.Sprintf("At %5.1f s, out of order: %s, before what must come first was done.", *d.EarlyS, d.Action))
		} else if d.DoneS == nil {
			lines = append(lines, "Left out: "+d.Action+".")
		}
	}
	if !a.CallMade {
		lines = append(lines, "Left out: the call that belongs to it.")
	}
	if a.Secured < a.SecureSteps && a.Securing {
		lines = append(lines, fmt.Sprintf("Securing the craft: %d of %d steps in order (%s).", a.Secured, a.SecureSteps,
			strings.Join(secureWords[:a.SecureSteps], ", ")))
	}
	lines = append(lines, a.Work.says()...)
	if len(lines) == 0 {
		lines = append(lines, "Nothing that counts.")
	}
	return lines
}

// secureWords are the steps that end every event.
var secureWords = [...]string{"throttle lowest", "disarmed", "cut-off held", "battery out"}

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
		lines = append(lines, whatCounts(c.Drill.Event))
	case v.Undecided != "":
		lines = append(lines, "Not decided: "+v.Undecided+".")
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

// whatCounts says what counts in an event in which the craft is not the pilot's to
// save, by its row in the list of events.
func whatCounts(event uint8) string {
	switch event {
	case 12: // fly-away
		return "Nobody can act on a craft that hears nothing and does not act by itself. What counts is the call, one try of the cut-off, and that nobody goes near."
	case 41: // cut-off-fails
		return "The cut-off is what failed. What counts is the call, the other way to stop the motors, and that nobody goes near."
	}
	return "Nobody can act on the craft while it hears nothing: it does what it was set to do. What counts is the call, and how the sticks stand when the link comes back."
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
	switch a.Verdict {
	case Void:
		return append(lines, "A void run is not scored.")
	case Unscored:
		lines = append(lines, "This was a demonstration: it shows on purpose what must not be done, and is neither GO nor NO-GO.")
		for _, fail := range a.HardFails {
			lines = append(lines, fmt.Sprintf("In a drill this would have been a hard fail: %s (at %.1f s).", fail.Says, fail.AtS))
		}
		return lines
	}
	lines = append(lines, limitWords(c, a)...)
	if a.Verdict == Go {
		lines = append(lines, fmt.Sprintf("Performance was %s: the target for the first right action was %.1f s, the limit %.1f s.", a.Band, a.TargetS, a.LimitS))
		if c.Drill.Class == judge.ClassN {
			lines = []string{fmt.Sprintf("Performance was %s: what was asked was done, %s.", a.Band, a.without())}
		}
	}
	return append(lines, fmt.Sprintf("For the trend only: %.0f of 100 (%.0f to %.0f as the weights move by 0.1): time %.2f, actions %.2f, control %.2f, procedure %.2f.",
		a.Number, a.NumberRange[0], a.NumberRange[1], a.Parts.Time, a.Parts.Actions, a.Parts.Control, a.Parts.Procedure))
}

// without says how a run without an event went.
func (a *Assessment) without() string {
	if a.withoutError() {
		return "and nothing was done without cause"
	}
	return "though not without error"
}

// limitWords says what set the limit where that is not the class alone: half of
// what the battery had left.
func limitWords(c *sim.Conditions, a *Assessment) []string {
	if a.EnduranceS == nil || *a.EnduranceS/2 >= c.Drill.Limit {
		return nil
	}
	return []string{fmt.Sprintf("At the cue the battery had about %.0f s left at the draw it had then; landing soon means within half of that.", *a.EnduranceS)}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
