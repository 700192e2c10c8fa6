package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
)

// Goal: every craft of the catalogue is told of, in words and as JSON, with the
// verdict for each of its rotors.
func TestCraftTellsWhatItCan(t *testing.T) {
	code, list, _ := typed("craft")
	require.Equal(t, exitGo, code)
	for _, name := range scenarios.Names(scenarios.KindCraft) {
		require.Contains(t, list, name)
		code, out, errOut := typed("craft", name)
		require.Equal(t, exitGo, code, errOut)
		for _, want := range []string{"It hovers with its rotors at", "times the weight", "Without front-left", "What is modelled", "What is not modelled"} {
			require.Contains(t, out, want, name)
		}
		code, out, _ = typed("craft", name, "--json")
		require.Equal(t, exitGo, code)
		var shown craftShown
		require.NoError(t, json.Unmarshal([]byte(out), &shown))
		require.Equal(t, name, shown.Name)
		require.Len(t, shown.Can.Losses, shown.Can.Rotors)
	}
}

// Goal: a name that is not there and a log that is none are usage errors which
// say what is wrong and where.
func TestCraftWrongUse(t *testing.T) {
	log := filepath.Join(t.TempDir(), "log.csv")
	require.NoError(t, os.WriteFile(log, []byte("t_s,px_m\n0,0\n"), 0o644))
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"craft", "quad-25g"}, "quad-250g"},
		{[]string{"craft", "nowhere.yaml"}, "nowhere.yaml"},
		{[]string{"craft", "fit"}, "accepts 1 arg"},
		{[]string{"craft", "fit", "nowhere.csv"}, "nowhere.csv: cannot be read"},
		{[]string{"craft", "fit", log}, "log.csv:1:1: missing columns: py_m"},
	} {
		code, _, errOut := typed(c.args...)
		require.Equal(t, exitUsage, code, strings.Join(c.args, " "))
		require.Contains(t, errOut, c.want)
	}
}

// Goal: a log is fitted and tried on another one, in words and as JSON. Method:
// one simulated flight, exported at two steps, stands for
// two logs.
func TestCraftFit(t *testing.T) {
	recording := flownTo(t, "drift-in-hold")
	folder := filepath.Dir(recording)
	one, other := filepath.Join(folder, "one.csv"), filepath.Join(folder, "other.csv")
	code, _, errOut := typed("export", recording, "--csv", one)
	require.Equal(t, exitGo, code, errOut)
	code, _, errOut = typed("export", recording, "--csv", other, "--every", "5")
	require.Equal(t, exitGo, code, errOut)
	code, out, errOut := typed("craft", "fit", one, "--on", other)
	require.Equal(t, exitGo, code, errOut)
	require.Contains(t, out, "The motors lag behind the duty by")
	require.Contains(t, out, "The same on another flight")
	code, out, errOut = typed("craft", "fit", one, "--on", other, "--json")
	require.Equal(t, exitGo, code, errOut)
	var fitted craftFitted
	require.NoError(t, json.Unmarshal([]byte(out), &fitted))
	require.Greater(t, fitted.On.Force[2].Better(), 0.3)
	require.Equal(t, 4, fitted.Fit.Rotors)
}
