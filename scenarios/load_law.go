package scenarios

import (
	"lapwing/sim/control"
	"lapwing/sim/guest"
)

// LawFile is a law by itself, as its file tells it.
type LawFile struct {
	Name, Title string
	Changes     control.Overrides // what differs from the design
	From        guest.Source      // where a law from outside comes from
	Document    Document
}

// LoadLaw reads the law called name and nothing else. The error is Faults.
func LoadLaw(find Finder, name string) (*LawFile, error) {
	l := loader{find: find}
	f, _ := l.read(KindLaw, name, nil)
	from, _ := l.sourceOf(&f)
	if err := l.rep.error(); err != nil {
		return nil, err
	}
	return &LawFile{From: from, Name: f.doc.Name, Title: f.root.str("title"), Changes: lawOf(f.root), Document: f.doc}, nil
}
