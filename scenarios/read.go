package scenarios

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"lapwing/dynamics"
)

// reader turns nodes into values for one file.
type reader struct {
	file string
	rep  *report
}

// read reads n as f.
func (r *reader) read(n *yaml.Node, f *field, path string) *value {
	v := &value{field: f, file: r.file, line: n.Line, column: n.Column, path: path, present: true, filled: true, sound: true}
	switch f.kind {
	case kindGroup:
		r.group(n, v, f.fields)
	case kindVariant:
		r.variant(n, v)
	case kindEither:
		return r.either(n, v)
	case kindList:
		r.list(n, v)
	case kindVector:
		r.vector(n, v)
	default:
		r.scalar(n, v)
	}
	return v
}

func (r *reader) wrong(v *value, n *yaml.Node, message string) {
	v.sound = false
	r.rep.add(v.fault(describe(n), v.field.allowed(), message))
}

// describe says what a node is, for a fault.
func describe(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a group of keys"
	case n.Kind == yaml.SequenceNode:
		return "a list of " + strconv.Itoa(len(n.Content))
	case n.Tag == "!!null" && n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) == 0:
		return "nothing"
	}
	return shorten(n.Value)
}

var (
	decimal  = regexp.MustCompile(`^[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?$`)
	whole    = regexp.MustCompile(`^-?\d{1,15}$`)
	nameForm = regexp.MustCompile(namePattern)
	dateForm = regexp.MustCompile(datePattern)
)

const (
	namePattern = `^[a-z0-9][a-z0-9-]{0,63}$`
	datePattern = `^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`
)

func (r *reader) scalar(n *yaml.Node, v *value) {
	if n.Kind != yaml.ScalarNode {
		r.wrong(v, n, "")
		return
	}
	f := v.field
	quoted := n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0
	v.text = n.Value
	switch f.kind {
	case kindNumber, kindInteger:
		r.number(n, v, quoted)
	case kindFlag:
		v.flag = n.Value == "true"
		if quoted || n.Value != "true" && n.Value != "false" {
			r.wrong(v, n, "")
		}
	case kindText:
		v.text = strings.TrimSpace(n.Value)
		if n.Tag != "!!str" || v.text == "" || utf8.RuneCountInString(v.text) > maxText {
			r.wrong(v, n, "")
		}
	case kindName:
		if !nameForm.MatchString(n.Value) {
			r.wrong(v, n, "")
		}
	case kindDate:
		if !dateForm.MatchString(n.Value) {
			r.wrong(v, n, "")
		}
	case kindWord:
		r.word(n, v, f.words)
	}
}

func (r *reader) word(n *yaml.Node, v *value, words []string) {
	v.text = n.Value
	for _, w := range words {
		if w == n.Value {
			return
		}
	}
	message := ""
	if near := nearest(n.Value, words); near != "" {
		message = "did you mean " + near + "?"
	}
	v.sound = false
	r.rep.add(v.fault(describe(n), strings.Join(words, ", "), message))
}

func (r *reader) number(n *yaml.Node, v *value, quoted bool) {
	x, ok := r.figure(n, v, quoted)
	if ok {
		v.number = float64(x * unitOf(v.field.unit).si)
	}
}

// figure returns the number that n holds, in the field's unit.
func (r *reader) figure(n *yaml.Node, v *value, quoted bool) (float64, bool) {
	f := v.field
	lower := strings.ToLower(n.Value)
	switch {
	case n.Kind != yaml.ScalarNode, quoted:
		r.wrong(v, n, "a number must stand here, without quotes")
		return 0, false
	case strings.HasSuffix(lower, ".nan"), strings.HasSuffix(lower, ".inf"), lower == "nan", strings.TrimLeft(lower, "+-") == "inf":
		r.wrong(v, n, "the number must be finite")
		return 0, false
	case !decimal.MatchString(n.Value), f.kind == kindInteger && !whole.MatchString(n.Value):
		r.wrong(v, n, "")
		return 0, false
	}
	x, err := strconv.ParseFloat(n.Value, 64)
	if err != nil || math.IsInf(x, 0) {
		r.wrong(v, n, "the number must be finite")
		return 0, false
	}
	if x < f.min || x > f.max {
		r.wrong(v, n, "out of range")
		return 0, false
	}
	return x, true
}

func (r *reader) vector(n *yaml.Node, v *value) {
	if n.Kind != yaml.SequenceNode || len(n.Content) != 3 {
		r.wrong(v, n, "")
		return
	}
	each := number("", v.field.unit, v.field.min, v.field.max, "")
	var x [3]float64
	for i, item := range n.Content {
		e := &value{field: &each, file: r.file, line: item.Line, column: item.Column,
			path: fmt.Sprintf("%s[%d]", v.path, i), sound: true}
		y, ok := r.figure(item, e, item.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0)
		x[i], v.sound = float64(y*unitOf(v.field.unit).si), v.sound && ok
	}
	v.vector = dynamics.Vec3{X: x[0], Y: x[1], Z: x[2]}
}

func (r *reader) list(n *yaml.Node, v *value) {
	f := v.field
	if n.Kind != yaml.SequenceNode {
		r.wrong(v, n, "")
		return
	}
	if len(n.Content) < f.minItems || len(n.Content) > f.maxItems {
		v.sound = false
		r.rep.add(v.fault(fmt.Sprintf("a list of %d", len(n.Content)), f.allowed(), ""))
	}
	for i, item := range n.Content {
		if i >= f.maxItems {
			break
		}
		child := r.read(item, f.item, fmt.Sprintf("%s[%d]", v.path, i))
		v.items, v.sound = append(v.items, child), v.sound && child.sound
	}
}

