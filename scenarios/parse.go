package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// Bounds of a file. They are far above what a person writes and far below what
// could hurt.
const (
	MaxSize  = 1 << 20 // bytes
	MaxDepth = 24      // nesting of groups and lists
	maxText  = 1200    // characters of one text
)

// readBytes reads at most MaxSize bytes from r; a longer file is a fault and is
// not read to its end.
func readBytes(file string, r io.Reader, rep *report) []byte {
	data, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		rep.add(Fault{File: file, Message: "cannot be read: " + err.Error()})
		return nil
	}
	if len(data) > MaxSize {
		rep.add(tooLarge(file))
		return nil
	}
	return data
}

func tooLarge(file string) Fault {
	return Fault{File: file, Message: "the file is too large", Found: fmt.Sprintf("more than %d bytes", MaxSize),
		Allowed: fmt.Sprintf("at most %d bytes", MaxSize)}
}

// parse turns data into the one YAML document it must hold; nil after a fault.
func parse(file string, data []byte, rep *report) *yaml.Node {
	if len(data) > MaxSize {
		rep.add(tooLarge(file))
		return nil
	}
	if line, column, bad := badText(data); bad != "" {
		rep.add(Fault{File: file, Line: line, Column: column, Message: bad, Allowed: "UTF-8 text"})
		return nil
	}
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var doc, second yaml.Node
	switch err := decode(decoder, &doc); {
	case errors.Is(err, io.EOF):
		rep.add(Fault{File: file, Line: 1, Column: 1, Message: "the file is empty"})
		return nil
	case err != nil:
		rep.add(syntaxFault(file, err))
		return nil
	}
	switch err := decode(decoder, &second); {
	case err == nil:
		rep.add(Fault{File: file, Line: second.Line, Column: second.Column, Message: "a second document begins here",
			Allowed: "one document in a file"})
		return nil
	case !errors.Is(err, io.EOF):
		rep.add(syntaxFault(file, err))
		return nil
	}
	if len(doc.Content) != 1 {
		rep.add(Fault{File: file, Line: 1, Column: 1, Message: "the file is empty"})
		return nil
	}
	root := doc.Content[0]
	if !plain(file, root, 1, rep) {
		return nil
	}
	return root
}

// decode calls the YAML reader and turns a panic inside it into an error: a bad
// file must never end the program.
func decode(d *yaml.Decoder, n *yaml.Node) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("yaml: %v", p)
		}
	}()
	return d.Decode(n)
}

// badText finds the first byte that is not text.
func badText(data []byte) (line, column int, bad string) {
	line, column = 1, 1
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && size <= 1:
			return line, column, "a byte that is not UTF-8"
		case r < ' ' && r != '\n' && r != '\r' && r != '\t', r == 0x7f:
			return line, column, "a control character"
		case r == '\n':
			line, column = line+1, 0
		}
		column++
		i += size
	}
	return 0, 0, ""
}

var syntaxLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

func syntaxFault(file string, err error) Fault {
	text, _, _ := strings.Cut(err.Error(), "\n")
	f := Fault{File: file, Line: 1, Message: "this is not YAML: " + text}
	if m := syntaxLine.FindStringSubmatch(text); m != nil {
		f.Message = "this is not YAML: " + m[2]
		if n, e := strconv.Atoi(m[1]); e == nil {
			f.Line = n
		}
	}
	return f
}

// plain tells whether n and all below it is free of anchors, aliases, tags and
// deep nesting. Aliases are never expanded.
func plain(file string, n *yaml.Node, depth int, rep *report) bool {
	fault := ""
	switch {
	case depth > MaxDepth:
		rep.add(Fault{File: file, Line: n.Line, Column: n.Column, Message: "nested too deep",
			Allowed: fmt.Sprintf("at most %d levels", MaxDepth)})
		return false
	case n.Kind == yaml.AliasNode:
		fault = "an alias (*) stands here; write the value out"
	case n.Anchor != "":
		fault = "an anchor (&) stands here; remove it"
	case n.Style&yaml.TaggedStyle != 0:
		fault = "a tag (!) stands here; remove it"
	case n.Kind == yaml.ScalarNode && n.Tag == "!!merge":
		fault = "a merge key (<<) stands here; write the keys out"
	}
	if fault != "" {
		rep.add(Fault{File: file, Line: n.Line, Column: n.Column, Message: fault})
	}
	good := fault == ""
	if n.Kind == yaml.AliasNode {
		return false
	}
	for _, child := range n.Content {
		good = plain(file, child, depth+1, rep) && good
	}
	return good
}
