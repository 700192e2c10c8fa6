package scenarios

import (
	"encoding/base64"
	"errors"
	"io/fs"
	"path/filepath"

	"lapwing/sim/control"
	"lapwing/sim/guest"
)

// KindModule is the kind of the document that carries a law's module, as text in
// base 64. It is no kind of file that a person writes.
const KindModule Kind = "module"

// fromField describes where a law from outside comes from.
func fromField() field {
	stage := word("stage", control.StageWords(), "the part of the cascade that it takes; the built-in law does the rest").need()
	return either("from", "a law from outside; loops and throttle are still told to it, as the design that it may follow",
		group("wasm", "a WebAssembly module", sentence("wasm", "its file, in this file's folder or below").need(), stage),
		group("command", "a process that is spoken to over its standard input and output",
			list("command", 1, 32, sentence("", "program or argument"), "program and arguments; it runs in this file's folder").need(), stage))
}

// sourceOf returns where the law of a sound file comes from, and for a module the
// document that carries it.
func (l *loader) sourceOf(f *file) (s guest.Source, carried []Document) {
	if f.root == nil || !f.root.sound || !f.root.at("from").present {
		return s, nil
	}
	v := f.root.at("from")
	s.Stage, _ = control.ParseStage(v.str("stage"))
	if v.choice == "command" {
		s.Command, s.Name = texts(v.at("command")), v.list("command")[0].text
		if IsPath(f.doc.File) {
			s.Dir = filepath.Dir(f.doc.File)
		}
		return s, nil
	}
	s.Name = v.str("wasm")
	doc, err := l.module(f, s.Name)
	if err == nil {
		s.Module, err = base64.StdEncoding.DecodeString(string(doc.Text))
	}
	if err != nil {
		l.rep.add(moduleFault(v.at("wasm"), err))
		return guest.Source{}, nil
	}
	return s, []Document{doc}
}

// module finds a module beside its law file or, in a recording, among the
// documents.
func (l *loader) module(f *file, name string) (Document, error) {
	doc := Document{Kind: KindModule, Name: name, File: name}
	if f.doc.near == nil {
		return l.find.Find(KindModule, name)
	}
	if !fs.ValidPath(name) {
		return doc, errNotBeside
	}
	module, err := f.doc.near.Open(name)
	if err != nil {
		return doc, err
	}
	defer module.Close()
	doc, err = readDocument(module, doc)
	doc.Text = []byte(base64.StdEncoding.EncodeToString(doc.Text))
	return doc, err
}

var errNotBeside = errors.New("not a file in the law file's folder or below")

func moduleFault(v *value, err error) Fault {
	var path *fs.PathError
	allowed := "a WebAssembly module in this file's folder or below"
	switch {
	case errors.Is(err, errTooLarge):
		return v.fault(shorten(v.text), tooLarge("").Allowed, "the module is too large")
	case errors.Is(err, fs.ErrNotExist):
		return v.fault(shorten(v.text), allowed, "there is no such file")
	case errors.As(err, &path):
		err = path.Err
	}
	return v.fault(shorten(v.text), allowed, "cannot be read: "+err.Error())
}
