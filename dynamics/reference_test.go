package dynamics

import (
	"encoding/csv"
	"math"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reference runs a script of testdata/reference and returns its rows: the names
// in the first columns and the numbers in the others. Without SciPy the test is
// skipped.
func reference(t *testing.T, script string, names int) (keys [][]string, rows [][]float64) {
	t.Helper()
	python := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(p, "-c", "import scipy").Run() == nil {
			python = p
			break
		}
	}
	if python == "" {
		t.Skipf("skipped: the comparison with SciPy's solvers (%s) needs python3 with scipy", script)
	}
	out, err := exec.Command(python, filepath.Join("..", "testdata", "reference", script)).Output()
	require.NoError(t, err)
	lines, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
	require.NoError(t, err)
	for _, line := range lines[1:] {
		row := make([]float64, len(line)-names)
		for i, s := range line[names:] {
			row[i], err = strconv.ParseFloat(s, 64)
			require.NoError(t, err)
		}
		keys, rows = append(keys, line[:names]), append(rows, row)
	}
	return keys, rows
}

// Goal: the body with full inertia, rotors' spin, frame drag, in-plane drag and
// wind moves as SciPy's DOP853 at 1e-12 says, from equations written anew.
// Method: compare all thirteen numbers at 1 kHz; the cases and their constants
// are those of testdata/reference/rigid_body.py.
func TestReferenceBody(t *testing.T) {
	keys, rows := reference(t, "rigid_body.py", 1)
	require.Len(t, rows, 16)
	full := Mat3{2e-3, 2e-4, -1e-4, 2e-4, 3e-3, 3e-4, -1e-4, 3e-4, 4.5e-3}
	area, wind := Vec3{X: 0.01, Y: 0.02, Z: 0.03}, Vec3{X: 2, Y: -1, Z: 0.5}
	for i, r := range rows {
		c := &Craft{Mass: 0.5, Inertia: diag(2e-3, 3e-3, 4.5e-3), RotorCount: 4}
		for k, hub := range []Vec3{{X: 0.10, Y: 0.12, Z: 0.02}, {X: -0.10, Y: 0.12, Z: 0.03}, {X: -0.11, Y: -0.12, Z: 0.02}, {X: 0.10, Y: -0.13, Z: 0.01}} {
			c.Rotors[k].PosB = hub
		}
		h := &held{}
		s := &State{VelW: Vec3{X: 3, Y: -1, Z: 2}, QWB: Quat{W: 1}, OmegaB: Vec3{X: 2, Y: -3, Z: 1}}
		switch keys[i][0] {
		case "spin":
			c.Inertia = full
		case "gyro":
			h.ForceB, h.MomentB, h.SpinB = Vec3{Z: 4.9}, Vec3{X: 1e-3, Y: -2e-3, Z: 5e-4}, Vec3{X: 1e-4, Z: 8e-3}
		case "drag":
			c.DragArea, s.Gust.WindW, h.ForceB = area, wind, Vec3{Z: 4.9}
		case "full":
			c.Inertia, c.DragArea, s.Gust.WindW = full, area, wind
			h.ForceB, h.MomentB, h.SpinB = Vec3{X: 0.1, Y: -0.2, Z: 5}, Vec3{X: 1e-3, Y: 2e-3, Z: -5e-4}, Vec3{X: 1e-4, Y: 2e-4, Z: 4e-3}
			h.DragK = [MaxRotors]float64{0.01, 0.02, 0.015, 0.012}
		}
		c.InertiaInv, _ = c.Inertia.Inverse()
		h.hold(c, &Place{Air: Air{Density: 1.225, Gravity: 9.80665}}, s)
		flyTo(h, s, r[0], int(math.Round(1000*r[0])))

		sign := math.Copysign(1, s.QWB.W*r[7]) // q and −q are one attitude
		got := []float64{
			s.PosW.X, s.PosW.Y, s.PosW.Z, s.VelW.X, s.VelW.Y, s.VelW.Z,
			sign * s.QWB.W, sign * s.QWB.X, sign * s.QWB.Y, sign * s.QWB.Z, s.OmegaB.X, s.OmegaB.Y, s.OmegaB.Z,
		}
		for k := range got {
			assert.InDelta(t, r[1+k], got[k], 1e-8, "%s at %v s, column %d", keys[i][0], r[0], k+1)
		}
	}
}

// Goal: drops onto the springs and a slide agree with SciPy's Radau, stopped at
// each change of regime, to 0.1 %; to 1 % on the stiffest springs allowed, whose
// contact lasts a few ticks only. The constants are those of
// testdata/reference/contact.py.
func TestReferenceContact(t *testing.T) {
	keys, rows := reference(t, "contact.py", 2)
	want := map[string]map[string]float64{}
	for i, k := range keys {
		if want[k[0]] == nil {
			want[k[0]] = map[string]float64{}
		}
		want[k[0]][k[1]] = rows[i][0]
	}
	for name, r := range map[string]struct{ m, k, c, height, tol float64 }{
		"soft": {0.5, 500, 5, 0.5, 1e-3}, "firm": {1, 1000, 20, 1, 1e-3}, "stiff": {0.5, 0.5 * 300 * 300, 0.5 * 240, 0.3, 1e-2},
	} {
		deepest, apex := dropped(t, r.m, r.k, r.c, r.height)
		assert.InEpsilon(t, want[name]["deepest"], deepest, r.tol, name)
		assert.InEpsilon(t, want[name]["apex"], apex, r.tol, name)
	}

	c, p, s, in := puck(t, 0.5, 0.5*300*300, 0.5*240, 0.4)
	s.VelW.X = 2
	run(c, p, s, in, 1500)
	assert.InEpsilon(t, want["slide"]["rest"], s.PosW.X, 1e-3)
}

// dropped returns the greatest compression and the height of the next apex (m)
// of a puck dropped from a height (m) onto the floor.
func dropped(t *testing.T, mass, stiffness, damping, height float64) (deepest, apex float64) {
	c, p, s, in := puck(t, mass, stiffness, damping, 0)
	s.PosW.Z = height
	for i := 0; apex == 0; i++ {
		require.Less(t, i, 3000)
		run(c, p, s, in, 1)
		switch a := s.SpecificForceB.Z - p.Air.Gravity; {
		case s.VelW.Z > 0 && deepest == 0: // the turning point lies v/a back
			deepest = -s.PosW.Z + s.VelW.Z*s.VelW.Z/(2*a)
		case deepest > 0 && s.VelW.Z <= 0:
			apex = s.PosW.Z + s.VelW.Z*s.VelW.Z/(2*p.Air.Gravity)
		}
	}
	return deepest, apex
}
