package cmd_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// targets are the systems for which the headless program must build, without cgo.
var targets = []string{"linux/amd64", "linux/arm64", "darwin/amd64", "darwin/arm64", "windows/amd64", "windows/arm64"}

// TestHeadlessTypeChecksEverywhere: goal: the headless program has a build for each
// system, and no call that only one of them has. Method: the files that the go
// command would compile for each, type-checked: ours wholly, those of others by what
// they declare. Compiling all of it takes minutes: TestSlowHeadlessBuildsEverywhere.
func TestHeadlessTypeChecksEverywhere(t *testing.T) {
	for _, target := range targets {
		t.Run(target, func(t *testing.T) {
			t.Parallel()
			checkFor(t, target)
		})
	}
}

// TestSlowHeadlessBuildsEverywhere is the same by the compiler.
func TestSlowHeadlessBuildsEverywhere(t *testing.T) {
	if os.Getenv("LAPWING_SLOW") == "" {
		t.Skip("minutes of compiling: LAPWING_SLOW=1 runs it")
	}
	for _, target := range targets {
		out, err := goFor(target, "build", "-buildvcs=false", "-o", os.DevNull, "./cmd/lapwing").CombinedOutput()
		require.NoError(t, err, "%s: %s", target, out)
	}
}

// goFor is the go command for a target, without cgo.
func goFor(target string, args ...string) *exec.Cmd {
	system, processor, _ := strings.Cut(target, "/")
	cmd := exec.Command("go", args...)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+processor, "CGO_ENABLED=0")
	return cmd
}

// listed is what go list tells of a package.
type listed struct {
	ImportPath, Dir string
	GoFiles         []string
	CgoFiles        []string
	ImportMap       map[string]string
	Error           *struct{ Err string }
}

func checkFor(t *testing.T, target string) {
	cmd := goFor(target, "list", "-e", "-deps", "-json=ImportPath,Dir,GoFiles,CgoFiles,ImportMap,Error", "./cmd/lapwing")
	out, err := cmd.Output()
	require.NoError(t, err)
	_, processor, _ := strings.Cut(target, "/")
	c := checker{known: map[string]*types.Package{"unsafe": types.Unsafe}, sizes: types.SizesFor("gc", processor)}
	stream := json.NewDecoder(bytes.NewReader(out))
	ours := 0
	for {
		var p listed
		if err := stream.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err)
		}
		require.Nil(t, p.Error, p.ImportPath)
		require.Empty(t, p.CgoFiles, p.ImportPath)
		if strings.HasPrefix(p.ImportPath, "lapwing/") {
			ours++
		}
		c.check(t, &p)
		if t.Failed() {
			return
		}
	}
	require.Greater(t, ours, 20, "the packages of this module were looked at")
}

// checker type-checks packages, each after those that it imports.
type checker struct {
	known map[string]*types.Package
	sizes types.Sizes
	via   map[string]string // of the package that is checked now
}

// Import implements types.Importer.
func (c *checker) Import(path string) (*types.Package, error) {
	if mapped, ok := c.via[path]; ok {
		path = mapped
	}
	if p, ok := c.known[path]; ok {
		return p, nil
	}
	return nil, errors.New("not listed before: " + path)
}

func (c *checker) check(t *testing.T, p *listed) {
	if p.ImportPath == "unsafe" {
		return
	}
	ours := strings.HasPrefix(p.ImportPath, "lapwing/")
	mode := parser.SkipObjectResolution
	set := token.NewFileSet()
	var files []*ast.File
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(set, filepath.Join(p.Dir, name), nil, mode)
		require.NoError(t, err)
		files = append(files, f)
	}
	c.via = p.ImportMap
	config := types.Config{Importer: c, Sizes: c.sizes, IgnoreFuncBodies: !ours, GoVersion: languageOf(p.ImportPath), FakeImportC: true}
	config.Error = func(err error) {
		if ours {
			t.Error(err)
		}
	}
	checked, _ := config.Check(p.ImportPath, set, files, nil)
	c.known[p.ImportPath] = checked
}

// languageOf leaves the version of the language to whoever has written a package;
// ours is that of the toolchain.
func languageOf(path string) string {
	if strings.HasPrefix(path, "lapwing/") {
		version, _, _ := strings.Cut(strings.TrimPrefix(runtime.Version(), "go"), " ")
		return "go" + version
	}
	return ""
}
