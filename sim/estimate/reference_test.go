package estimate

import (
	"bytes"
	"encoding/json"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

type refRow struct {
	Gyro    [3]float64 `json:"gyro"`
	Accel   [3]float64 `json:"accel"`
	Exposed bool       `json:"exposed"`
	Fix     bool       `json:"fix"`
	Pos     [3]float64 `json:"pos"`
	Quat    [4]float64 `json:"quat"`
	Range   *float64   `json:"range"`
}

type refStart struct {
	Pos [3]float64 `json:"pos"`
	Vel [3]float64 `json:"vel"`
	Yaw float64    `json:"yaw"`
}

type refLog struct {
	Params Params   `json:"params"`
	Start  refStart `json:"start"`
	Every  int      `json:"every"`
	Rows   []refRow `json:"rows"`
}

type refState struct {
	Pos, Vel, Rot, GyroBias, AccelBias, Cov []float64
}

type refResult struct {
	Course []refState
	NIS    []float64
}

func triple(v kernel.Vec3) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// Goal: the filter equals one written independently in Python (SciPy), state,
// covariance and NIS, to 1e-9 on two seconds of a moving craft with ranges, late
// fixes and one wild fix that the gate must refuse. Method: both take the same
// log; see testdata/reference/filter.py.
func TestReferenceInPython(t *testing.T) {
	const python = "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import numpy, scipy").Run(); err != nil {
		t.Skipf("%s with numpy and scipy is needed: %v", python, err)
	}
	p := DefaultParams()
	f := newFlight(sense.DefaultParams(), 11, true)
	s := Start(&p, f.craft.PosW, 0)
	s.Belief.VelW = f.craft.VelW
	log := refLog{Params: p, Every: 250, Start: refStart{Pos: triple(s.Belief.PosW), Vel: triple(s.Belief.VelW)}}

	var course []State
	var nis []float64
	for range 2000 {
		f.faults.FixOffsetW = kernel.Vec3{}
		if f.tick == 800 {
			f.faults.FixOffsetW.Y = 0.7
		}
		f.fly(&p, &s, 1)
		r := &f.r
		row := refRow{Gyro: triple(r.GyroB), Accel: triple(r.AccelB), Exposed: r.Fix.Exposed, Fix: r.Fix.New, Pos: triple(r.Fix.PosW)}
		row.Quat = [4]float64{r.Fix.QWB.W, r.Fix.QWB.X, r.Fix.QWB.Y, r.Fix.QWB.Z}
		if r.RangeOK {
			v := r.Range
			row.Range = &v
		}
		if r.Fix.New {
			nis = append(nis, s.Belief.NIS)
		}
		log.Rows = append(log.Rows, row)
		if f.tick%int64(log.Every) == 0 {
			course = append(course, s)
		}
	}

	in, err := json.Marshal(log)
	require.NoError(t, err)
	cmd := exec.Command(python, "testdata/reference/filter.py")
	var out, errOut bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(in), &out, &errOut
	require.NoError(t, cmd.Run(), errOut.String())
	var ref refResult
	require.NoError(t, json.Unmarshal(out.Bytes(), &ref))

	require.Len(t, ref.NIS, len(nis))
	require.Len(t, ref.Course, len(course))
	rejected := 0
	for i := range nis {
		assert.InEpsilonf(t, ref.NIS[i], nis[i], 1e-7, "NIS of fix %d", i)
		if nis[i] > p.FixGate {
			rejected++
		}
	}
	assert.Equal(t, 1, rejected, "the wild fix and no other")
	for i := range course {
		compareState(t, &ref.Course[i], &course[i])
	}
}

func compareState(t *testing.T, want *refState, got *State) {
	t.Helper()
	const tol = 1e-9
	near := func(name string, w []float64, v kernel.Vec3) {
		for j, x := range triple(v) {
			assert.InDelta(t, w[j], x, tol, name)
		}
	}
	near("position", want.Pos, got.Belief.PosW)
	near("velocity", want.Vel, got.Belief.VelW)
	near("gyro bias", want.GyroBias, got.GyroBias)
	near("accelerometer bias", want.AccelBias, got.AccelBias)
	for j, x := range got.Belief.QWB.Matrix() {
		assert.InDelta(t, want.Rot[j], x, tol, "attitude")
	}
	worst := 0.0
	for i := range Size {
		for j := range Size {
			worst = max(worst, abs(want.Cov[i*Size+j]-got.Cov.At(i, j)))
		}
	}
	assert.Less(t, worst, tol, "covariance")
}

func abs(x float64) float64 { return max(x, -x) }
