package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim/ability"
	"lapwing/sim/identify"
	"lapwing/sim/record"
)

// typed runs the program with arguments and returns what it printed.
func typed(args ...string) (code int, out, errOut string) {
	var o, e bytes.Buffer
	code = run(args, strings.NewReader(""), &o, &e)
	return code, o.String(), e.String()
}

// flownTo flies a scenario and returns the path of its recording.
func flownTo(t *testing.T, scenario string) string {
	t.Helper()
	folder := t.TempDir()
	code, _, errOut := typed("fly", scenario, "--pilot", "trained", "--no-time-available", "--out", folder)
	require.LessOrEqual(t, code, 1, errOut) // GO or NO-GO: both leave a recording
	return filepath.Join(folder, "rehearsal.mcap")
}

// Goal: what is exported of a simulated flight identifies the simulated craft:
// columns, units, frames and times of the table are right all at once. Method:
// fly, export, fit, and compare with the craft file. The lag is that of the
// motors alone, within a quarter of it: the speed controller's delay adds to it.
func TestExportedFlightIsIdentified(t *testing.T) {
	recording := flownTo(t, "drift-in-hold")
	table := filepath.Join(filepath.Dir(recording), "flight.csv")
	code, out, errOut := typed("export", recording, "--csv", table)
	require.Equal(t, exitGo, code, errOut)
	require.Contains(t, out, "one row for every 10 milliseconds")
	_, bundle, _, err := openRecording(recording)
	require.NoError(t, err)

	file, err := os.Open(table)
	require.NoError(t, err)
	defer file.Close()
	log, err := identify.Read(table, file)
	require.NoError(t, err)
	fit, err := identify.Craft(log)
	require.NoError(t, err)

	place := ability.StandardPlace()
	craft, err := scenarios.LoadCraft(scenarios.Catalogue(), bundle.CraftName, &place)
	require.NoError(t, err)
	require.InEpsilon(t, craft.Craft.Rotors[0].Lag, fit.TurnLag.Value, 0.25)
	require.Less(t, fit.Own.Force[0].RMS, 0.01, "m/s²: without sensor noise drag explains the side force")
	for k, name := range craft.RotorNames {
		r := &craft.Craft.Rotors[k]
		place := fit.Place(k)
		require.Equal(t, r.PosB.Y > 0, strings.Contains(place, "left"), "%s: %s", name, place)
		require.Equal(t, r.PosB.X > 0, strings.Contains(place, "in front"), "%s: %s", name, place)
		require.Equal(t, r.Spin > 0, strings.Contains(place, "anticlockwise"), "%s: %s", name, place)
	}
}

// Goal: the list of columns stands beside the table and on demand, and the step
// is obeyed.
func TestExportWritesColumnsBeside(t *testing.T) {
	recording := flownTo(t, "drift-in-hold")
	table := filepath.Join(filepath.Dir(recording), "flight.csv")
	code, out, errOut := typed("export", recording, "--csv", table, "--every", "100", "--json")
	require.Equal(t, exitGo, code, errOut)
	var said exported
	require.NoError(t, json.Unmarshal([]byte(out), &said))
	require.Equal(t, int64(100), said.EveryMS)
	beside, err := os.ReadFile(table + ".columns.md")
	require.NoError(t, err)
	code, listed, _ := typed("export", recording, "--columns")
	require.Equal(t, exitGo, code)
	require.Equal(t, string(beside), listed)
	code, standard, _ := typed("export", recording, "--csv", "-", "--every", "100")
	require.Equal(t, exitGo, code)
	text, err := os.ReadFile(table)
	require.NoError(t, err)
	require.Equal(t, string(text), standard)
	left, err := filepath.Glob(filepath.Join(filepath.Dir(recording), "*.part"))
	require.NoError(t, err)
	require.Empty(t, left)
}

// Goal: wrong use is told with its exit code, and leaves nothing behind.
func TestExportWrongUse(t *testing.T) {
	folder := t.TempDir()
	notOne := filepath.Join(folder, "not.mcap")
	require.NoError(t, os.WriteFile(notOne, []byte("no recording"), 0o644))
	for _, c := range []struct {
		name string
		args []string
		want string
	}{
		{"no recording named", []string{"export"}, "export needs a recording"},
		{"no table named", []string{"export", notOne}, "needs --csv FILE"},
		{"a step of nothing", []string{"export", notOne, "--csv", "x.csv", "--every", "0"}, "--every is 0 milliseconds"},
		{"no such recording", []string{"export", "nowhere.mcap", "--csv", "x.csv"}, "nowhere.mcap"},
		{"no recording", []string{"export", notOne, "--csv", filepath.Join(folder, "x.csv")}, "not.mcap"},
	} {
		code, _, errOut := typed(c.args...)
		require.Equal(t, exitUsage, code, c.name)
		require.Contains(t, errOut, c.want, c.name)
	}
	require.NoFileExists(t, filepath.Join(folder, "x.csv"))
	code, out, _ := typed("export", "--columns", "--json")
	require.Equal(t, exitGo, code)
	var columns []record.Column
	require.NoError(t, json.Unmarshal([]byte(out), &columns))
	require.Greater(t, len(columns), 50)
}

// Goal: a folder that is not there is a usage error, not a crash.
func TestExportToNowhere(t *testing.T) {
	recording := flownTo(t, "drift-in-hold")
	code, _, errOut := typed("export", recording, "--csv", filepath.Join(t.TempDir(), "no", "x.csv"))
	require.Equal(t, exitUsage, code)
	require.Contains(t, errOut, "the table")
}
