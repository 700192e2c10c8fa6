// Package words is every text that the station shows or speaks of, in one file,
// strings.yaml, so that a person can read, correct or translate all of it in one
// place.
//
// The way of the data: strings.yaml is read once, strictly (groups of texts,
// nothing else, no key twice); a text is asked for by its dotted key, and
// {marks} in it are filled in. A test walks the sources of the station and holds
// file and use to each other: every key that is asked for is there, every key
// that is there is asked for.
package words

import (
	_ "embed"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

//go:embed strings.yaml
var file []byte

var texts = mustRead(file)

// Say returns the text at key with its marks filled in: fill is name, value,
// name, value, … A key that is not there, a mark left open or a value without a
// mark is a programmer's error and panics.
func Say(key string, fill ...any) string {
	text, ok := texts[key]
	if !ok {
		panic(fmt.Sprintf("words: no text %q", key))
	}
	if len(fill)%2 != 0 {
		panic(fmt.Sprintf("words: %s: a mark without a value", key))
	}
	open := text
	for i := 0; i < len(fill); i += 2 {
		mark := fmt.Sprintf("{%v}", fill[i])
		if !strings.Contains(open, mark) {
			panic(fmt.Sprintf("words: %s has no mark %s", key, mark))
		}
		open = strings.ReplaceAll(open, mark, "")
		text = strings.ReplaceAll(text, mark, fmt.Sprint(fill[i+1]))
	}
	if mark.MatchString(open) {
		panic(fmt.Sprintf("words: %s: the mark %s is not filled in", key, mark.FindString(open)))
	}
	return text
}

// Of returns the text called name of a group: for words that go with a value of
// the simulation, such as a call. The whole group counts as used.
func Of(group, name string) string { return Say(group + "." + name) }

// Has tells whether a group has a text called name.
func Has(group, name string) bool {
	_, ok := texts[group+"."+name]
	return ok
}

// Keys lists every key in order.
func Keys() []string {
	keys := make([]string, 0, len(texts))
	for key := range texts {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

var (
	mark = regexp.MustCompile(`\{[a-z]+\}`)
	name = regexp.MustCompile(`^[a-z0-9-]+$`)
)

func mustRead(data []byte) map[string]string {
	found, err := read(data)
	if err != nil {
		panic("words: strings.yaml: " + err.Error())
	}
	return found
}

// read reads a strings file and reports every fault at once, each with its line.
func read(data []byte) (map[string]string, error) {
	var document yaml.Node
	if err := yaml.Unmarshal(data, &document); err != nil {
		return nil, err
	}
	if len(document.Content) != 1 {
		return nil, errors.New("an empty file")
	}
	found := map[string]string{}
	var faults []error
	gather(document.Content[0], "", found, &faults)
	return found, errors.Join(faults...)
}

func gather(n *yaml.Node, path string, found map[string]string, faults *[]error) {
	wrong := func(at *yaml.Node, format string, args ...any) {
		*faults = append(*faults, fmt.Errorf("line %d: %s", at.Line, fmt.Sprintf(format, args...)))
	}
	if n.Kind == yaml.ScalarNode && n.Tag == "!!str" && path != "" {
		if strings.TrimSpace(n.Value) == "" {
			wrong(n, "%s: an empty text", path)
		}
		found[path] = strings.TrimRight(n.Value, "\n")
		return
	}
	if n.Kind != yaml.MappingNode {
		wrong(n, "%s: a text or a group of texts is needed; quote what looks like a number, yes or no", path)
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if !name.MatchString(key.Value) {
			wrong(key, "%q: a key is small letters, digits and hyphens", key.Value)
		}
		if seen[key.Value] {
			wrong(key, "%q stands here twice", key.Value)
		}
		seen[key.Value] = true
		inner := key.Value
		if path != "" {
			inner = path + "." + key.Value
		}
		gather(n.Content[i+1], inner, found, faults)
	}
}
