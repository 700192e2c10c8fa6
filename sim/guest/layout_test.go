package guest

import (
	"encoding/binary"
	"math"
	"os/exec"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/path"
	"lapwing/sim/safety"
)

// at reads the i-th number of a field as it lies in a block.
func at(b []byte, fields []Field, name string, i int) float64 {
	word := binary.LittleEndian.Uint64(b[Offset(fields, name)+8*i:])
	for k := range fields {
		if fields[k].Name == name && fields[k].Whole {
			return float64(int64(word))
		}
	}
	return math.Float64frombits(word)
}

// Goal: each number of a question lies where the table says. Method: every one
// has a value of its own, read back by name; the block is filled to its last byte.
func TestQuestionLiesAsTheTableSays(t *testing.T) {
	v := func(x float64) kernel.Vec3 { return kernel.Vec3{X: x, Y: x + 0.1, Z: x + 0.2} }
	in := control.Input{Tick: 123456789,
		Belief: &estimate.Belief{PosW: v(1), VelW: v(2), QWB: kernel.Quat{W: 3, X: 3.1, Y: 3.2, Z: 3.3}, OmegaB: v(4), AccelW: v(5),
			Height: 6, HeightOK: true, Health: estimate.Disagrees, SinceFix: 77, NIS: 8, SigmaPos: 9},
		Hands:  hands.Hands{Throttle: 250, Roll: -500, Pitch: 750, Yaw: -1000},
		Status: &safety.Status{MotorsOn: true, Response: hands.Path, Link: safety.LinkLost, Battery: safety.BatteryCaution, Landing: true},
		Path:   path.Setpoint{PosW: v(10), VelW: v(11), AccW: v(12), Yaw: 13, YawRate: 14, Active: true}, Steered: true,
		CellVolts: 15, HasSpeeds: true, RotorSpeed: [8]float64{16, 17, 18, 19, 20, 21, 22, 23}}
	want := control.Want{PosW: v(30), VelW: v(31), AccW: v(32), ZW: v(33), Yaw: 34, YawRate: 35, RateB: v(36), Thrust: 37}
	b := make([]byte, QuestionSize+1)
	b[QuestionSize] = 0xaa
	PutQuestion(b, control.Attitude, &in, &want)
	for _, c := range []struct {
		name string
		i    int
		want float64
	}{
		{"version", 0, 1}, {"tick", 0, 123456789}, {"stage", 0, 4}, {"throttle", 0, 0.25}, {"roll", 0, -0.5}, {"pitch", 0, 0.75}, {"yaw", 0, -1},
		{"response", 0, 4}, {"motors_on", 0, 1}, {"armed", 0, 0}, {"landed", 0, 0}, {"landing", 0, 1}, {"link", 0, 2}, {"battery", 0, 1},
		{"cell_volts", 0, 15}, {"pos_w", 2, 1.2}, {"vel_w", 1, 2.1}, {"q_wb", 0, 3}, {"q_wb", 3, 3.3}, {"omega_b", 2, 4.2}, {"accel_w", 0, 5},
		{"height", 0, 6}, {"height_ok", 0, 1}, {"health", 0, 2}, {"since_fix", 0, 77}, {"nis", 0, 8}, {"sigma_pos", 0, 9},
		{"path_active", 0, 1}, {"path_done", 0, 0}, {"path_pos_w", 2, 10.2}, {"path_vel_w", 0, 11}, {"path_acc_w", 0, 12}, {"path_yaw", 0, 13},
		{"path_yaw_rate", 0, 14}, {"steered", 0, 1}, {"has_speeds", 0, 1}, {"rotor_speed", 7, 23}, {"want_pos_w", 0, 30}, {"want_vel_w", 2, 31.2},
		{"want_acc_w", 1, 32.1}, {"want_z_w", 0, 33}, {"want_yaw", 0, 34}, {"want_yaw_rate", 0, 35}, {"want_rate_b", 2, 36.2}, {"want_thrust", 0, 37},
	} {
		assert.InDelta(t, c.want, at(b, Question, c.name, c.i), 1e-12, c.name)
	}
	assert.EqualValues(t, 0xaa, b[QuestionSize], "nothing is written past the end")
	assert.Equal(t, QuestionSize-8, Offset(Question, "want_thrust"), "the block ends with its last field")
}

// Goal: the craft's block fills its table, first to last.
func TestCraftLiesAsTheTableSays(t *testing.T) {
	p := control.Params{Mass: 2, Gravity: 9.8, RotorCount: 6, FullVolts: 4.2, Lag: 0.03, YawFollow: 0.04}
	p.Rotors[1].PosB = kernel.Vec3{X: 0.1, Y: 0.2, Z: 0.3}
	p.Rotors[2].Spin, p.Top[7], p.Mix.Roll[3] = -1, 5, 6
	p.Gains.Attitude, p.Limits.Idle, p.Throttle.DeadBand = 7, 0.06, 0.1
	b := make([]byte, CraftSize)
	PutCraft(b, control.Rate, &p)
	for _, c := range []struct {
		name string
		i    int
		want float64
	}{
		{"version", 0, 1}, {"stage", 0, 5}, {"rotor_count", 0, 6}, {"mass", 0, 2}, {"gravity", 0, 9.8}, {"full_volts", 0, 4.2}, {"rotor_lag", 0, 0.03},
		{"yaw_follow", 0, 0.04}, {"rotor_pos_b", 5, 0.3}, {"rotor_spin", 2, -1}, {"rotor_top", 7, 5}, {"mix_roll", 3, 6}, {"bandwidth_attitude", 0, 7},
		{"idle_duty", 0, 0.06}, {"throttle_dead_band", 0, 0.1},
	} {
		assert.InDelta(t, c.want, at(b, Craft, c.name, c.i), 1e-12, c.name)
	}
	assert.Equal(t, CraftSize-8, Offset(Craft, "throttle_dead_band"))
}

// Goal: an answer comes back as it was written, and another version is refused.
func TestReply(t *testing.T) {
	a := control.Answer{VelW: kernel.Vec3{X: 1}, Lift: 2, ZW: kernel.Vec3{Z: 1}, RateB: kernel.Vec3{Y: 3}, Thrust: 4, MomentB: kernel.Vec3{Z: 5}}
	a.Duty[7] = 0.5
	b := make([]byte, ReplySize)
	PutReply(b, &a)
	var got control.Answer
	require.NoError(t, ReadReply(b, &got))
	assert.Equal(t, a, got)
	b[0] = 2
	assert.ErrorContains(t, ReadReply(b, &got), "version 2")
}

// Goal: the Python helper has the same blocks. Method: it is asked for their
// sizes and for the names of their fields.
func TestPythonHelperHasTheLayout(t *testing.T) {
	if _, err := exec.LookPath("python3"); err != nil {
		t.Skip("skipped: python3 is not installed")
	}
	ask := exec.Command("python3", "-B", "-c", `import lapwing_law as l
for spec in (l._CRAFT, l._QUESTION, l._ANSWER):
    b = l.Block(spec)
    print(b.size(), " ".join(name + "*" + str(n) for name, n in b._fields))`)
	ask.Dir = "../../testdata/laws"
	got, err := ask.Output()
	require.NoError(t, err)
	want := ""
	for _, block := range blocks {
		want += strconv.Itoa(Size(block.fields))
		for _, f := range block.fields {
			want += " " + f.Name + "*" + strconv.Itoa(f.Count)
		}
		want += "\n"
	}
	assert.Equal(t, want, string(got))
}
