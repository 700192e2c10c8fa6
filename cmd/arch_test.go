// Package cmd_test holds the module to its layout: who may import whom, and
// where products must be rounded.
package cmd_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the module's folder seen from this one.
const root = ".."

// mayImport says which packages of this module each package may import, and
// why. A trailing /... stands for the package and all below it.
var mayImport = map[string]struct {
	packages []string
	why      string
}{
	"dynamics/kernel": {nil, "the arithmetic stands on nothing"},
	"dynamics":        {[]string{"dynamics/kernel"}, "craft and air are pure functions"},
	"sim/hands":       {nil, "hands are what every stage speaks of and none owns"},
	"sim/percept":     {[]string{"dynamics/...", "sim/hands"}, "a percept knows the craft by eye and ear only"},
	"sim/link":        {[]string{"dynamics/...", "sim/hands"}, "the link carries hands and nothing else"},
	"sim/sense":       {[]string{"dynamics/..."}, "sensors read the truth"},
	"sim/estimate":    {[]string{"dynamics/...", "sim/sense"}, "the estimate sees readings, never the truth"},
	"sim/sight":       {[]string{"dynamics/...", "sim/estimate"}, "the camera reads the truth, its front end the filter's own baseline"},
	"sim/safety":      {[]string{"dynamics/kernel", "sim/hands", "sim/link", "sim/estimate"}, "the watchman stands between link and law"},
	"sim/path":        {[]string{"dynamics/..."}, "a path is geometry and time"},
	"sim/inject":      {[]string{"dynamics/..."}, "injects know when and how much, not who suffers"},
	"sim/control":     {[]string{"dynamics/...", "sim/hands", "sim/estimate", "sim/safety", "sim/path"}, "a law sees belief, hands and status, never the truth"},
	"sim/bench":       {[]string{"dynamics/kernel", "sim/hands"}, "the bench is worked by hands and seen by eyes; nothing of it flies"},
	"sim/carry":       {[]string{"dynamics/...", "sim/hands"}, "a hand moves the craft; it knows no law"},
	"sim/prompt":      {[]string{"dynamics/kernel", "sim/hands"}, "a voice and the hands that answer it"},
	"sim/judge":       {[]string{"dynamics/...", "sim/hands", "sim/percept", "sim/safety"}, "the judge looks at craft and person"},
	"sim/pilot":       {[]string{"dynamics/kernel", "sim/hands", "sim/percept", "sim/judge", "sim/inject", "sim/bench", "sim/prompt"}, "a person sees percepts only, and knows what a discrepancy and a prompt mean"},
	"sim": {[]string{"dynamics/...", "sim/hands", "sim/percept", "sim/link", "sim/sense", "sim/sight", "sim/estimate", "sim/safety",
		"sim/path", "sim/inject", "sim/control", "sim/judge", "sim/pilot", "sim/bench", "sim/carry", "sim/prompt"}, "the tick calls its stages"},
	"sim/score":              {[]string{"dynamics/...", "sim", "sim/..."}, "a score reads the whole run"},
	"sim/record":             {[]string{"dynamics/...", "sim", "sim/...", "scenarios"}, "a recording carries its scenario's files"},
	"sim/tally":              {[]string{"dynamics/kernel"}, "how sure a count is does not depend on what was counted"},
	"sim/trials":             {[]string{"sim", "sim/...", "dynamics/kernel"}, "many rehearsals are flown and counted; what they are flown from is handed in"},
	"sim/rivals":             {[]string{"sim/trials", "sim/tally"}, "it compares results, whatever they came from"},
	"render/compared":        {[]string{"render/plots", "sim/rivals", "sim/rounds", "sim/trials"}, "a report of many flights, without a window"},
	"sim/rounds":             {[]string{"sim", "sim/...", "scenarios"}, "it ties a matrix to its files and keeps results; what it flies knows neither"},
	"sim/identify":           {[]string{"dynamics/..."}, "it looks at logs of real craft, never at the simulation"},
	"sim/ability":            {[]string{"dynamics/...", "sim/control"}, "what a craft can do follows from craft and law, without flying"},
	"scenarios":              {[]string{"dynamics/...", "sim", "sim/..."}, "files describe the simulation, never the other way"},
	"sim/margins":            {[]string{"dynamics/...", "sim/control", "sim/estimate", "sim/hands", "sim/safety"}, "it measures a law on a craft, without the rest of a rehearsal"},
	"sim/guest":              {[]string{"dynamics/...", "sim/control", "sim/hands"}, "a layout knows what is asked of a law and nothing of who answers"},
	"sim/guest/wasm":         {[]string{"sim/control", "sim/guest"}, "the one place that knows a WebAssembly runtime"},
	"sim/guest/child":        {[]string{"sim/control", "sim/guest"}, "the one place that starts processes"},
	"sim/guest/host":         {[]string{"sim", "sim/control", "sim/guest", "sim/guest/..."}, "it starts a law whichever way it comes"},
	"sim/guest/conform":      {[]string{"dynamics/...", "sim/control", "sim/estimate", "sim/hands", "sim/path", "sim/safety", "sim/margins"}, "it asks a law questions on paper, without a rehearsal"},
	"render/words":           {nil, "texts stand on nothing"},
	"render/clock":           {nil, "a clock is pure: now is an argument"},
	"render/devices":         {[]string{"sim/hands", "sim/percept", "sim/control"}, "devices end in hands; the curve and the kinds of throttle are the law's own"},
	"render/devices/glfwpad": {[]string{"render/devices"}, "the one place of the devices that knows a driver"},
	"render/settings":        {[]string{"render/devices", "render/words", "sim/hands", "sim/control"}, "files of what people choose, read without a window"},
	"render/sound":           {[]string{"dynamics/...", "sim", "render/words"}, "a sound is made of what the world does, and played elsewhere"},
	"render/sound/speaker":   {[]string{"render/sound", "render/words"}, "the one place that knows a sound driver"},
	"render/paint":           {nil, "it knows OpenGL and nothing of Lapwing"},
	"render/paint/golden":    {nil, "pictures are compared without knowing what they show"},
	"render/window":          {nil, "it knows GLFW and nothing of Lapwing"},
	"render/window/hidden":   {[]string{"render/window"}, "a window for tests"},
	"render/scene":           {[]string{"render/paint", "dynamics/...", "sim", "sim/..."}, "it draws the world as it is"},
	"render/strip":           {[]string{"render/paint", "render/words", "sim", "sim/..."}, "it writes what the station received"},
	"render/stage":           {[]string{"render/paint", "render/scene", "render/strip", "sim", "sim/..."}, "scene and strip in one frame"},
	"render/flight":          {[]string{"render/clock", "render/devices", "sim", "sim/...", "scenarios"}, "a run by the wall clock, without a window"},
	"render/flow":            {[]string{"render/clock", "render/devices", "render/flight", "render/settings", "render/words", "sim", "sim/..."}, "the way through the pages is pure; it knows no OpenGL"},
	"render/pages":           {[]string{"render/clock", "render/devices", "render/flight", "render/flow", "render/paint", "render/strip", "render/words", "scenarios", "sim", "sim/..."}, "pages draw values that are handed to them"},
	"render/station":         {[]string{"render/...", "sim", "sim/...", "scenarios"}, "the one place where window, devices, flight and pages meet"},
	"sim/folder":             {[]string{"sim", "sim/record", "sim/score", "scenarios"}, "what a flight leaves behind, whoever flew it"},
	"render/plots":           {[]string{"sim/margins"}, "figures for reports, without a window"},
	"render/debrief":         {[]string{"sim", "sim/...", "scenarios", "dynamics/..."}, "reports read scores and recordings"},
	"cmd":                    {nil, "tests of the module itself"},
	"cmd/lapwing-station":    {[]string{"dynamics/...", "sim", "sim/...", "scenarios", "render/..."}, "wires only; the one program with a window"},
	"cmd/lapwing":            {[]string{"dynamics/...", "sim", "sim/...", "scenarios", "render/debrief", "render/plots", "render/compared"}, "wires only, and nothing with a window"},
}

