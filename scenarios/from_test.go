package scenarios

import (
	"encoding/base64"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/control"
	"lapwing/sim/guest"
)

// lawIn writes a law file and loads it.
func lawIn(t *testing.T, dir, from string) (*LawFile, error) {
	t.Helper()
	file := filepath.Join(dir, "it.yaml")
	require.NoError(t, os.WriteFile(file, []byte("kind: law\nversion: 1\ntitle: A law\nfrom:\n"+from), 0o644))
	return LoadLaw(Disk(""), file)
}

// Goal: a law from outside is what its file says.
func TestLawFromOutside(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "built"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "built", "m.wasm"), []byte("\x00asm"), 0o644))
	f, err := lawIn(t, dir, "  wasm: built/m.wasm\n  stage: velocity\nloops:\n  speed_limit_m_s: 1\n")
	require.NoError(t, err)
	assert.Equal(t, guest.Source{Stage: control.Velocity, Name: "built/m.wasm", Module: []byte("\x00asm")}, f.From)
	assert.Equal(t, control.Chosen(1), f.Changes.SpeedLimit, "loops are told to it")

	f, err = lawIn(t, dir, "  command: [python3, -u, law.py]\n  stage: whole\n")
	require.NoError(t, err)
	assert.Equal(t, guest.Source{Stage: control.Whole, Name: "python3", Command: []string{"python3", "-u", "law.py"}, Dir: dir}, f.From)
}

// Goal: what is wrong with it is told at its place.
func TestBrokenLawFromOutside(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "large.wasm"), make([]byte, MaxSize+1), 0o644))
	for _, c := range []struct{ name, from, want string }{
		{"no such file", "  wasm: m.wasm\n  stage: rate\n", `it.yaml:5:9: from.wasm: there is no such file; found "m.wasm"`},
		{"another folder", "  wasm: ../m.wasm\n  stage: rate\n", "it.yaml:5:9: from.wasm: cannot be read: not a file in the law file's folder or below"},
		{"an absolute path", "  wasm: /etc/passwd\n  stage: rate\n", "not a file in the law file's folder or below"},
		{"a folder", "  wasm: .\n  stage: rate\n", "it.yaml:5:9: from.wasm: cannot be read"},
		{"too large", "  wasm: large.wasm\n  stage: rate\n", "the module is too large"},
		{"no stage", "  wasm: m.wasm\n", "from.stage: this key is missing; allowed whole, position, velocity, attitude, rate"},
		{"unknown stage", "  wasm: m.wasm\n  stage: inner\n", `from.stage: found "inner"; allowed whole, position, velocity, attitude, rate`},
		{"both", "  wasm: m.wasm\n  command: [a]\n  stage: rate\n", "from.command: unknown key"},
		{"neither", "  stage: rate\n", "allowed a group with one of the keys wasm, command"},
		{"no command", "  command: []\n  stage: rate\n", "from.command: found a list of 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := lawIn(t, dir, c.from)
			assert.ErrorContains(t, err, c.want)
		})
	}
}

// Goal: a recording's files are enough: the module travels with them. Method: the
// documents without what they know of the disk.
func TestModuleTravelsWithTheDocuments(t *testing.T) {
	b, err := LoadInstead(Disk(""), "hold-and-land", Instead{Law: "../testdata/laws/cascade.yaml"})
	require.NoError(t, err)
	module, err := os.ReadFile("../testdata/laws/cascade.wasm")
	require.NoError(t, err)
	var docs []Document
	for _, d := range b.Documents {
		docs = append(docs, Document{Kind: d.Kind, Name: d.Name, File: d.Name, Text: d.Text})
	}
	again, err := LoadBundle(docs)
	require.NoError(t, err)
	assert.Equal(t, module, again.From.Module)
	assert.Equal(t, control.Whole, again.Rehearsal(1).Stage)
	for i := range docs {
		if docs[i].Kind == KindModule {
			assert.Equal(t, base64.StdEncoding.EncodeToString(module), string(docs[i].Text))
			docs[i].Text = []byte("?")
		}
	}
	_, err = LoadBundle(docs)
	assert.ErrorContains(t, err, "cannot be read")
}
