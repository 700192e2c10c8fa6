package main

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
)

// Goal: what the README says of trials works as it stands there. Method: each line
// of that section in an empty folder with a law file, with two seeds instead of
// twenty; and the two lines of the snippet for a build, with their files.
func TestReadmeTrialsRun(t *testing.T) {
	readme, err := os.ReadFile(readmePath)
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	doc, err := scenarios.Catalogue().Find(scenarios.KindLaw, "gentle")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("my-law.yaml", doc.Text, 0o644))
	matrix := "kind: matrix\nversion: 1\ntitle: Mine\nscenarios: [arm-and-disarm]\npilots: [{pilot: none}]\nseeds: {from: 1, count: 2}\n"
	require.NoError(t, os.WriteFile("my-matrix.yaml", []byte(matrix), 0o644))

	commands := readmeCommands(t, string(readme), "## Trials\n", "")
	require.Len(t, commands, 4)
	_, snippet, _ := strings.Cut(string(readme), "```sh\n")
	snippet, _, _ = strings.Cut(snippet, "```")
	commands = append(commands, []string{"trials", "my-matrix.yaml", "--out", "mine"}, []string{"baseline", "mine", "baseline.jsonl"})
	for _, line := range strings.Split(snippet, "\n") {
		line, _, _ = strings.Cut(line, "#")
		line, _, _ = strings.Cut(line, "||")
		if words := strings.Fields(line); len(words) > 0 {
			require.Equal(t, "lapwing", words[0], line)
			commands = append(commands, words[1:])
		}
	}
	for _, words := range commands {
		for i := range words {
			words[i] = strings.Replace(words[i], "1-20", "1-2", 1)
		}
		if words[0] == "trials" && words[1] == "my-matrix.yaml" {
			require.NoError(t, os.RemoveAll("run"))
		}
		code, _, errOut := typed(words...)
		require.LessOrEqual(t, code, exitNoGo, "%s: %s", strings.Join(words, " "), errOut)
	}
}
