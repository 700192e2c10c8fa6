package scenarios

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the expected faults of testdata/broken anew")

// faultsOf reads a file as "lapwing check" does: by itself, and as a scenario
// or course with everything that it refers to.
func faultsOf(t testing.TB, name string) Faults {
	t.Helper()
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	kind, err := Check(filepath.Base(name), text)
	if kind == KindScenario {
		_, err = Load(single{Document{Kind: kind, Name: "it", File: filepath.Base(name), Text: text}}, "it")
	}
	if kind == KindCourse {
		_, err = LoadCourse(single{Document{Kind: kind, Name: "it", File: filepath.Base(name), Text: text}}, "it")
	}
	if err == nil {
		return nil
	}
	var faults Faults
	require.ErrorAs(t, err, &faults)
	return faults
}

// single finds one scenario, and everything else in the catalogue.
type single struct{ doc Document }

func (s single) Find(kind Kind, name string) (Document, error) {
	if kind == s.doc.Kind && name == s.doc.Name {
		return s.doc, nil
	}
	return Catalogue().Find(kind, name)
}

// Goal: every mistake is found at its line and column, with what was found and
// what is allowed, and nothing else is reported. Method: one broken file for
// each kind of mistake, made from a sound one by one change; the expected faults
// stand beside it. "go test -update" writes them anew; read them before use.
func TestBrokenFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/broken/*.yaml")
	require.NoError(t, err)
	require.Greater(t, len(files), 60)
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(t *testing.T) {
			got := faultsOf(t, name).Error() + "\n"
			golden := strings.TrimSuffix(name, ".yaml") + ".txt"
			if *update {
				require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
			assert.Greater(t, len(got), 1, "a broken file must have a fault")
		})
	}
}

// Goal: the files from which the broken ones were made are sound themselves.
func TestSoundFiles(t *testing.T) {
	for _, name := range []string{"craft", "scenario", "room", "law", "procedures", "script", "course"} {
		assert.Empty(t, faultsOf(t, "testdata/good-"+name+".yaml"), name)
	}
}

// Goal: a fault carries its place and words as values, not only as text.
func TestFaultFields(t *testing.T) {
	got := faultsOf(t, "testdata/broken/out-of-range.yaml")
	require.Len(t, got, 2)
	assert.Equal(t, Fault{File: "out-of-range.yaml", Line: 4, Column: 10, Path: "mass_kg", Found: `"500"`,
		Allowed: "0.01 to 25 kg", Message: "out of range"}, got[0])
	assert.Equal(t, "battery.cells", got[1].Path)
}
