package scenarios

import (
	"lapwing/dynamics"
	"lapwing/sim"
	"lapwing/sim/safety"
	"lapwing/sim/sense"
)

// CraftFile is a craft by itself, as its file tells it.
type CraftFile struct {
	Name, Title string
	Sources     []string
	RotorNames  []string // in the order of the rotors
	Craft       dynamics.Craft
	Sense       sense.Params
	Safety      safety.Params
	LostLink    string // what it does by itself when the link is lost, in a sentence
	Uncertainty sim.Uncertainty
	Document    Document
}

// LoadCraft reads the craft called name and nothing else. What the craft does by
// itself is worked out for the place. The error is Faults.
func LoadCraft(find Finder, name string, place *dynamics.Place) (*CraftFile, error) {
	l := loader{find: find}
	f, _ := l.read(KindCraft, name, nil)
	if err := l.rep.error(); err != nil {
		return nil, err
	}
	v := f.root
	out := &CraftFile{
		Name: f.doc.Name, Title: v.str("title"), Sources: texts(v.at("sources")),
		Craft: craftOf(v), Sense: sensorsOf(v), Document: f.doc,
	}
	out.Safety = safetyOf(v, &out.Craft, place)
	out.LostLink = lostLinkWords(&out.Safety)
	for _, rotor := range v.list("rotors") {
		out.RotorNames = append(out.RotorNames, rotor.str("name"))
	}
	u := v.at("uncertainty")
	out.Uncertainty = sim.Uncertainty{Mass: u.num("mass_share"), Lag: u.num("motor_lag_share"), Drag: u.num("drag_share")}
	return out, nil
}