func (r *reader) variant(n *yaml.Node, v *value) {
	f := v.field
	if n.Kind != yaml.MappingNode {
		r.wrong(v, n, "")
		return
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value != f.key {
			continue
		}
		decider := word(f.key, f.caseWords(), "")
		w := &value{field: &decider, file: r.file, line: n.Content[i+1].Line, column: n.Content[i+1].Column,
			path: join(v.path, f.key), sound: true}
		r.word(n.Content[i+1], w, decider.words)
		if !w.sound {
			v.sound = false
			return
		}
		v.text = w.text
		break
	}
	for i := range f.cases {
		if f.cases[i].word == v.text {
			r.group(n, v, f.cases[i].allFields(f.key))
			return
		}
	}
	v.sound = false
	r.rep.add(v.fault("", strings.Join(f.caseWords(), ", "), "the key "+f.key+" is missing"))
}

// either reads n as the first form whose key stands there.
func (r *reader) either(n *yaml.Node, v *value) *value {
	if n.Kind != yaml.MappingNode {
		r.wrong(v, n, "")
		return v
	}
	for i := range v.field.forms {
		f := &v.field.forms[i]
		if lookup(n, f.name) != nil {
			read := r.read(n, f, v.path)
			read.choice = f.name
			return read
		}
	}
	message := "none of these keys is there"
	for i := 0; i+1 < len(n.Content); i += 2 {
		if near := nearest(n.Content[i].Value, v.field.formKeys()); near != "" {
			message = "unknown key " + shorten(n.Content[i].Value) + "; did you mean " + near + "?"
		}
	}
	v.sound = false
	r.rep.add(v.fault("", v.field.allowed(), message))
	return v
}

// allFields returns the fields of c with the deciding word before them.
func (c *variantCase) allFields(key string) []field {
	fields := make([]field, 0, len(c.fields)+1)
	fields = append(fields, word(key, []string{c.word}, c.doc).need())
	return append(fields, c.fields...)
}

func (r *reader) group(n *yaml.Node, v *value, fields []field) {
	v.fields = make(map[string]*value, len(fields))
	if n.Kind != yaml.MappingNode {
		r.wrong(v, n, "")
		fill(r.file, v, fields)
		return
	}
	seen := map[string]int{}
	spelt := map[*field]bool{} // fields that an unknown key probably meant
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, node := n.Content[i], n.Content[i+1]
		at := &value{file: r.file, line: key.Line, column: key.Column, path: join(v.path, shortKey(key)), field: v.field}
		f := find(fields, key.Value)
		first, twice := seen[key.Value]
		switch {
		case key.Kind != yaml.ScalarNode:
			v.sound = false
			r.rep.add(at.fault(describe(key), "a word as key", ""))
		case twice:
			v.sound = false
			r.rep.add(at.fault("", "", fmt.Sprintf("this key stands twice, first in line %d", first)))
		case f == nil:
			v.sound = false
			if !r.rep.full() {
				spelt[meant(key.Value, fields)] = true
				r.rep.add(at.fault("", "", unknown(key.Value, fields)))
			}
		default:
			child := r.read(node, f, join(v.path, key.Value))
			v.fields[key.Value], v.sound = child, v.sound && child.sound
		}
		if key.Kind == yaml.ScalarNode && !twice {
			seen[key.Value] = key.Line
		}
	}
	r.missing(v, fields, seen, spelt)
	fill(r.file, v, fields)
}

func shortKey(key *yaml.Node) string {
	runes := []rune(key.Value)
	return string(runes[:min(len(runes), 40)])
}

func unknown(key string, fields []field) string {
	if advice := adviseKey(key, fields); advice != "" {
		return "unknown key; " + advice
	}
	names := make([]string, len(fields))
	for i := range fields {
		names[i] = fields[i].fullName()
	}
	return "unknown key; known here: " + strings.Join(names, ", ")
}

// missing reports required keys that are absent, unless a wrong spelling of the
// same quantity was reported already.
func (r *reader) missing(v *value, fields []field, seen map[string]int, spelt map[*field]bool) {
	for i := range fields {
		f := &fields[i]
		if _, ok := seen[f.fullName()]; ok || !f.required || spelt[f] {
			continue
		}
		v.sound = false
		r.rep.add(Fault{File: r.file, Line: v.line, Column: v.column, Path: join(v.path, f.fullName()),
			Allowed: f.allowed(), Message: "this key is missing"})
	}
}

// fill puts fallbacks where optional fields are absent, and empty values where
// there is none, so that builders may ask for any key.
func fill(file string, v *value, fields []field) {
	for i := range fields {
		f := &fields[i]
		key := f.fullName()
		if v.fields[key] != nil {
			continue
		}
		v.fields[key] = absent(file, f, v, join(v.path, key))
	}
}

func absent(file string, f *field, parent *value, path string) *value {
	v := &value{field: f, file: file, line: parent.line, column: parent.column, path: path, sound: !f.required}
	switch x := f.fallback.(type) {
	case float64:
		v.filled, v.number = true, float64(x*unitOf(f.unit).si)
	case bool:
		v.filled, v.flag = true, x
	case string:
		v.filled, v.text = true, x
	case dynamics.Vec3:
		v.filled, v.vector = true, x
	}
	if f.kind == kindGroup {
		v.fields = make(map[string]*value, len(f.fields))
		fill(file, v, f.fields)
	}
	return v
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