// onlyMath is what dynamics may use of the standard library: no clock, no
// files, no global randomness, nothing that differs between machines.
var onlyMath = map[string]bool{"math": true, "errors": true, "fmt": true, "strconv": true}

func TestImportsFollowTheLayout(t *testing.T) {
	for file, imports := range importsOfModule(t) {
		pkg := filepath.ToSlash(filepath.Dir(file))
		rule, known := mayImport[pkg]
		if !known {
			t.Errorf("%s: package %s is not in the layout: add it to mayImport with its reason", file, pkg)
			continue
		}
		for _, path := range imports {
			if inner, ours := strings.CutPrefix(path, "lapwing/"); ours && !allowed(inner, rule.packages) {
				t.Errorf("%s imports %s: %s may not, because %s", file, path, pkg, rule.why)
			}
			if strings.HasPrefix(pkg, "dynamics") && !strings.Contains(path, "/") && !onlyMath[path] {
				t.Errorf("%s imports %s: dynamics may use %v of the standard library only", file, path, onlyMath)
			}
			if strings.Contains(path, "go-gl") && !strings.HasPrefix(pkg, "render") {
				t.Errorf("%s imports %s: windows and OpenGL live in render only", file, path)
			}
		}
	}
}

func allowed(path string, packages []string) bool {
	for _, p := range packages {
		prefix, below := strings.CutSuffix(p, "/...")
		if path == prefix && !below || below && (path == prefix && prefix == "dynamics" || strings.HasPrefix(path, prefix+"/")) {
			return true
		}
	}
	return false
}

