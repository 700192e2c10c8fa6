package settings

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"

	"go.yaml.in/yaml/v3"
)

// fault is one thing wrong with a file.
type fault struct {
	line    int
	message string
}

// notes collects faults while a file's values become the program's.
type notes struct {
	file   string
	root   *yaml.Node
	faults []fault
}

// at notes a fault of the value at a path of keys.
func (n *notes) at(err error, path ...string) {
	if err != nil {
		n.faults = append(n.faults, fault{lineOf(n.root, path), err.Error()})
	}
}

// err returns all faults in order of lines, each as file:line: message, or nil.
func (n *notes) err() error {
	slices.SortStableFunc(n.faults, func(a, b fault) int {
		return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.message, b.message))
	})
	var errs []error
	for _, f := range n.faults {
		errs = append(errs, fmt.Errorf("%s:%d: %s", n.file, f.line, f.message))
	}
	return errors.Join(errs...)
}

// lineOf returns the line of the value at path, or of the nearest thing round it.
func lineOf(n *yaml.Node, path []string) int {
	if n.Kind == yaml.DocumentNode && len(n.Content) > 0 {
		n = n.Content[0]
	}
	line := max(n.Line, 1)
	for _, key := range path {
		next := (*yaml.Node)(nil)
		for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == key {
				line, next = n.Content[i].Line, n.Content[i+1]
			}
		}
		if n.Kind == yaml.SequenceNode {
			var i int
			if _, err := fmt.Sscan(key, &i); err == nil && i < len(n.Content) {
				line, next = n.Content[i].Line, n.Content[i]
			}
		}
		if next == nil {
			return line
		}
		n = next
	}
	return line
}

// head is what every file begins with.
type head struct {
	Version int `yaml:"lapwing_settings"`
}

// read reads file strictly into to.
func read(file string, to any, version *int) (*notes, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err // os errors name the file
	}
	return parse(file, data, to, version)
}

func parse(file string, data []byte, to any, version *int) (*notes, error) {
	n := &notes{file: file, root: &yaml.Node{}}
	if err := yaml.Unmarshal(data, n.root); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	var first head
	if err := n.root.Decode(&first); err == nil && first.Version > Version {
		return nil, fmt.Errorf("%s: version %d is newer than this program, which knows %d", file, first.Version, Version)
	}
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	decoder.KnownFields(true)
	if err := decoder.Decode(to); err != nil {
		return nil, plain(file, err)
	}
	if err := decoder.Decode(new(any)); !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("%s: more than one document", file)
	}
	if *version != Version {
		n.at(fmt.Errorf("lapwing_settings: %d: the version is %d", *version, Version), "lapwing_settings")
	}
	return n, nil
}

// plain turns the decoder's errors into file:line: message, one a line.
func plain(file string, err error) error {
	var of *yaml.TypeError
	if !errors.As(err, &of) {
		return fmt.Errorf("%s: %w", file, err)
	}
	var errs []error
	for _, e := range of.Errors {
		var line int
		if _, scan := fmt.Sscanf(e, "line %d:", &line); scan == nil {
			e = e[len(fmt.Sprintf("line %d: ", line)):]
		}
		errs = append(errs, fmt.Errorf("%s:%d: %s", file, line, e))
	}
	return errors.Join(errs...)
}

// write gives the text of a file: a comment, then the values.
func write(comment string, from any) ([]byte, error) {
	var out bytes.Buffer
	for _, line := range bytes.Split([]byte(comment), []byte("\n")) {
		fmt.Fprintf(&out, "# %s\n", line)
	}
	encoder := yaml.NewEncoder(&out)
	encoder.SetIndent(2)
	if err := encoder.Encode(from); err != nil {
		return nil, fmt.Errorf("settings: %w", err)
	}
	return out.Bytes(), encoder.Close()
}
