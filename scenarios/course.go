package scenarios

import (
	"errors"
	"fmt"

	"go.yaml.in/yaml/v3"

	"lapwing/sim/judge"
	"lapwing/sim/trials"
)

// Course is drills in order, each with everything that it refers to.
type Course struct {
	Name, Title string
	Briefing    []string // sentences for the trainee
	Standards   []string // what moving on takes, for people
	Steps       []CourseStep
}

// CourseStep is one step of a course, ready to be flown.
type CourseStep struct {
	Drills   []*Bundle // one, or several that come in a drawn order; announced as the step says
	Catch    []*Bundle // in which nothing happens, mixed in
	Standard trials.Step
}

// Sitting returns one person's way through the course.
func (c *Course) Sitting(seed uint64) *trials.Sitting {
	steps := make([]trials.Step, len(c.Steps))
	for i := range c.Steps {
		steps[i] = c.Steps[i].Standard
	}
	return trials.NewSitting(steps, seed)
}

// Bundle returns what is flown in a try.
func (c *Course) Bundle(t trials.Try) *Bundle {
	if step := &c.Steps[t.Step]; t.Catch {
		return step.Catch[t.Which]
	}
	return c.Steps[t.Step].Drills[t.Which]
}

// LoadCourse reads the course called name and every scenario of it. A course that
// is named by its path finds its scenarios beside it, or in the folder above, laid
// out like the catalogue, before find is asked. The error is Faults.
func LoadCourse(find Finder, name string) (*Course, error) {
	l := courseLoader{loader: loader{find: around(find, name)}}
	f, ok := l.read(KindCourse, name, nil)
	if !ok || !f.sound() {
		return nil, l.rep.error()
	}
	c := &Course{Name: f.doc.Name, Title: f.root.str("title"), Briefing: texts(f.root.at("briefing")),
		Standards: texts(f.root.at("standards"))}
	for _, item := range f.root.list("catch_runs") {
		l.catchRun(item)
	}
	l.broken = len(l.rep.faults) > 0
	for _, step := range f.root.list("steps") {
		c.Steps = append(c.Steps, l.step(step))
	}
	if err := l.rep.error(); err != nil {
		return nil, err
	}
	return c, nil
}

// courseLoader gathers the scenarios of a course and the faults of all of them.
type courseLoader struct {
	loader
	catch  []*Bundle
	broken bool // a catch run has a fault, so that not all of them are there
}

func (l *courseLoader) catchRun(item *value) {
	b := l.scenario(item, "")
	switch {
	case b == nil:
	case !quiet(b):
		l.rep.add(item.fault(item.text, "a scenario about no-event", "something goes wrong in this one: "+b.Event.Word))
	default:
		l.catch = append(l.catch, b)
	}
}

// step loads the scenarios of a step, as they are announced in it.
func (l *courseLoader) step(v *value) CourseStep {
	s := CourseStep{Standard: standardOf(v)}
	items := v.list("one_of")
	if v.has("scenario") {
		items = []*value{v.at("scenario")}
	}
	for _, item := range items {
		if b := l.scenario(item, v.str("announced")); b != nil {
			s.Drills = append(s.Drills, b)
		}
	}
	if len(s.Drills) == 0 {
		return s
	}
	s.Standard.Drills = len(s.Drills)
	l.mix(v, &s)
	return s
}

// mix adds the catch runs, those that look like a drill of the step: another craft
// or room would give them away.
func (l *courseLoader) mix(v *value, s *CourseStep) {
	given := v.at("no_event_share")
	share := usualShare
	switch {
	case given.present:
		share = given.number
	case s.Drills[0].Drill.Announced != judge.AnnouncedNot, len(l.catch) == 0, quiet(s.Drills[0]):
		share = 0
	}
	if share == 0 {
		return
	}
	for _, c := range l.catch {
		for _, b := range s.Drills {
			if b.CraftName == c.CraftName && b.RoomName == c.RoomName {
				s.Catch = append(s.Catch, c)
				break
			}
		}
	}
	if len(s.Catch) == 0 {
		if l.broken {
			return
		}
		l.rep.add(given.fault("", "0, or a catch run with that craft in that room",
			fmt.Sprintf("no catch run has %s in %s, so one would give itself away", s.Drills[0].CraftName, s.Drills[0].RoomName)))
		return
	}
	s.Standard.CatchShare, s.Standard.CatchRuns = share, len(s.Catch)
}

// scenario loads the scenario that item names, announced in that word, or as it
// says itself where the word is empty. What is wrong is added to the report.
func (l *courseLoader) scenario(item *value, announced string) *Bundle {
	doc, err := l.find.Find(KindScenario, item.text)
	if err != nil {
		l.missing(KindScenario, item.text, err, item)
		return nil
	}
	b, err := loadWith(l.find, item.text, Instead{})
	if err == nil && announced != "" && !quiet(b) && b.Drill.Announced.String() != announced {
		if doc.Text, err = announce(doc.Text, announced); err == nil {
			b, err = loadWith(retold{doc, l.find}, item.text, Instead{})
		}
	}
	if err == nil {
		return b
	}
	var faults Faults
	if !errors.As(err, &faults) {
		faults = Faults{item.fault(item.text, "", err.Error())}
	}
	for _, f := range faults {
		l.rep.add(f)
	}
	return nil
}

// quiet tells whether nothing goes wrong in b.
func quiet(b *Bundle) bool { return b.Drill.Class == judge.ClassN }

// retold finds one document before others are looked for.
type retold struct {
	doc  Document
	find Finder
}

func (t retold) Find(kind Kind, name string) (Document, error) {
	if kind == t.doc.Kind && name == t.doc.Name {
		return t.doc, nil
	}
	return t.find.Find(kind, name)
}

// announce returns the text of a sound scenario with its drill announced as told.
// The text is changed, not the value read from it, so that a recording carries the
// scenario as it was told and can be scored again from that alone.
func announce(text []byte, announced string) ([]byte, error) {
	var root yaml.Node
	if err := yaml.Unmarshal(text, &root); err != nil {
		return nil, err
	}
	drill := lookup(root.Content[0], "drill")
	says := yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: announced}
	if at := lookup(drill, "announced"); at != nil {
		*at = says
	} else {
		drill.Content = append(drill.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: "announced"}, &says)
	}
	return yaml.Marshal(&root)
}
