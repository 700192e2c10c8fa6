package scenarios

import (
	"fmt"

	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/pilot"
)

// flights are what a line of a script can hand over to the pilot.
var flights = []struct {
	word string
	part pilot.Part
}{{"task", pilot.FlyTask}, {"hover", pilot.FlyHover}, {"land", pilot.FlyLand}, {"hands", pilot.FlyHands}}

// scriptFormat describes what hands do and when: a pilot that a person writes.
func scriptFormat() format {
	var words []string
	for _, f := range flights {
		words = append(words, f.word)
	}
	line := group("", "one thing done once",
		whenField().need(),
		number("after", "s", 0, 600, "how long after that").or(0.0),
		word("fly", words, "what the pilot does by itself from then on: the plan, come to rest, land and secure, or nothing; all but hands take back what lines have set"),
		setField(),
	)
	return format{kind: KindScript, dir: "scripts", rules: []rule{{nil, checkLines}}, root: document(KindScript,
		"A pilot's script: what hands do and when. Until a line says otherwise it flies the scenario's plan, with the hand of a trained person.",
		list("lines", 0, pilot.MaxLines, line, "what is done, each once; lines that come at the same moment are done in order").need())}
}

// whenField describes what a line waits for.
func whenField() field {
	sign := signField("something a person can perceive")
	sign.name = sign.key
	return either("when", "what it waits for: a time of the run, a moment of the flight, or something a person can perceive",
		group("tick_s", "a time of the run", number("tick", "s", 0, 1800, "from the start of the run").need()),
		group("after", "a moment of the flight", word("after", inject.SeenMarkWords(), "when it first happens, as a person sees it").need()),
		sign)
}

// setField describes what a line sets.
func setField() field {
	return group("set", "sticks and switches, which stay so until fly takes them back, and what is said or done once",
		number("throttle", "share", 0, 1, "0 lowest"),
		number("roll", "share", -1, 1, "right positive"),
		number("pitch", "share", -1, 1, "forward positive"),
		number("yaw", "share", -1, 1, "right positive"),
		word("response", hands.ResponseWords(), "the response type that is selected"),
		truth("cut_off", "motor cut-off engaged"),
		truth("armed", "the arming switch"),
		word("call", hands.CallWords(), "what is said"),
		word("step", hands.StepWords(), "what is done at or near the craft"),
		integer("item", 0, 63, "what the step is about: a place of the inspection list or a move of the carry, from 0"))
}

// sticks are the keys of set that stand for stick positions.
var sticks = []struct {
	key  string
	part pilot.Part
}{{"throttle_share", pilot.SetThrottle}, {"roll_share", pilot.SetRoll}, {"pitch_share", pilot.SetPitch}, {"yaw_share", pilot.SetYaw}}

// checkLines checks that each line does something and that all of them fit.
func checkLines(v *value, r *report) {
	count := 0
	for _, item := range v.list("lines") {
		if !item.sound {
			continue
		}
		does := partsOf(item)
		if len(does) == 0 {
			r.add(item.fault("neither fly nor anything in set", "at least one of them", "this line does nothing"))
		}
		count += len(does)
	}
	if count > pilot.MaxLines {
		r.add(v.at("lines").fault(fmt.Sprintf("%d things to do", count), fmt.Sprintf("at most %d", pilot.MaxLines), ""))
	}
}

// scriptOf returns the script that a sound script file gives.
func scriptOf(v *value) pilot.Script {
	var s pilot.Script
	for _, item := range v.list("lines") {
		for _, line := range partsOf(item) {
			s.Lines[s.Count] = timed(line, item)
			s.Count++
		}
	}
	return s
}

// timed adds to line when it is done.
func timed(line pilot.Line, v *value) pilot.Line {
	when := v.at("when")
	line.After = v.ticks("after_s")
	switch when.choice {
	case "tick_s":
		line.When, line.After = pilot.WhenTick, line.After+when.ticks("tick_s")
	case "after":
		line.When = pilot.WhenMark
		line.Mark, _ = inject.ParseMark(when.str("after"))
	case "sign":
		line.When, line.Rule = pilot.WhenSign, ruleOf(when)
	}
	return line
}

// partsOf returns what a line does, a pilot.Line for each: fly first, for it
// takes back what was set.
func partsOf(v *value) (lines []pilot.Line) {
	if w := v.at("fly"); w.present {
		for _, f := range flights {
			if f.word == w.text {
				lines = append(lines, pilot.Line{Set: f.part})
			}
		}
	}
	set := v.at("set")
	if !set.present {
		return lines
	}
	for _, s := range sticks {
		if set.has(s.key) {
			lines = append(lines, pilot.Line{Set: s.part, To: hands.Stick(set.num(s.key))})
		}
	}
	lines = append(lines, switchesOf(set)...)
	if set.has("call") {
		call, _ := hands.ParseCall(set.str("call"))
		lines = append(lines, pilot.Line{Set: pilot.SetCall, Call: call})
	}
	if set.has("step") {
		step, _ := hands.ParseStep(set.str("step"))
		lines = append(lines, pilot.Line{Set: pilot.SetStep, Step: step, Item: uint8(set.integer("item"))})
	}
	return lines
}

func switchesOf(set *value) (lines []pilot.Line) {
	if set.has("response") {
		response, _ := hands.ParseResponse(set.str("response"))
		lines = append(lines, pilot.Line{Set: pilot.SetResponse, Resp: response})
	}
	for _, s := range []struct {
		key  string
		part pilot.Part
	}{{"cut_off", pilot.SetCutOff}, {"armed", pilot.SetArmed}} {
		if set.has(s.key) {
			line := pilot.Line{Set: s.part}
			if set.is(s.key) {
				line.To = 1
			}
			lines = append(lines, line)
		}
	}
	return lines
}

// ScriptFile is a pilot's script by itself, as its file tells it.
type ScriptFile struct {
	Name, Title string
	Script      pilot.Script
	Document    Document
}

// LoadScript reads the script called name and nothing else. The error is Faults.
func LoadScript(find Finder, name string) (*ScriptFile, error) {
	l := loader{find: find}
	f, _ := l.read(KindScript, name, nil)
	if err := l.rep.error(); err != nil {
		return nil, err
	}
	return &ScriptFile{Name: f.doc.Name, Title: f.root.str("title"), Script: scriptOf(f.root), Document: f.doc}, nil
}
