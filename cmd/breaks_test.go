package cmd_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A test that cannot fail is worth nothing. Each deliberate break below is a
// mistake that someone could make, and the test named with it must notice it.
//
//  1. every day: each old text stands exactly once in its file, and the table in
//     DEVELOPERS.md is this list;
//  2. `make breaks`: each break is applied to a copy, put in the file's place by
//     the compiler's -overlay, so the tree is never touched; the test must fail,
//     and pass without the break.

// deliberateBreak replaces old, which stands exactly once in file, by new. The
// test of that name in package pkg must then fail.
type deliberateBreak struct {
	name      string
	file      string
	old, new  string
	pkg, test string
	says      string // what the failed test must say, where it could fail for another reason; else empty
	why       string // what a person would meet if nobody noticed
}

// where names the test in full.
func (b *deliberateBreak) where() string { return b.pkg + "." + b.test }

func TestBreaksAreUpToDate(t *testing.T) {
	require.GreaterOrEqual(t, len(deliberateBreaks), 20)
	names := map[string]bool{}
	for i := range deliberateBreaks {
		b := &deliberateBreaks[i]
		if names[b.name] {
			t.Errorf("two breaks are called %q", b.name)
		}
		names[b.name] = true
		source, err := readFile(filepath.Join(root, b.file))
		require.NoError(t, err, b.name)
		if n := strings.Count(source, b.old); n != 1 {
			t.Errorf("%s: %q stands %d times in %s and must stand there once: write the break anew for the code as it is now", b.name, b.old, n, b.file)
		}
		if !testStands(t, b) {
			t.Errorf("%s: there is no %s in %s any more: name the test that catches it now", b.name, b.test, b.pkg)
		}
	}
}

// testStands tells whether b's test is declared among its package's tests.
func testStands(t *testing.T, b *deliberateBreak) bool {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root, b.pkg, "*_test.go"))
	require.NoError(t, err)
	for _, file := range files {
		source, err := readFile(file)
		require.NoError(t, err)
		if strings.Contains(source, "\nfunc "+b.test+"(t *testing.T)") {
			return true
		}
	}
	return false
}

const (
	breaksBegin = "<!-- breaks: begin -->"
	breaksEnd   = "<!-- breaks: end -->"
)

// Goal: DEVELOPERS.md lists the breaks as they are.
func TestBreaksTable(t *testing.T) {
	file := filepath.Join(root, "DEVELOPERS.md")
	text, err := readFile(file)
	require.NoError(t, err)
	before, rest, found := strings.Cut(text, breaksBegin)
	require.True(t, found, "DEVELOPERS.md has no line %s", breaksBegin)
	have, after, found := strings.Cut(rest, breaksEnd)
	require.True(t, found, "DEVELOPERS.md has no line %s", breaksEnd)
	want := "\n" + breaksTable()
	if os.Getenv("LAPWING_WRITE_DOCS") != "" {
		require.NoError(t, os.WriteFile(file, []byte(before+breaksBegin+want+breaksEnd+after), 0o644))
		return
	}
	if have != want {
		t.Error("the table of deliberate breaks in DEVELOPERS.md is not the list in cmd/breaks_test.go; write it anew with\n" +
			"    LAPWING_WRITE_DOCS=1 go test -run TestBreaksTable ./cmd")
	}
}

func breaksTable() string {
	var out strings.Builder
	out.WriteString("| break | where | caught by |\n| --- | --- | --- |\n")
	for i := range deliberateBreaks {
		b := &deliberateBreaks[i]
		fmt.Fprintf(&out, "| %s | `%s` | `%s` in `%s` |\n", b.name, b.file, b.test, b.pkg)
	}
	return out.String()
}

// Goal: every break is noticed. It compiles some thirty times, which takes
// minutes, so it runs on demand.
func TestBreaks(t *testing.T) {
	if os.Getenv("LAPWING_BREAKS") == "" {
		t.Skip("skipped: `make breaks` breaks the code on purpose, and takes minutes")
	}
	sound := soundTests(t)
	for i := range deliberateBreaks {
		b := &deliberateBreaks[i]
		t.Run(b.name, func(t *testing.T) {
			if !sound[b.where()] {
				t.Fatalf("%s in %s does not pass without the break", b.test, b.pkg)
			}
			start := time.Now()
			out := runTests(t, b.pkg, b.test, b.overlay(t))
			if trouble := unlike(out, b); trouble != "" {
				t.Fatalf("%s: %s\nIt matters because %s.\n%s", b.name, trouble, b.why, out)
			}
			fmt.Printf("%s → FAILED as it should in %s of %s (%.1f s)\n", b.name, b.test, b.pkg, time.Since(start).Seconds())
		})
	}
}

