package cmd_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Goal: the same bits on every processor. Go may fuse x*y + z into one rounding
// on arm64 and at GOAMD64=v3, and does not on plain amd64. Method: build the
// headless command for both, disassemble it, and look for a fused instruction
// in the packages that touch state.
func TestNoFusedMultiplyAddTouchesState(t *testing.T) {
	if testing.Short() {
		t.Skip("skipped: -short leaves out the disassembly of two builds")
	}
	builds := []struct{ name, arch, level string }{
		{"arm64", "arm64", ""},
		{"amd64 level 3", "amd64", "v3"},
	}
	fused := regexp.MustCompile(`\b(FN?M(ADD|SUB)[DS]?|VFN?M(ADD|SUB)\w*)\b`)
	for _, build := range builds {
		t.Run(build.name, func(t *testing.T) {
			binary := filepath.Join(t.TempDir(), "lapwing")
			env := append(os.Environ(), "GOOS=linux", "CGO_ENABLED=0", "GOARCH="+build.arch)
			if build.level != "" {
				env = append(env, "GOAMD64="+build.level)
			}
			compile := exec.Command("go", "build", "-o", binary, "lapwing/cmd/lapwing")
			compile.Env = env
			out, err := compile.CombinedOutput()
			require.NoError(t, err, string(out))
			dump := exec.Command("go", "tool", "objdump", "-s", `^lapwing/(dynamics|sim|scenarios)`, binary)
			dump.Env = env
			text, err := dump.Output()
			require.NoError(t, err)
			require.Contains(t, string(text), "TEXT lapwing/dynamics.Step", "the disassembly shows the packages meant")
			require.Empty(t, fusedLines(string(text), fused), "round the product: float64(x*y) + z")
		})
	}
}

// fusedLines returns the first few places with a fused instruction, leaving out
// what only reports.
func fusedLines(text string, fused *regexp.Regexp) (places []string) {
	function := ""
	for _, line := range strings.Split(text, "\n") {
		if name, ok := strings.CutPrefix(line, "TEXT "); ok {
			function, _, _ = strings.Cut(name, "(SB)")
			continue
		}
		report := strings.HasPrefix(function, "lapwing/sim/score") || strings.HasPrefix(function, "lapwing/sim/record") ||
			strings.HasPrefix(function, "lapwing/sim/tally") || strings.HasPrefix(function, "lapwing/sim/margins")
		if !report && fused.MatchString(line) && len(places) < 20 {
			places = append(places, function+": "+strings.Join(strings.Fields(line), " "))
		}
	}
	return places
}

func readFile(path string) (string, error) {
	b, err := os.ReadFile(path)
	return string(b), err
}
