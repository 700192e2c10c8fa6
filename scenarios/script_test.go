package scenarios

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/percept"
	"lapwing/sim/pilot"
)

// Goal: words and units of a script arrive as the lines they stand for: seconds
// as ticks of a millisecond, shares as thousandths of travel, distances within
// which as their inverse. Method: one file with each kind of line.
func TestScriptArrives(t *testing.T) {
	got, err := LoadScript(Disk(""), "testdata/good-script.yaml")
	require.NoError(t, err)
	near := percept.Rule{Sign: percept.SignPersonNear, Above: 0.5, For: 500}
	airborne := pilot.Line{When: pilot.WhenMark, Mark: inject.MarkAirborne, After: 900}
	with := func(l pilot.Line, change func(l *pilot.Line)) pilot.Line { change(&l); return l }
	want := []pilot.Line{
		{When: pilot.WhenTick, After: 12000, Set: pilot.SetYaw, To: -250},
		with(airborne, func(l *pilot.Line) { l.Set = pilot.FlyHover }),
		with(airborne, func(l *pilot.Line) { l.Set, l.Resp = pilot.SetResponse, hands.Attitude }),
		with(airborne, func(l *pilot.Line) { l.Set, l.Call = pilot.SetCall, hands.CallTakingOver }),
		{When: pilot.WhenSign, Rule: near, Set: pilot.SetCutOff, To: 1},
		{When: pilot.WhenSign, Rule: near, Set: pilot.SetArmed, To: 0},
		{When: pilot.WhenSign, Rule: percept.Rule{Sign: percept.SignContact, Above: 0.5}, After: 1000, Set: pilot.FlyLand},
	}
	assert.Equal(t, want, got.Script.Lines[:got.Script.Count])
	assert.Equal(t, "good-script", got.Name)
	assert.Equal(t, KindScript, got.Document.Kind)
}

// Goal: a missing script, and a file of another kind, are faults that say so.
func TestScriptFaults(t *testing.T) {
	_, err := LoadScript(Catalogue(), "wait-then-altitude")
	assert.ErrorContains(t, err, "there is no script of this name; did you mean wait-then-attitude?")
	_, err = LoadScript(Disk(""), "testdata/good-law.yaml")
	assert.ErrorContains(t, err, "this file is asked for as a script")
}

// Goal: the schema of scripts refuses what a single field shows to be wrong.
func TestScriptSchemaRefuses(t *testing.T) {
	s := compiled(t, KindScript)
	for _, name := range []string{"script-waits-for-nothing", "script-waits-for-two", "script-unknown-words", "script-out-of-range"} {
		text, err := os.ReadFile(filepath.Join("testdata/broken", name+".yaml"))
		require.NoError(t, err)
		assert.Error(t, s.Validate(plainValue(t, text)), name)
	}
	text, err := os.ReadFile("testdata/good-script.yaml")
	require.NoError(t, err)
	assert.NoError(t, s.Validate(plainValue(t, text)))
}

// Goal: a law, a craft and a room in place of the scenario's own are what is
// flown, and the documents alone give them again. Method: a scenario whose own
// procedures are not for the other craft must still load and rebuild.
func TestInsteadOfTheScenariosOwn(t *testing.T) {
	dir := t.TempDir()
	doc, err := Catalogue().Find(KindCraft, "quad-250g")
	require.NoError(t, err)
	craft := filepath.Join(dir, "my-craft.yaml")
	require.NoError(t, os.WriteFile(craft, doc.Text, 0o644))

	plain := load(t, "drift-in-hold")
	b, err := LoadInstead(Disk(""), "drift-in-hold", Instead{Craft: craft, Room: "bay-3", Law: "gentle", Procedures: []string{"shed-quads"}})
	require.NoError(t, err)
	assert.Equal(t, []string{"my-craft", "bay-3", "gentle"}, []string{b.CraftName, b.RoomName, b.LawName})
	assert.NotEqual(t, plain.Rehearsal(1).Law, b.Rehearsal(1).Law)
	assert.Empty(t, b.Procedures, "those are for quads in the shed")
	again, err := LoadBundle(b.Documents)
	require.NoError(t, err)
	assert.Equal(t, b, again)

	_, err = LoadInstead(Disk(""), "drift-in-hold", Instead{Law: "gentel"})
	assert.ErrorContains(t, err, "there is no law of this name; did you mean gentle?")
}

// Goal: two procedures files of one name cannot be told apart in a recording, so
// they are refused.
func TestProceduresOfOneName(t *testing.T) {
	doc, err := Catalogue().Find(KindProcedures, "shed-quads")
	require.NoError(t, err)
	at := filepath.Join(t.TempDir(), "shed-quads.yaml")
	require.NoError(t, os.WriteFile(at, doc.Text, 0o644))
	b, err := LoadInstead(Disk(""), "drift-in-hold", Instead{Procedures: []string{at}})
	require.NoError(t, err)
	require.Len(t, b.Procedures, 1)
	_, err = LoadInstead(Disk(""), "drift-in-hold", Instead{Procedures: []string{"shed-quads", at}})
	assert.ErrorContains(t, err, "are there already")
}

// Goal: a craft beside the scenario's file is found by its name, and another
// kind of file of that name is not taken for one.
func TestFilesBesideTheScenario(t *testing.T) {
	dir := t.TempDir()
	put := func(name string, kind Kind, of string) string {
		doc, err := Catalogue().Find(kind, of)
		require.NoError(t, err)
		at := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(at, doc.Text, 0o644))
		return at
	}
	at := put("mine.yaml", KindScenario, "drift-in-hold")
	put("quad-500g.yaml", KindCraft, "quad-250g")
	put("potting-shed.yaml", KindLaw, "gentle")
	b, err := Load(Catalogue(), at)
	require.NoError(t, err)
	assert.Less(t, b.Craft.Mass, 0.4, "the craft beside the scenario, not the catalogue's 500 g")
	assert.Equal(t, "potting-shed", b.RoomName)
}