// unlike says how the output of a broken run differs from a failed test.
func unlike(out string, b *deliberateBreak) string {
	switch {
	case strings.Contains(out, "[build failed]"), strings.Contains(out, "[setup failed]"):
		return "the broken code does not build, so no test has looked at it"
	case strings.Contains(out, "panic: test timed out"):
		return "the test did not end, which shows nothing"
	case !strings.Contains(out, "--- FAIL: "+b.test+" ("):
		return "nobody noticed: " + b.test + " did not fail"
	case !strings.Contains(out, b.says):
		return fmt.Sprintf("%s failed for another reason: it does not say %q", b.test, b.says)
	}
	return ""
}

// soundTests runs every test named in the list on the code as it is, a package
// at a time, and returns those that pass.
func soundTests(t *testing.T) map[string]bool {
	t.Helper()
	tests := map[string][]string{}
	var packages []string
	for i := range deliberateBreaks {
		b := &deliberateBreaks[i]
		if tests[b.pkg] == nil {
			packages = append(packages, b.pkg)
		}
		if !slices.Contains(tests[b.pkg], b.test) {
			tests[b.pkg] = append(tests[b.pkg], b.test)
		}
	}
	sound := map[string]bool{}
	for _, pkg := range packages {
		start := time.Now()
		out := runTests(t, pkg, strings.Join(tests[pkg], "|"), "")
		for _, test := range tests[pkg] {
			sound[pkg+"."+test] = strings.Contains(out, "--- PASS: "+test+" (")
			if !sound[pkg+"."+test] {
				t.Errorf("%s in %s does not pass on the code as it is:\n%s", test, pkg, out)
			}
		}
		fmt.Printf("unbroken %s: %d tests (%.1f s)\n", pkg, len(tests[pkg]), time.Since(start).Seconds())
	}
	return sound
}

// overlay writes the broken copy and the overlay that puts it in place, and
// returns the overlay's path.
func (b *deliberateBreak) overlay(t *testing.T) string {
	t.Helper()
	whole, err := filepath.Abs(filepath.Join(root, b.file))
	require.NoError(t, err)
	source, err := readFile(whole)
	require.NoError(t, err)
	require.Equal(t, 1, strings.Count(source, b.old), "the old text stands once in %s", b.file)
	folder := t.TempDir()
	broken := filepath.Join(folder, filepath.Base(b.file))
	require.NoError(t, os.WriteFile(broken, []byte(strings.Replace(source, b.old, b.new, 1)), 0o644))
	list, err := json.Marshal(map[string]map[string]string{"Replace": {whole: broken}})
	require.NoError(t, err)
	path := filepath.Join(folder, "overlay.json")
	require.NoError(t, os.WriteFile(path, list, 0o644))
	return path
}

// runTests runs the tests that pattern names, by whole names, and returns the
// output. The overlay travels in GOFLAGS, so that it reaches a build that a test
// itself starts.
func runTests(t *testing.T, pkg, pattern, overlay string) string {
	t.Helper()
	run := exec.Command("go", "test", "-count=1", "-v", "-vet=off", "-timeout", "5m", "-run", "^("+pattern+")$", "./"+pkg)
	run.Dir = root
	flags := os.Getenv("GOFLAGS") + " -buildvcs=false"
	if overlay != "" {
		flags += " -overlay=" + overlay
	}
	run.Env = append(withoutOurs(os.Environ()), "GOFLAGS="+strings.TrimSpace(flags))
	out, _ := run.CombinedOutput() // a failed test is what is asked for
	return tail(string(out), pattern)
}

// withoutOurs leaves out what would make a test of this package start over.
func withoutOurs(env []string) []string {
	return slices.DeleteFunc(env, func(s string) bool {
		return strings.HasPrefix(s, "LAPWING_BREAKS=") || strings.HasPrefix(s, "LAPWING_WRITE_DOCS=")
	})
}

var resultLine = regexp.MustCompile(`(?m)^(--- (FAIL|PASS|SKIP): |panic: |FAIL|ok ).*$`)

// tail shortens a long output to its result lines and its end.
func tail(out, pattern string) string {
	const most = 6000
	if len(out) <= most {
		return out
	}
	return strings.Join(resultLine.FindAllString(out, -1), "\n") + "\n…\n" + out[len(out)-most:]
}
