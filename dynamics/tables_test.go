package dynamics

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The published propeller tables, and a quad made of one of them, for the tests
// of rotors, battery and air.

const seaLevel = 1.225 // kg/m³, U.S. Standard Atmosphere 1976

// readTable returns the rows of a table in testdata/propellers and the values of
// its "# key value" lines.
func readTable(t testing.TB, name string) (rows [][]float64, keys map[string]float64) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "propellers", name))
	require.NoError(t, err)
	keys = map[string]float64{}
	for line := range strings.Lines(string(text)) {
		if f := strings.Fields(line); len(f) == 3 && f[0] == "#" {
			if v, err := strconv.ParseFloat(f[2], 64); err == nil {
				keys[f[1]] = v
			}
		}
	}
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	for _, line := range lines[1:] {
		row := make([]float64, len(line))
		for i, s := range line {
			row[i], err = strconv.ParseFloat(s, 64)
			require.NoError(t, err)
		}
		rows = append(rows, row)
	}
	return rows, keys
}

// readPropeller returns a prepared propeller and its diameter (m). The advancing
// table is read where there is one.
func readPropeller(t testing.TB, name string) (q Propeller, diameter float64) {
	t.Helper()
	rows, keys := readTable(t, name+"-static.csv")
	for i, r := range rows {
		q.StaticSpeed[i], q.StaticCT[i], q.StaticCP[i] = r[0]/60, r[1], r[2]
	}
	q.StaticCount = len(rows)
	if _, err := os.Stat(filepath.Join("..", "testdata", "propellers", name+"-advance.csv")); err == nil {
		rows, adv := readTable(t, name+"-advance.csv")
		for i, r := range rows {
			q.AdvanceJ[i], q.AdvanceCT[i], q.AdvanceCP[i] = r[0], r[1], r[2]
		}
		q.AdvanceCount, q.AdvanceSpeed = len(rows), adv["rpm"]/60
	}
	q.Prepare()
	return q, keys["diameter_m"]
}

// plusQuad is a craft of 0.5 kg with four measured 5-inch propellers on arms of
// 0.17 m along the axes: front, left, rear, right. It hangs in mid-air in a hall
// with no surface near, rotors at hover speed.
func plusQuad(t testing.TB) (c *Craft, p *Place, s *State, in *Input) {
	t.Helper()
	prop, diameter := readPropeller(t, "gws-dd-5.0x3.0")
	c = &Craft{
		Mass: 0.5, Inertia: Mat3{3.2e-3, 0, 0, 0, 3.2e-3, 0, 0, 0, 5.5e-3}, RotorCount: 4, GroundBody: 2,
		Battery: Battery{
			Cells: 3, Capacity: 1.5 * 3600, Resistance: 0.01, RCResistance: 0.005, RCTime: 20, Idle: 3,
			FullVolts: 4.2, CautionVolts: 3.5, CriticalVolts: 3.3, BrownOutVolts: 2.8, StartingCharge: 0.9,
		},
	}
	for i, hub := range []Vec3{{X: 0.17}, {Y: 0.17}, {X: -0.17}, {Y: -0.17}} {
		c.Rotors[i] = Rotor{
			PosB: hub, AxisB: Vec3{Z: 1}, Spin: float64(1 - 2*(i%2)), Diameter: diameter, Prop: prop,
			SpeedMax: 2200, Lag: 0.05, DelayTicks: 2, Inertia: 4e-6, Guard: 0.07, BreakSpeed: 1, Efficiency: 0.75,
		}
	}
	c.Prepare()
	p = &Place{
		Min: Vec3{X: -50, Y: -50}, Max: Vec3{X: 50, Y: 50, Z: 20},
		Air: Air{Density: seaLevel, Gravity: 9.80665},
	}
	p.Prepare()
	sound := DefaultInput()
	in = &sound
	s = &State{PosW: Vec3{Z: 10}, QWB: Quat{W: 1}}
	s.Cell = Cell{Charge: 0.9, Volts: 4}
	duty := HoverDuty(c, p, s.Cell.Volts)
	for i := range 4 {
		s.RotorSpeed[i] = HoverSpeed(c, p)
		in.Duty[i] = duty
		for k := range MaxDelay {
			s.Queue[i][k] = duty
		}
	}
	return c, p, s, in
}