// mathAllowed is what state may be computed with: functions that give the same
// bits everywhere. The others differ in their last digit between processors.
var mathAllowed = map[string]bool{"Sqrt": true, "Abs": true, "Floor": true, "Trunc": true, "Copysign": true, "Min": true,
	"Max": true, "Float64bits": true, "Float64frombits": true, "IsNaN": true, "IsInf": true, "Inf": true, "NaN": true,
	"Pi": true, "Sqrt2": true, "Ln2": true, "MaxInt64": true, "MaxUint64": true, "MaxFloat64": true, "SmallestNonzeroFloat64": true, "Signbit": true}

func TestStateUsesNoMathThatDiffers(t *testing.T) {
	walkSources(t, func(file, source string) {
		if !strings.HasPrefix(file, "dynamics") && !strings.HasPrefix(file, "sim") && !strings.HasPrefix(file, "scenarios") {
			return
		}
		if strings.HasPrefix(file, "sim/score") || strings.HasPrefix(file, "sim/tally") || strings.HasPrefix(file, "sim/record") || strings.HasPrefix(file, "sim/margins") {
			return // reports, not state
		}
		for number, line := range strings.Split(source, "\n") {
			code, _, _ := strings.Cut(line, "//")
			for _, part := range strings.Split(code, "math.")[1:] {
				name := leadingWord(part)
				if !mathAllowed[name] {
					t.Errorf("%s:%d: math.%s gives other bits on other processors: use dynamics/kernel", file, number+1, name)
				}
			}
		}
	})
}

func leadingWord(s string) string {
	end := strings.IndexFunc(s, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9')
	})
	if end < 0 {
		return s
	}
	return s[:end]
}

func importsOfModule(t *testing.T) map[string][]string {
	t.Helper()
	found := map[string][]string{}
	walkSources(t, func(file, source string) {
		parsed, err := parser.ParseFile(token.NewFileSet(), file, source, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range parsed.Imports {
			path, err := strconv.Unquote(spec.Path.Value)
			require.NoError(t, err)
			found[file] = append(found[file], path)
		}
	})
	return found
}

// walkSources calls visit with every Go file of the module but tests.
func walkSources(t *testing.T, visit func(file, source string)) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		source, err := readFile(path)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		visit(filepath.ToSlash(rel), source)
		return nil
	})
	require.NoError(t, err)
}
