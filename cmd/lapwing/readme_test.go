package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
)

const (
	readmePath  = "../../README.md"
	sampleBegin = "<!-- sample: begin -->\n"
	sampleEnd   = "<!-- sample: end -->"
)

// readmeCommands returns the README's indented lines that begin with a prompt and
// the program's name, without comment, as words. With heading, only those of
// that section.
func readmeCommands(t *testing.T, readme, heading, prompt string) (commands [][]string) {
	t.Helper()
	_, part, found := strings.Cut(readme, heading)
	require.True(t, found, heading)
	if i := strings.Index(part, "\n## "); heading != "" && i >= 0 {
		part = part[:i]
	}
	for _, line := range strings.Split(part, "\n") {
		if command, ok := strings.CutPrefix(line, "    "+prompt+"lapwing "); ok {
			command, _, _ = strings.Cut(command, "#")
			commands = append(commands, strings.Fields(command))
		}
	}
	return commands
}

// Goal: what the README says to type works as it stands there. Method: run each
// line of that section in an empty folder, in order, with the two files that a
// reader has by then; the exit code is 0 or 1.
func TestReadmeCommandsRun(t *testing.T) {
	readme, err := os.ReadFile(readmePath)
	require.NoError(t, err)
	commands := readmeCommands(t, string(readme), "## What to type\n", "")
	require.Greater(t, len(commands), 5)
	t.Chdir(t.TempDir())
	for file, of := range map[string]struct {
		kind scenarios.Kind
		name string
	}{
		"my-scenario.yaml": {scenarios.KindScenario, "drift-in-hold"}, "my-craft.yaml": {scenarios.KindCraft, "quad-250g"},
		"my-law.yaml": {scenarios.KindLaw, "gentle"}, "my-script.yaml": {scenarios.KindScript, "wait-then-attitude"},
		"my-procedures.yaml": {scenarios.KindProcedures, "shed-quads"}, "my-room.yaml": {scenarios.KindRoom, "bay-3"},
	} {
		doc, err := scenarios.Catalogue().Find(of.kind, of.name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, doc.Text, 0o644))
	}
	for _, words := range commands {
		code, out, errOut := typed(words...)
		require.LessOrEqual(t, code, exitNoGo, "lapwing %s\n%s", strings.Join(words, " "), errOut)
		require.NotEmpty(t, out, "lapwing %s", strings.Join(words, " "))
	}
}

// rewrite holds a part of the README, between two marks after from, to what it must
// be, or writes it anew when LAPWING_WRITE_DOCS=1. It returns where the part ends.
func rewrite(t *testing.T, readme *string, from int, begin, end, want string) int {
	t.Helper()
	start := strings.Index((*readme)[from:], begin)
	require.GreaterOrEqual(t, start, 0, begin)
	start += from + len(begin)
	length := strings.Index((*readme)[start:], end)
	require.GreaterOrEqual(t, length, 0, end)
	if os.Getenv("LAPWING_WRITE_DOCS") != "1" {
		require.Equal(t, want, (*readme)[start:start+length], "not what the program prints: LAPWING_WRITE_DOCS=1 go test -run TestReadme ./cmd/lapwing")
	}
	*readme = (*readme)[:start] + want + (*readme)[start+length:]
	return start + len(want)
}

// Goal: the samples in the README are what the program prints, and its list of the
// catalogue is complete. Method: run the command above each sample.
// LAPWING_WRITE_DOCS=1 writes them anew.
func TestReadmeSamples(t *testing.T) {
	path, err := filepath.Abs(readmePath)
	require.NoError(t, err)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	readme := string(text)
	commands := readmeCommands(t, readme, "", "$ ")
	require.Len(t, commands, strings.Count(readme, sampleBegin))
	t.Chdir(t.TempDir())
	at := 0
	for _, command := range commands {
		code, out, errOut := typed(command...)
		require.LessOrEqual(t, code, exitNoGo, errOut)
		at = rewrite(t, &readme, at, sampleBegin, sampleEnd, indented(out))
	}
	rewrite(t, &readme, 0, "<!-- catalogue: begin -->\n", "<!-- catalogue: end -->", catalogueTable(t))
	if os.Getenv("LAPWING_WRITE_DOCS") == "1" {
		require.NoError(t, os.WriteFile(path, []byte(readme), 0o644))
	}
}

// catalogueTable lists the scenarios by group.
func catalogueTable(t *testing.T) string {
	t.Helper()
	names := map[scenarios.Group][]string{}
	for _, name := range scenarios.Names(scenarios.KindScenario) {
		b, err := scenarios.Load(scenarios.Catalogue(), name)
		require.NoError(t, err)
		names[b.Group()] = append(names[b.Group()], name)
	}
	var out strings.Builder
	out.WriteString("| | |\n| --- | --- |\n")
	for _, g := range scenarios.Groups() {
		require.NotEmpty(t, names[g], g.Words())
		fmt.Fprintf(&out, "| %s | %s |\n", headingOf(g), strings.Join(names[g], ", "))
	}
	return out.String()
}

// indented moves each line in by four spaces; empty lines stay empty.
func indented(text string) string {
	var b bytes.Buffer
	for _, line := range strings.SplitAfter(text, "\n") {
		if strings.TrimSpace(line) != "" {
			b.WriteString("    ")
		}
		b.WriteString(line)
	}
	return b.String()
}
