package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFileAndUseAgree: goal: no text is missing and none is left over. Method:
// the calls of Say and Of in the station's sources, found by the Go parser,
// against the keys of the file. A key must stand in the source as it is, so that
// it can be searched for.
func TestFileAndUseAgree(t *testing.T) {
	used, groups := map[string]bool{}, []string{}
	for _, dir := range []string{"..", "../../cmd/lapwing-station"} {
		walk(t, dir, func(file, function string, key string, literal bool) {
			if !literal {
				t.Errorf("%s: words.%s is called with something other than a plain text key", file, function)
				return
			}
			if function == "Say" {
				used[key] = true
				if _, ok := texts[key]; !ok {
					t.Errorf("%s: there is no text %q in strings.yaml", file, key)
				}
				return
			}
			groups = append(groups, key+".")
		})
	}
	require.NotEmpty(t, used, "no call was found at all: the search itself is broken")
	for _, key := range Keys() {
		if !used[key] && !inGroup(key, groups) {
			t.Errorf("strings.yaml: nothing says %q", key)
		}
	}
	for _, group := range groups {
		assert.True(t, hasGroup(group), "there is no group %q in strings.yaml", group)
	}
}

func inGroup(key string, groups []string) bool {
	for _, g := range groups {
		if strings.HasPrefix(key, g) {
			return true
		}
	}
	return false
}

func hasGroup(group string) bool {
	for key := range texts {
		if strings.HasPrefix(key, group) {
			return true
		}
	}
	return false
}

// walk calls visit with each call of words.Say and words.Of below dir.
func walk(t *testing.T, dir string, visit func(file, function, key string, literal bool)) {
	t.Helper()
	if _, err := os.Stat(dir); err != nil {
		return
	}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return nil // the compiler tells of that
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			of, ok := call.Fun.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if from, ok := of.X.(*ast.Ident); !ok || from.Name != "words" || of.Sel.Name != "Say" && of.Sel.Name != "Of" {
				return true
			}
			literal, ok := call.Args[0].(*ast.BasicLit)
			key := ""
			if ok {
				key, _ = strconv.Unquote(literal.Value)
			}
			visit(path, of.Sel.Name, key, ok)
			return true
		})
		return nil
	})
	require.NoError(t, err)
}

// TestRead: goal: the file is read strictly. Method: broken files, each with the
// fault that must be named; and one that is sound.
func TestRead(t *testing.T) {
	found, err := read([]byte("a:\n  b: one\n  c:\n    d-1: two {x}\n"))
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"a.b": "one", "a.c.d-1": "two {x}"}, found)
	for _, c := range []struct{ name, in, want string }{
		{"empty", "", "an empty file"},
		{"number", "a:\n  b: 3\n", "line 2: a.b: a text"},
		{"truth", "a:\n  b: yes\n  c: true\n", "line 3: a.c: a text"},
		{"list", "a: [x]\n", "line 1: a: a text"},
		{"twice", "a:\n  b: x\n  b: y\n", `"b" stands here twice`},
		{"no text", "a:\n  b: ''\n", "line 2: a.b: an empty text"},
		{"key", "a:\n  B: x\n", `"B": a key is`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := read([]byte(c.in))
			require.ErrorContains(t, err, c.want)
		})
	}
	_, err = read([]byte("a:\n  b: 3\n  c: 4\n"))
	require.ErrorContains(t, err, "a.b")
	require.ErrorContains(t, err, "a.c", "all faults at once")
}

// TestSay: goal: marks are filled in, and misuse is loud.
func TestSay(t *testing.T) {
	defer func(old map[string]string) { texts = old }(texts)
	texts = map[string]string{"g.plain": "plain", "g.two": "{a} and {b}, {a}"}
	assert.Equal(t, "plain", Say("g.plain"))
	assert.Equal(t, "plain", Of("g", "plain"))
	assert.Equal(t, "1 and x, 1", Say("g.two", "a", 1, "b", "x"))
	assert.True(t, Has("g", "two"))
	assert.False(t, Has("g", "three"))
	for name, misuse := range map[string]func(){
		"no such key":      func() { Say("g.none") },
		"mark left open":   func() { Say("g.two") },
		"one mark open":    func() { Say("g.two", "a", 1) },
		"no such mark":     func() { Say("g.plain", "a", 1) },
		"half a pair":      func() { Say("g.two", "a") },
		"no such in group": func() { Of("g", "none") },
	} {
		assert.Panics(t, misuse, name)
	}
}
