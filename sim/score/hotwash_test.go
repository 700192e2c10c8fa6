package score

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// Goal: every sign, deed, hard fail and hard outcome has a plain sentence of its
// own: none is empty, none is a word of the files, no two are the same.
func TestEverythingIsSaidInASentence(t *testing.T) {
	seen := map[string]string{}
	check := func(word, says string) {
		assert.NotEmpty(t, says, word)
		assert.NotContains(t, says, "_", word)
		assert.Empty(t, seen[says], "%s says the same as %s", word, seen[says])
		seen[says] = word
	}
	for _, w := range percept.SignWords() {
		s, _ := percept.ParseSign(w)
		check(w, signSays(&percept.Rule{Sign: s, Above: 0.5}))
	}
	for _, w := range judge.DeedWords() {
		k, _ := judge.ParseDeed(w)
		if k != judge.DeedCall && k != judge.DeedStep { // theirs is what is called, or which step
			check(w, deedWords(&judge.Deed{Kind: k, Level: 0.5}))
		}
	}
	for f := range judge.Fails {
		check("fail", judge.Fail(f).Words())
	}
}

// Goal: the hot wash says what kind of run it was: an event that emerged, one
// that did not come, a harmless sign, a demonstration, a limit set by the
// battery; and says none of it of any other run.
func TestHotWashSaysWhatKindOfRun(t *testing.T) {
	says := []string{
		"came of how, where and with what it was flown",
		"The event did not come",
		"What was made to happen is harmless: flying on and landing are both right",
		"This was a demonstration",
		"In a drill this would have been a hard fail: motors restarted",
		"the battery had about 24 s left",
		"Securing the craft: 2 of 4 steps",
		"Securing the craft: 2 of 3 steps in order (throttle lowest, disarmed, cut-off held).",
		"At  25.0 s, out of order: disarm, before what must come first was done",
	}
	cases := []struct {
		name   string
		change func(d *judge.Drill, f *judge.Facts)
		want   []int // of says
	}{
		{"an event", func(*judge.Drill, *judge.Facts) {}, []int{6}},
		{"emerged", func(d *judge.Drill, _ *judge.Facts) { d.Emerges = true }, []int{0, 6}},
		{"did not come", func(d *judge.Drill, f *judge.Facts) {
			d.Emerges, f.Onset, f.Cue, f.FirstRight = true, judge.Never, judge.Never, judge.Never
		}, []int{1, 6}},
		{"harmless", func(d *judge.Drill, f *judge.Facts) { d.Class, f.Cue = judge.ClassN, judge.Never }, []int{2, 6}},
		{"shown", func(d *judge.Drill, f *judge.Facts) { d.Demonstration, f.Fail[judge.FailRestart] = true, 25000 }, []int{3, 4, 6}},
		{"low battery", func(d *judge.Drill, f *judge.Facts) {
			d.Class, d.Target, d.Limit, f.Endurance = judge.ClassD, 10, 30, 24
		}, []int{5, 6}},
		{"at rest by itself", func(d *judge.Drill, f *judge.Facts) {
			f.Done, d.Demands[1].AnyOf[0].Kind = judge.Start().Done, judge.DeedArrest
			f.Began[1] = 25000
		}, []int{6}},
		{"out of order", func(d *judge.Drill, f *judge.Facts) {
			d.Demands[1].AnyOf[0].Kind = judge.DeedDisarm
			f.Done = judge.Start().Done
			f.Began[1] = 25000
		}, []int{6, 8}},
		{"it smoked", func(_ *judge.Drill, f *judge.Facts) { f.Smoked = true }, []int{7}},
		{"on the bench", func(d *judge.Drill, f *judge.Facts) {
			d.Class, *f = judge.ClassN, judge.Start()
		}, nil},
	}
	for _, c := range cases {
		conditions := sim.Conditions{Drill: takeOver()}
		r := answered()
		c.change(&conditions.Drill, &r.End.Judge)
		a := Assess(&conditions, &r, Available{})
		text := ""
		for _, section := range HotWash(&conditions, &r, &a) {
			text += section.Title + "\n" + strings.Join(section.Lines, "\n") + "\n"
		}
		for i, line := range says {
			wanted := false
			for _, k := range c.want {
				wanted = wanted || k == i
			}
			assert.Equal(t, wanted, strings.Contains(text, line), "%s: %q in\n%s", c.name, line, text)
		}
	}
}
