package scenarios

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/percept"
)

// written finds files by their kind, and everything else in the catalogue.
type written map[Kind]string

func (w written) Find(kind Kind, name string) (Document, error) {
	if text, ok := w[kind]; ok && name == "it" {
		return Document{Kind: kind, Name: "it", File: "it.yaml", Text: []byte(text)}, nil
	}
	return Catalogue().Find(kind, name)
}

// good returns a sound file with each first of a pair of words replaced by its
// second.
func good(t *testing.T, kind string, pairs ...string) string {
	t.Helper()
	text, err := os.ReadFile("testdata/good-" + kind + ".yaml")
	require.NoError(t, err)
	for i := 0; i < len(pairs); i += 2 {
		require.Contains(t, string(text), pairs[i])
		text = []byte(strings.Replace(string(text), pairs[i], pairs[i+1], 1))
	}
	return string(text)
}

const oneInject = `injects:
  - inject: motor-failure
    rotor: front-left
    lost_share: 1
    onset: {after: position-hold, delay_s: 5, mean_s: 6, cap_s: 25}
`

// Goal: the target follows what the person is told beforehand. Method: a drill of
// class A, whose targets are 2 s unannounced and 1 s announced; half announced is
// their mean.
func TestTargetFollowsTheAnnouncement(t *testing.T) {
	for i, want := range []float64{2, 1.5, 1} {
		grade := judge.Announced(i)
		b, err := Load(written{KindScenario: good(t, "scenario", "event: motor-failure\n",
			"event: motor-failure\n  announced: "+grade.String()+"\n")}, "it")
		require.NoError(t, err)
		assert.Equal(t, grade, b.Drill.Announced)
		assert.Equal(t, want, b.Drill.Target, "%s: s", grade)
	}
}

// Goal: how an event comes about arrives: by an inject, by itself from a mark on,
// or shown on purpose.
func TestHowAnEventComesAbout(t *testing.T) {
	b, err := Load(written{KindScenario: good(t, "scenario")}, "it")
	require.NoError(t, err)
	assert.False(t, b.Drill.Emerges || b.Drill.Demonstration)

	b, err = Load(written{KindScenario: good(t, "scenario", oneInject, "",
		"event: motor-failure\n", "event: cut-off-released\n  emerges: true\n  from: armed\n  demonstration: true\n")}, "it")
	require.NoError(t, err)
	assert.True(t, b.Drill.Emerges && b.Drill.Demonstration)
	assert.Equal(t, uint8(inject.MarkArmed), b.Drill.From)
	assert.Zero(t, b.Injects.Count)
}

// Goal: in a run without an event a harmless sign may come, and only that.
// Method: a gust and a silent station; the broken files have the counter-example.
func TestAHarmlessSignMayComeInACatchRun(t *testing.T) {
	b, err := Load(written{KindScenario: good(t, "scenario", oneInject, `injects:
  - inject: gust
    speed_m_s: 1
    direction_deg: 0
    ramp_s: 1
    lasts_s: 4
    onset: {after: hover}
  - inject: telemetry-lost
    onset: {after: hover}
`, "event: motor-failure\n", "event: no-event\n", "{deed: cut-off}", "{deed: plan-completed}, {deed: touchdown}")}, "it")
	require.NoError(t, err)
	assert.Equal(t, judge.ClassN, b.Drill.Class)
	assert.Equal(t, 2, b.Injects.Count)
}

// Goal: a cut-off that nobody needs is an error also where a drill does not say
// so: major while a refuge is open, critical where nothing comes; it is none where
// the drill asks for it, and what the drill says of it stands.
func TestAnUnneededCutOffIsAnError(t *testing.T) {
	cases := []struct {
		name  string
		pairs []string
		want  []judge.Grade // of the commissions that are a cut-off
	}{
		{"asked for", nil, nil},
		{"one of two ways", []string{"{deed: cut-off}", "{deed: select-refuge}, {deed: cut-off}"}, nil},
		{"a refuge is open", []string{"{deed: cut-off}", "{deed: select-refuge}"}, []judge.Grade{judge.Major}},
		{"nothing comes", []string{oneInject, "", "event: motor-failure", "event: no-event", "{deed: cut-off}", "{deed: plan-completed}"}, []judge.Grade{judge.Critical}},
		{"the drill says so", []string{"{deed: cut-off}", "{deed: select-refuge}",
			"  demands:", "  commissions: [{deed: cut-off, grade: minor}]\n  demands:"}, []judge.Grade{judge.Minor}},
		{"sticks for the link's return", []string{"{deed: cut-off}", "{deed: sticks-return-safe}"}, nil},
	}
	for _, c := range cases {
		b, err := Load(written{KindScenario: good(t, "scenario", c.pairs...)}, "it")
		require.NoError(t, err, c.name)
		var got []judge.Grade
		for _, x := range b.Drill.Commissions[:b.Drill.CommissionCount] {
			if x.Deed.Kind == judge.DeedCutOff {
				got = append(got, x.Grade)
			}
		}
		assert.Equal(t, c.want, got, c.name)
	}
}

// Goal: procedures may permit what otherwise is a hard fail, with nothing else
// said. Method: the same scenario with and without them.
func TestProceduresPermit(t *testing.T) {
	file := written{
		KindScenario:   good(t, "scenario"),
		KindProcedures: good(t, "procedures", "    demands:\n      - any_of: [{deed: cut-off}]\n        first: true\n", "    permits: [transmitter-off]\n"),
	}
	plain, err := Load(file, "it")
	require.NoError(t, err)
	won, err := Load(file, "it", "it")
	require.NoError(t, err)
	assert.False(t, plain.Drill.MaySwitchOff)
	assert.True(t, won.Drill.MaySwitchOff)
	require.Len(t, won.Procedures, 1)
	won.Drill.MaySwitchOff = false
	assert.Equal(t, plain.Drill, won.Drill)
}

// Goal: every sign of the percept can stand in a file, each with its level in its
// unit.
func TestEverySignHasItsForm(t *testing.T) {
	seen := map[percept.Sign]bool{}
	for i := range signForms {
		assert.False(t, seen[signForms[i].sign], signForms[i].word)
		seen[signForms[i].sign] = true
	}
	assert.Len(t, seen, len(percept.SignWords()))

	b, err := Load(written{KindScenario: good(t, "scenario", "{sign: tilt, above_deg: 30}",
		"{sign: swing, above_deg: 6}\n    - {sign: ceiling, within_m: 0.1, for_s: 0.2}\n    - {sign: smoke}\n    - {sign: cut-off-ignored, above_s: 0.5}")}, "it")
	require.NoError(t, err)
	want := []percept.Rule{{Sign: percept.SignSwing, Above: 0.10471975511965978}, {Sign: percept.SignCeiling, Above: 10, For: 200},
		{Sign: percept.SignSmoke, Above: 0.5}, {Sign: percept.SignCutOffIgnored, Above: 0.5}} // 6 degrees are π/30
	require.Equal(t, len(want), b.Drill.CueCount)
	for i := range want {
		got := b.Drill.Cues[i]
		assert.InDelta(t, want[i].Above, got.Above, 1e-12)
		got.Above = want[i].Above
		assert.Equal(t, want[i], got)
	}
}
