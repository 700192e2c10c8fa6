package scenarios

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/judge"
	"lapwing/sim/trials"
)

// Goal: each course of the catalogue is sound with everything that it names, and
// can be begun.
func TestCoursesOfTheCatalogue(t *testing.T) {
	names := Names(KindCourse)
	require.NotEmpty(t, names)
	for _, name := range names {
		c, err := LoadCourse(Catalogue(), name)
		require.NoError(t, err, name)
		try, ok := c.Sitting(1).Next()
		require.True(t, ok, name)
		require.NotNil(t, c.Bundle(try), name)
	}
}

// Goal: what stands in a course arrives. Method: the good file of the tests, whose
// second step announces a drill and whose third takes two unannounced.
func TestCourseArrives(t *testing.T) {
	text, err := os.ReadFile("testdata/good-course.yaml")
	require.NoError(t, err)
	c, err := LoadCourse(single{Document{Kind: KindCourse, Name: "it", File: "it.yaml", Text: text}}, "it")
	require.NoError(t, err)
	require.Len(t, c.Steps, 3)
	plain, told, mixed := &c.Steps[0], &c.Steps[1], &c.Steps[2]

	assert.Equal(t, trials.Step{Drills: 1, Least: 1, Most: usualMost, OfLast: 1, Go: 1}, plain.Standard)
	assert.Equal(t, judge.AnnouncedFully, told.Drills[0].Drill.Announced)
	assert.Equal(t, judge.AnnouncedNot, mixed.Drills[0].Drill.Announced)
	assert.Equal(t, trials.Step{Drills: 1, Least: 2, Most: 6, OfLast: 2, Go: 1}, told.Standard)
	assert.Equal(t, trials.Step{Drills: 2, CatchRuns: 1, CatchShare: 0.3, Least: 5, Most: 15, OfLast: 5, Go: 4, FalseAlarms: 1}, mixed.Standard)
	assert.Equal(t, "drift-in-hold", c.Bundle(trials.Try{Step: 2}).Name)
	assert.Equal(t, "nothing-happens", c.Bundle(trials.Try{Step: 2, Catch: true}).Name)
}

// Goal: an announcement changes what it should and nothing else, and the documents
// carry it, so that a recording can be scored again. Method: the announced drill
// against the scenario's own; both again from their documents.
func TestAnnounced(t *testing.T) {
	own, err := Load(Catalogue(), "drift-in-hold")
	require.NoError(t, err)
	c, err := LoadCourse(Catalogue(), "taking-over")
	require.NoError(t, err)
	told := c.Steps[2].Drills[0]
	require.Equal(t, "drift-in-hold", told.Name)
	require.Equal(t, judge.AnnouncedNot, own.Drill.Announced)
	require.Equal(t, judge.AnnouncedFully, told.Drill.Announced)
	assert.Equal(t, TimesOf(own.Drill.Class).Announced, told.Drill.Target)

	same := told.Drill
	same.Announced, same.Target = own.Drill.Announced, own.Drill.Target
	assert.Equal(t, own.Drill, same)
	assert.Equal(t, own.Plan, told.Plan)
	assert.Equal(t, own.Injects, told.Injects)

	again, err := LoadBundle(told.Documents)
	require.NoError(t, err)
	assert.Equal(t, told.Drill, again.Drill)
	assert.NotEqual(t, own.Documents[0].Text, told.Documents[0].Text)
	assert.Equal(t, own.Documents[0].Text, c.Steps[4].Drills[0].Documents[0].Text, "nothing to change, nothing changed")
}

// Goal: a scenario that is not there is refused at its place, with the nearest
// name; faults of a scenario are those of its own file; scenarios beside the course
// are found.
func TestCourseLooksAround(t *testing.T) {
	text, err := os.ReadFile("testdata/good-course.yaml")
	require.NoError(t, err)
	dir := t.TempDir()
	file := filepath.Join(dir, "mine.yaml")
	text = bytes.Replace(text, []byte("{scenario: hold-and-land}"), []byte("{scenario: my-drill}"), 1)
	require.NoError(t, os.WriteFile(file, text, 0o644))
	_, err = LoadCourse(Disk(""), file)
	require.ErrorContains(t, err, `steps[0].scenario: there is no scenario of this name; found "my-drill"; allowed a file, or one of the catalogue of `)
	misspelt := bytes.Replace(text, []byte("my-drill"), []byte("hold-and-lnd"), 1)
	_, err = LoadCourse(single{Document{Kind: KindCourse, Name: "it", File: "it.yaml", Text: misspelt}}, "it")
	require.ErrorContains(t, err, "it.yaml:10:16: steps[0].scenario: there is no scenario of this name; did you mean hold-and-land?")

	drill, err := Catalogue().Find(KindScenario, "hold-and-land")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "my-drill.yaml"), drill.Text, 0o644))
	c, err := LoadCourse(Disk(""), file)
	require.NoError(t, err)
	assert.Equal(t, "my-drill", c.Steps[0].Drills[0].Name)

	require.NoError(t, os.WriteFile(filepath.Join(dir, "my-drill.yaml"), bytes.Replace(drill.Text, []byte("duration_s:"), []byte("duration_m:"), 1), 0o644))
	_, err = LoadCourse(Disk(""), file)
	require.ErrorContains(t, err, "my-drill.yaml:")
	require.ErrorContains(t, err, "duration_s")
}

// Goal: each of a course's flights is announced as its step says, whatever the
// scenario says of itself. Method: scenarios that do and do not say it, and one
// whose drill stands in braces.
func TestAnnounceText(t *testing.T) {
	for name, text := range map[string]string{
		"unsaid":     "title: x\ndrill:\n  event: no-event # a word\n",
		"said":       "drill:\n  announced: kind\n  event: no-event\n",
		"in braces":  "drill: {event: no-event}\n",
		"said twice": "announced: kind\ndrill: {announced: fully, event: no-event}\n",
	} {
		for _, announced := range judge.AnnouncedWords() {
			got, err := announce([]byte(text), announced)
			require.NoError(t, err, name)
			v := plainValue(t, got).(map[string]any)["drill"].(map[string]any)
			assert.Equal(t, announced, v["announced"], name)
			assert.Equal(t, "no-event", v["event"], name)
		}
	}
}
