// Package scenarios reads the files that a person writes: scenario, craft,
// room, law, procedures, the script of a pilot, and the course. It holds the
// built-in catalogue of them.
//
//  1. parse.go turns bytes into one YAML document, or says why it is none
//  2. read.go walks it against the description of its kind (format_*.go), puts
//     every number into SI and keeps where each value stands
//  3. the rules of a format check what ties its fields together
//  4. bundle.go follows a scenario's references and ties the files together;
//     course.go does so for all scenarios of a course
//
// The descriptions are the one source: they drive the reading, the words of the
// errors and the published JSON Schemas (schema.go). Everything wrong is
// reported at once, each with file, line, column, what was found and what is
// allowed. Keys carry their unit; degrees live only here.
//
// It stands apart because the simulation knows nothing of files: it is handed
// finished values.
package scenarios

import (
	"io"

	"go.yaml.in/yaml/v3"
)

// file is a document that was read against its description.
type file struct {
	doc  Document
	root *value // nil when the document could not be walked at all
}

// sound tells whether the file has no fault of its own.
func (f *file) sound() bool { return f.root != nil && f.root.sound }

// nameOr returns the name of a file that was read, else name.
func (f *file) nameOr(name string) string {
	if f.root == nil {
		return name
	}
	return f.doc.Name
}

// Check reads one file by itself and reports everything wrong with it that can
// be told without other files. It returns the kind that the file says it is.
func Check(name string, text []byte) (Kind, error) {
	var rep report
	f := readFile(Document{Name: name, File: name, Text: text}, &rep)
	return f.doc.Kind, rep.error()
}

// CheckFrom is Check for a stream. A stream above MaxSize is refused without
// being read to its end.
func CheckFrom(name string, r io.Reader) (Kind, error) {
	var rep report
	text := readBytes(name, r, &rep)
	if err := rep.error(); err != nil {
		return "", err
	}
	return Check(name, text)
}

// readFile reads doc. An empty doc.Kind is filled from the file; otherwise the
// file must be of that kind.
func readFile(doc Document, rep *report) file {
	root := parse(doc.File, doc.Text, rep)
	if root == nil {
		return file{doc: doc}
	}
	kind, ok := headOf(doc, root, rep)
	if kind != "" {
		doc.Kind = kind
	}
	if !ok {
		return file{doc: doc}
	}
	f := formatOf(doc.Kind)
	before := len(rep.faults)
	r := reader{file: doc.File, rep: rep}
	v := r.read(root, &f.root, "")
	for _, rule := range f.rules {
		if v.soundly(rule.needs...) {
			rule.check(v, rep)
		}
	}
	v.sound = v.sound && len(rep.faults) == before
	return file{doc: doc, root: v}
}

// headOf returns the kind of the file, and whether it can be read on: kind and
// version decide what every other key means.
func headOf(doc Document, root *yaml.Node, rep *report) (Kind, bool) {
	at := func(n *yaml.Node, path, found, allowed, message string) {
		rep.add(Fault{File: doc.File, Line: n.Line, Column: n.Column, Path: path, Found: found, Allowed: allowed, Message: message})
	}
	if root.Kind != yaml.MappingNode {
		at(root, "", describe(root), "a group of keys that begins with kind and version", "")
		return "", false
	}
	version, kind := lookup(root, "version"), lookup(root, "kind")
	if version != nil && whole.MatchString(version.Value) && version.Style == 0 && version.Value != "1" {
		at(version, "version", "", "", versionWords(version.Value))
		return "", false
	}
	if kind == nil {
		if doc.Kind != "" {
			return doc.Kind, true // the reader reports the missing key
		}
		at(root, "kind", "", joinedKinds(), "this key is missing")
		return "", false
	}
	if formatOf(Kind(kind.Value)) == nil || kind.Kind != yaml.ScalarNode {
		message := ""
		if near := nearest(kind.Value, kindWords()); near != "" {
			message = "did you mean " + near + "?"
		}
		at(kind, "kind", describe(kind), joinedKinds(), message)
		return "", false
	}
	if doc.Kind != "" && Kind(kind.Value) != doc.Kind {
		at(kind, "kind", describe(kind), string(doc.Kind), "this file is asked for as a "+string(doc.Kind))
		return doc.Kind, false
	}
	return Kind(kind.Value), true
}

func lookup(root *yaml.Node, key string) *yaml.Node {
	for i := 0; i+1 < len(root.Content); i += 2 {
		if root.Content[i].Value == key {
			return root.Content[i+1]
		}
	}
	return nil
}

func joinedKinds() string {
	words := ""
	for i, w := range kindWords() {
		if i > 0 {
			words += ", "
		}
		words += w
	}
	return words
}

func versionWords(found string) string {
	if found == "0" || found[0] == '-' {
		return "this file is version " + found + ", the first version is 1"
	}
	return "this file is version " + found + ", this program reads 1"
}
