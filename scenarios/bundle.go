package scenarios

import (
	"errors"
	"fmt"
	"io/fs"

	"lapwing/dynamics"
	"lapwing/sim"
	"lapwing/sim/bench"
	"lapwing/sim/carry"
	"lapwing/sim/control"
	"lapwing/sim/guest"
	"lapwing/sim/inject"
	"lapwing/sim/judge"
	"lapwing/sim/link"
	"lapwing/sim/path"
	"lapwing/sim/pilot"
	"lapwing/sim/prompt"
	"lapwing/sim/safety"
	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

// Bundle is a scenario with everything that it refers to, checked and ready to
// be turned into a run.
type Bundle struct {
	Name  string // of the scenario
	Title string

	Briefing        []string // sentences for the trainee
	Conditions      []string
	Standards       []string
	ExpectedActions []string // for instructor and debrief
	NotModelled     []string
	Artificialities []string
	LostLink        string // what this craft does by itself when the link is lost, in a sentence

	CraftName, CraftTitle string
	RoomName, RoomTitle   string
	LawName, LawTitle     string // empty for the built-in law as designed
	RotorNames            []string
	Event                 Event
	Procedures            []Procedure // that won over the scenario's drill

	Craft       dynamics.Craft // prepared
	Place       dynamics.Place // prepared
	Decor       sight.Decor    // what a camera can see of it
	Sense       sense.Params
	Link        link.Params
	Safety      safety.Params
	Law         control.Overrides
	From        guest.Source // of a law from outside
	Path        path.Params
	Injects     inject.Plan
	Plan        pilot.Plan
	Drill       judge.Drill
	Bench       bench.Params // without what the seed draws
	Carry       carry.Params
	Prompt      prompt.Params
	Duration    int64 // ticks
	Inverted    bool  // the run begins with the craft on its back, armed
	Uncertainty sim.Uncertainty

	Documents []Document // as read, the scenario first: LoadBundle needs nothing else
}

// Instead names files that stand in for those that a scenario names. An empty
// name leaves the scenario's own.
type Instead struct {
	Craft, Room, Law string
	Procedures       []string // further ones; they win over the scenario's where they are for the craft and room
}

// Load reads the scenario called name and everything that it refers to. Extra
// procedures files win over the scenario's own where they are for this craft and
// room; where they are not, they are left aside. A scenario that is named by its
// path finds craft, room, law and procedures beside it, or in the folder above,
// laid out like the catalogue, before find is asked. The error is Faults.
func Load(find Finder, name string, procedures ...string) (*Bundle, error) {
	return LoadInstead(find, name, Instead{Procedures: procedures})
}

// LoadInstead is Load with other files in place of the scenario's own.
func LoadInstead(find Finder, name string, instead Instead) (*Bundle, error) {
	return loadWith(around(find, name), name, instead)
}

func loadWith(find Finder, name string, instead Instead) (*Bundle, error) {
	l := loader{find: find}
	scenario, ok := l.read(KindScenario, name, nil)
	if !ok {
		return nil, l.rep.error()
	}
	return l.assemble(scenario, instead)
}

// LoadBundle reads a scenario from the documents of another Bundle, as a
// recording keeps them, and looks at nothing else. The error is Faults.
func LoadBundle(docs []Document) (*Bundle, error) {
	if len(docs) == 0 || docs[0].Kind != KindScenario {
		return nil, Faults{{File: "documents", Message: "the first document must be the scenario"}}
	}
	var instead Instead
	for _, d := range docs {
		switch d.Kind {
		case KindCraft:
			instead.Craft = d.Name
		case KindRoom:
			instead.Room = d.Name
		case KindLaw:
			instead.Law = d.Name
		case KindProcedures:
			instead.Procedures = append(instead.Procedures, d.Name)
		}
	}
	return loadWith(documents(docs), docs[0].Name, instead)
}

// loader gathers the files of a scenario and the faults of all of them.
type loader struct {
	find Finder
	rep  report
}

// read finds and reads a file. Whoever refers to it is told when there is none.
func (l *loader) read(kind Kind, name string, referrer *value) (file, bool) {
	doc, err := l.find.Find(kind, name)
	if err != nil {
		l.missing(kind, name, err, referrer)
		return file{}, false
	}
	f := readFile(doc, &l.rep)
	return f, f.root != nil
}

func (l *loader) missing(kind Kind, name string, err error, referrer *value) {
	f := Fault{File: name}
	if name == "" {
		f.File = `""`
	}
	if referrer != nil {
		f = referrer.fault(shorten(name), "", "")
	}
	switch {
	case errors.Is(err, errTooLarge):
		f = tooLarge(name)
	case errors.Is(err, fs.ErrNotExist):
		f.Message = "there is no " + string(kind) + " of this name"
		if near := nearest(name, Names(kind)); near != "" {
			f.Message += "; did you mean " + near + "?"
		}
		f.Allowed = "a file, or one of the catalogue" + listed(Names(kind))
	default:
		f.Message = "cannot be read: " + err.Error()
	}
	l.rep.add(f)
}

// listed lists names, unless they are too many to be read in a line.
func listed(names []string) string {
	const most = 20
	if len(names) > most {
		return fmt.Sprintf(" of %d", len(names))
	}
	return ": " + joinWordsOf(names)
}

func joinWordsOf(words []string) string {
	all := ""
	for i, w := range words {
		if i > 0 {
			all += ", "
		}
		all += w
	}
	return all
}

// parts are the sound files of a scenario.
type parts struct {
	scenario, craft, room, law file
	from                       guest.Source // of the law
	carried                    []Document   // with the law: its module
	procedures                 []file
	aside                      []file // procedures of the scenario that are not for the craft and room in place of its own
}

func (l *loader) assemble(scenario file, instead Instead) (*Bundle, error) {
	p := parts{scenario: scenario}
	v := scenario.root
	p.craft = l.eitherOf(KindCraft, instead.Craft, v.at("craft"))
	p.room = l.eitherOf(KindRoom, instead.Room, v.at("room"))
	p.law = l.eitherOf(KindLaw, instead.Law, v.at("law"))
	p.from, p.carried = l.sourceOf(&p.law)
	l.gather(&p, instead)
	l.tie(&p)
	if err := l.rep.error(); err != nil {
		return nil, err
	}
	b := p.bundle()
	if l.validate(&b, scenario.root); len(l.rep.faults) > 0 {
		return nil, l.rep.error()
	}
	return &b, nil
}

// gather reads the scenario's own procedures files, then the extra ones. A
// scenario's own must be for its craft and room, unless those were replaced.
func (l *loader) gather(p *parts, instead Instead) {
	craft, room := p.craft.nameOr(p.scenario.root.str("craft")), p.room.nameOr(p.scenario.root.str("room"))
	replaced := instead.Craft != "" || instead.Room != ""
	own := map[string]bool{}
	for _, item := range p.scenario.root.at("procedures").items {
		f := l.referred(KindProcedures, item)
		if f.root == nil || own[f.doc.Name] {
			continue
		}
		own[f.doc.Name] = true
		if !f.sound() || matches(f.root, craft, room) {
			p.procedures = append(p.procedures, f)
			continue
		}
		p.aside = append(p.aside, f)
		if !replaced {
			l.rep.add(item.fault(item.text, "procedures for this craft and room", "it is for another craft or room"))
		}
	}
	for _, name := range instead.Procedures {
		if own[name] {
			continue
		}
		f, ok := l.read(KindProcedures, name, nil)
		if ok && own[f.doc.Name] {
			l.rep.add(Fault{File: name, Message: "procedures called " + f.doc.Name + " are there already",
				Allowed: "files of different names, so that a recording can keep them apart"})
		} else if ok && (!f.sound() || matches(f.root, craft, room)) {
			p.procedures = append(p.procedures, f)
		}
		own[f.doc.Name] = true
	}
}

// eitherOf reads the file called name, or, where that is empty, the one that the
// scenario refers to.
func (l *loader) eitherOf(kind Kind, name string, at *value) file {
	if name == "" {
		return l.referred(kind, at)
	}
	f, _ := l.read(kind, name, nil)
	return f
}

func (l *loader) referred(kind Kind, at *value) file {
	if !at.filled || !at.sound {
		return file{}
	}
	f, _ := l.read(kind, at.text, at)
	return f
}

// tie checks what ties one file to another.
func (l *loader) tie(p *parts) {
	s := p.scenario.root
	if p.craft.root != nil && p.craft.root.soundly("rotors") && s.soundly("injects") {
		checkRotorNames(s, p.craft.root, &l.rep)
	}
	if p.room.root != nil && p.room.root.soundly("people") && s.soundly("injects") {
		checkWalker(s, p.room.root, &l.rep)
	}
	if p.craft.sound() && p.room.sound() && s.soundly("inspection") {
		checkFindings(s, p.craft.root, p.room.root, &l.rep)
	}
	if p.room.root != nil && p.room.root.soundly("cage", "size_m") {
		checkHeights(s, p.room.root, &l.rep)
	}
	if p.craft.sound() && p.room.root != nil && p.room.root.soundly("air") {
		l.checkHover(p)
	}
}

// checkHover refuses a craft that cannot hover in the air of the room.
func (l *loader) checkHover(p *parts) {
	c := dynamics.Craft{Mass: p.craft.root.num("mass_kg")}
	setRotors(&c, p.craft.root)
	air, lift := p.room.root.at("air"), 0.0
	for i := range c.RotorCount {
		lift += liftOf(&c.Rotors[i], air.num("density_kg_m3"))
	}
	if ratio := lift / float64(c.Mass*air.num("gravity_m_s2")); ratio <= leastLift {
		l.rep.add(p.scenario.root.at("craft").fault("thrust per weight "+figureWords(ratio)+" in "+p.room.doc.Name,
			"above "+figureWords(leastLift), "this craft cannot hover in the air of this room"))
	}
}

// checkHeights checks that the plan stays in the cage.
func checkHeights(s, room *value, r *report) {
	cage := cornersOf(room.at("cage"))
	if s.soundly("plan") {
		for _, leg := range s.list("plan") {
			if at := leg.maybe("height_m"); at != nil && (at.number > cage.hi.Z || at.number < cage.lo.Z) {
				r.add(at.fault(at.text, figureWords(cage.lo.Z)+" to "+figureWords(cage.hi.Z)+" m", "outside the cage of this room"))
			}
		}
	}
	if s.soundly("path") {
		checkPathInside(s.at("path"), cage, r)
	}
}

// bundle builds the values from files without faults.
func (p *parts) bundle() Bundle {
	s, c, m := p.scenario.root, p.craft.root, p.room.root
	b := Bundle{
		Name: p.scenario.doc.Name, Title: s.str("title"),
		Briefing: texts(s.at("briefing")), Conditions: texts(s.at("conditions")), Standards: texts(s.at("standards")),
		ExpectedActions: texts(s.at("expected_actions")), NotModelled: texts(s.at("not_modelled")),
		Artificialities: texts(s.at("artificialities")),
		CraftName:       p.craft.doc.Name, CraftTitle: c.str("title"),
		RoomName: p.room.doc.Name, RoomTitle: m.str("title"),
		Event: eventNamed(s.at("drill").str("event")),
		Craft: craftOf(c), Place: placeOf(m), Decor: decorOf(m), Sense: sensorsOf(c), Link: linkOf(s.at("link")),
		Path: pathOf(s.at("path")), Plan: planOf(s.at("plan")), Drill: drillOf(s.at("drill")),
		Duration: s.ticks("duration_s"), Inverted: s.str("start") == startInverted,
	}
	for _, rotor := range c.list("rotors") {
		b.RotorNames = append(b.RotorNames, rotor.str("name"))
	}
	b.Injects = injectsOf(s.at("injects"), b.RotorNames)
	b.Bench = benchOf(s, &b.Craft, b.RotorNames, b.Place.HasNet)
	b.Carry, b.Prompt = carryOf(s), promptOf(s)
	u := c.at("uncertainty")
	b.Uncertainty = sim.Uncertainty{Mass: u.num("mass_share"), Lag: u.num("motor_lag_share"), Drag: u.num("drag_share")}
	p.adjust(&b)
	return b
}

// adjust puts what the scenario says in place of craft and room, then the law,
// then the procedures that win.
func (p *parts) adjust(b *Bundle) {
	s := p.scenario.root
	if s.has("starting_charge_share") {
		b.Craft.Battery.StartingCharge = s.num("starting_charge_share")
	}
	if s.has("wind_m_s") {
		b.Place.Air.WindW = s.vec("wind_m_s")
		b.Place.Prepare()
	}
	b.Safety = safetyOf(p.craft.root, &b.Craft, &b.Place)
	b.LostLink = lostLinkWords(&b.Safety)
	b.Documents = []Document{p.scenario.doc, p.craft.doc, p.room.doc}
	if p.law.root != nil {
		b.Law, b.LawName, b.LawTitle = lawOf(p.law.root), p.law.doc.Name, p.law.root.str("title")
		b.From, b.Documents = p.from, append(append(b.Documents, p.law.doc), p.carried...)
	}
	for _, f := range p.procedures {
		if won, ok := override(&b.Drill, f.root, f.doc.Name); ok {
			b.Procedures = append(b.Procedures, won)
		}
		b.Documents = append(b.Documents, f.doc)
	}
	addCutOff(&b.Drill)
	for _, f := range p.aside {
		b.Documents = append(b.Documents, f.doc)
	}
}

// validate lets the packages that own the values have the last word. What they
// find has no place in a file, so it is told at the scenario's head.
func (l *loader) validate(b *Bundle, at *value) {
	addErrors(at, b.Sense.Validate(), &l.rep)
	addErrors(at, b.Link.Validate(), &l.rep)
	addErrors(at, b.Law.Validate(), &l.rep)
	addErrors(at, b.Safety.Validate(), &l.rep)
	addErrors(at, b.Path.Validate(), &l.rep)
	addErrors(at, b.Injects.Validate(b.Craft.RotorCount), &l.rep)
	addErrors(at, b.Craft.Validate(), &l.rep)
	addErrors(at, b.Bench.Validate(), &l.rep)
	armable(&b.Safety, at, &l.rep)
	addErrors(at, b.Place.Validate(), &l.rep)
	addErrors(at, b.Decor.Validate(), &l.rep)
}

// addErrors adds each of the joined errors at a place.
func addErrors(at *value, err error, r *report) {
	for _, e := range eachError(err) {
		r.add(at.fault("", "", e.Error()))
	}
}

// eachError returns the errors that are joined in err.
func eachError(err error) []error {
	if err == nil {
		return nil
	}
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var all []error
	for _, e := range joined.Unwrap() {
		all = append(all, eachError(e)...)
	}
	return all
}

func texts(v *value) []string {
	var lines []string
	for _, item := range v.items {
		lines = append(lines, item.text)
	}
	return lines
}

// String names the bundle.
func (b *Bundle) String() string {
	return fmt.Sprintf("%s: %s with %s in %s", b.Name, b.Title, b.CraftName, b.RoomName)
}
