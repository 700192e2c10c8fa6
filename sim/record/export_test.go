package record_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
	"lapwing/sim/record"
)

// hop is a person who arms, opens the throttle for a while and closes it. What
// comes of it does not matter here, as long as the craft moves.
type hop struct{}

func (hop) Act(look *percept.Percept, h *hands.Hands) {
	*h = hands.Rest()
	h.CutOff = look.Tick < 500
	h.Armed = look.Tick > 1000
	if look.Tick > 2000 && look.Tick < 3000 {
		h.Throttle, h.Roll = 700, 100
	}
}

// recorded flies and records a hop of a few seconds.
func recorded(t *testing.T) (*record.Recording, *sim.Conditions) {
	t.Helper()
	bundle, err := scenarios.Load(scenarios.Catalogue(), "drift-in-hold")
	require.NoError(t, err)
	c := bundle.Rehearsal(7)
	c.Duration = 4000
	path := filepath.Join(t.TempDir(), "hop.mcap")
	w, err := record.Create(path, record.Rehearsal{Program: "test", Scenario: bundle.Name, Pilot: "hop", Seed: 7}, nil)
	require.NoError(t, err)
	result := sim.Run(&c, hop{}, w)
	_, err = w.Close(&result)
	require.NoError(t, err)
	r, err := record.Read(path)
	require.NoError(t, err)
	return r, &c
}

func table(t *testing.T, text string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	return rows
}

// Goal: the table is the flight that was recorded. Method: fly it a second time
// with a watcher of the test's own and compare numbers bit for bit, by name.
func TestExportIsTheFlight(t *testing.T) {
	r, c := recorded(t)
	var out bytes.Buffer
	require.NoError(t, record.ExportCSV(&out, r, c, 10))
	rows := table(t, out.String())
	seen := &remember{every: 10}
	sim.Run(c, hop{}, seen)
	require.Len(t, rows, 1+len(seen.worlds))
	require.Len(t, seen.worlds, 400)
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	moved := false
	for i, w := range seen.worlds {
		row := rows[1+i]
		for name, want := range map[string]float64{
			"tick": float64(w.Tick), "t_s": float64(w.Tick) / 1000, "pz_m": w.Craft.PosW.Z, "qx": w.Craft.QWB.X,
			"vy_mps": w.Craft.VelW.Y, "fz_mps2": w.Craft.SpecificForceB.Z, "wx_radps": w.Craft.OmegaB.X,
			"belief_px_m": w.Estimate.Belief.PosW.X, "belief_vz_mps": w.Estimate.Belief.VelW.Z,
			"error_pz_m": w.Estimate.Belief.PosW.Z - w.Craft.PosW.Z, "stick_throttle": float64(w.Hands.Throttle),
			"cell_V": w.Craft.Cell.Volts, "u4": w.Input.Duty[3], "rotor_1_radps": w.Craft.RotorSpeed[0], "thrust_2_N": w.Craft.Thrust[1],
			"link_age_s": float64(w.Heard.Age) / 1000,
		} {
			got, err := strconv.ParseFloat(row[at[name]], 64)
			require.NoError(t, err, name)
			require.Equal(t, want, got, "%s at tick %d", name, w.Tick)
		}
		require.Equal(t, w.Safety.Status.Response.String(), row[at["response_actual"]])
		require.Equal(t, w.Hands.Response.String(), row[at["response_asked"]])
		require.Equal(t, map[bool]string{true: "1", false: "0"}[w.Safety.Status.Armed], row[at["armed"]])
		moved = moved || w.Craft.RotorSpeed[0] > 0
	}
	require.True(t, moved, "the rotors turned: the test has something to compare")
}

// remember keeps every so many worlds.
type remember struct {
	every  int64
	worlds []sim.World
}

func (*remember) Looked(*sim.World) {}
func (*remember) Second(*sim.World) {}
func (k *remember) Ticked(w *sim.World) {
	if w.Tick%k.every == 0 {
		k.worlds = append(k.worlds, *w)
	}
}

// Goal: the same bytes twice, lines as RFC 4180 has them, the header as Columns
// lists it, every cell filled but for call and step, and fewer rows on demand.
func TestExportForm(t *testing.T) {
	r, c := recorded(t)
	var a, b bytes.Buffer
	require.NoError(t, record.ExportCSV(&a, r, c, 100))
	require.NoError(t, record.ExportCSV(&b, r, c, 100))
	require.Equal(t, a.String(), b.String())
	require.Equal(t, strings.Count(a.String(), "\n"), strings.Count(a.String(), "\r\n"))
	rows := table(t, a.String())
	require.Len(t, rows, 41)
	var names []string
	for _, column := range record.Columns(c.Craft.RotorCount) {
		names = append(names, column.Name)
	}
	require.Equal(t, names, rows[0])
	for _, row := range rows[1:] {
		for i, text := range row {
			require.False(t, text == "" && names[i] != "call" && names[i] != "step", "column %s is empty", names[i])
		}
	}
}

// Goal: a table of another flight than the recorded one is not passed off as
// it: another seed, and so other noise, must be noticed.
func TestExportNoticesAnotherFlight(t *testing.T) {
	r, c := recorded(t)
	c.Seed++
	err := record.ExportCSV(&bytes.Buffer{}, r, c, 100)
	var differs *record.DiffersError
	require.ErrorAs(t, err, &differs)
	require.Contains(t, err.Error(), "does not agree")
}

// Goal: a full disk and a senseless step are errors.
func TestExportErrors(t *testing.T) {
	r, c := recorded(t)
	require.ErrorContains(t, record.ExportCSV(full{}, r, c, 10), "disk full")
	require.ErrorContains(t, record.ExportCSV(&bytes.Buffer{}, r, c, 0), "must be 1 or more")
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

// Goal: every column is documented and no name stands twice, at any number of
// rotors; the Markdown table has one line for each.
func TestColumnsAreDocumented(t *testing.T) {
	for rotors := 3; rotors <= 8; rotors++ {
		columns := record.Columns(rotors)
		names := map[string]bool{}
		for _, c := range columns {
			require.NotEmpty(t, c.Meaning, c.Name)
			require.False(t, names[c.Name], "%s stands twice", c.Name)
			names[c.Name] = true
		}
		require.True(t, names["u"+strconv.Itoa(rotors)])
		require.False(t, names["u"+strconv.Itoa(rotors+1)])
		var out bytes.Buffer
		require.NoError(t, record.WriteColumns(&out, columns))
		require.Equal(t, len(columns)+2, strings.Count(out.String(), "\n"))
	}
}
