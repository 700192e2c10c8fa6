package wasm

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/guest"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

func someCraft() *control.Params {
	p := &control.Params{RotorCount: 4, Mass: 0.5, Gravity: 9.8, FullVolts: 4.2}
	for i := range 4 {
		p.Top[i], p.Mix.Thrust[i], p.Mix.Roll[i] = 3, 0.25, float64(i)-1.5
		p.Rotors[i].AxisB = kernel.Vec3{Z: 1}
	}
	p.Inertia = kernel.Mat3{0.003, 0, 0, 0, 0.003, 0, 0, 0, 0.005}
	p.Gains = control.Gains{Rate: kernel.Vec3{X: 13, Y: 13, Z: 6}, Attitude: 5, Yaw: 2, Velocity: 1.6, Climb: 4, Position: 0.5, Height: 1.3}
	p.Limits = control.Limits{Tilt: 0.5, BodyRate: 3, YawRate: 1, Speed: 2, HoldSpeed: 1, Accel: 3, ClimbUp: 1, ClimbDown: 1, ClimbAcc: 2}
	return p
}

func question() *control.Input {
	return &control.Input{Belief: &estimate.Belief{QWB: kernel.Quat{W: 1}}, CellVolts: 4,
		Status: &safety.Status{MotorsOn: true, Response: hands.PositionHold}}
}

// askOnce loads, starts and asks a module, as far as it gets.
func askOnce(m *module) error {
	loaded, err := Load(m.bytes())
	if err != nil {
		return err
	}
	defer loaded.Close()
	g, err := loaded.Start(control.Whole, someCraft())
	if err != nil {
		return err
	}
	defer g.Close()
	o := control.NewOutside(g)
	in := question()
	var s control.State
	var out control.Output
	control.LawWith(someCraft(), &s, in, &out, o)
	return o.Err
}

// loopForever is loop … br 0 end, with something in the loop.
func loopForever(inside ...byte) []byte {
	code := append([]byte{opLoop, blockEmpty}, inside...)
	return append(append(code, opBr, 0, opEnd), constI32(0)...)
}

var nan = append(append(constI32(answerAt+8*int32(guest.Offset(guest.Reply, "duty")/8)), opF64Const), 0, 0, 0, 0, 0, 0, 0xf8, 0x7f, 0x39, 3, 0)

// Goal: a module that breaks a rule is told so in words, and none hangs. Method:
// one sound module put together by hand, spoilt in one way each.
func TestBadModules(t *testing.T) {
	require.NoError(t, askOnce(soundModule()), "the sound one")
	var fault = []byte{opMemoryGrow, 0}
	for _, c := range []struct {
		name  string
		spoil func(m *module)
		want  string
	}{
		{"hang", func(m *module) { m.act = loopForever() }, "law_act ran away"},
		{"hang with memory.grow", func(m *module) { m.act = loopForever(append(append(constI32(1), fault...), 0x1a)...) }, "law_act ran away"},
		{"endless recursion", func(m *module) { m.act = []byte{opCall, 5} }, "law_act"},
		{"trap", func(m *module) { m.act = []byte{opUnreachable} }, "law_act trapped: unreachable"},
		{"division by zero", func(m *module) { m.act = append(append(constI32(1), constI32(0)...), 0x6d) }, "trapped: integer divide by zero"},
		{"outside its memory", func(m *module) { m.act = append(store64(1<<20, 1), constI32(0)...) }, "trapped: out of bounds memory access"},
		{"not a number", func(m *module) { m.act = append(append([]byte{}, nan...), giveZero()...) }, "which is not a number to be flown"},
		{"gives up", func(m *module) { m.act = append(store64(answerAt, 1), constI32(7)...) }, "gave up, with its number 7"},
		{"no answer's version", func(m *module) { m.act = constI32(0) }, "its answer begins with version 0"},
		{"wrong version", func(m *module) { m.version = 2 }, "speaks version 2 of the blocks, this program speaks 1"},
		{"missing exports", func(m *module) { m.leaveOut = "law_act" }, "does not export law_act"},
		{"memory not exported", func(m *module) { m.leaveOut = "memory" }, "does not export memory"},
		{"import", func(m *module) {
			m.imports = vector(append(append(name("env"), name("clock")...), 0, 0))
		}, `imports "clock" from "env"`},
		{"a global that changes", func(m *module) {
			m.globals = [][]byte{{typeI32, 1, opI32Const, 0, opEnd}, {typeI32, 1, opI32Const, 0, opEnd}}
		}, "global 1 of the module can change"},
		{"a stack pointer of doubles", func(m *module) {
			m.globals = [][]byte{{typeI64, 1, opI64Const, 0, opEnd}}
		}, "global 0 of the module can change"},
		{"exported stack pointer", func(m *module) {
			m.globals = [][]byte{{typeI32, 1, opI32Const, 0, opEnd}}
			m.more = append(name("sp"), exportOfGlobal, 0)
		}, `exports the global "sp"`},
		{"table", func(m *module) {
			m.also[sectionTable] = vector([]byte{0x70, 0, 1})
			m.act = append(append(constI32(0), opTableGet, 0, 0x1a), giveZero()...)
		}, "reaches into a table"},
		{"bulk memory", func(m *module) { m.act = append([]byte{opMisc, 11, 0}, giveZero()...) }, "bulk memory"},
		{"vectors", func(m *module) { m.act = append([]byte{0xfd, 12}, giveZero()...) }, "instruction 0xfd"},
		{"much memory", func(m *module) { m.pages = 65 }, "begins with 4160 KiB; allowed are 4096 KiB"},
		{"block outside the memory", func(m *module) { m.addresses[2] = 65530 }, "law_answer gives 65530"},
		{"block at nothing", func(m *module) { m.addresses[0] = 0 }, "law_craft gives 0"},
		{"taken name", func(m *module) { m.more = append(name("lapwing fuel"), 0, 0) }, "names that begin so are taken"},
		{"not valid", func(m *module) { m.act = []byte{opDropAlone} }, "not valid"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := soundModule()
			c.spoil(m)
			begin := time.Now()
			assert.ErrorContains(t, askOnce(m), c.want)
			assert.Less(t, time.Since(begin), 20*time.Second)
		})
	}
}

const opDropAlone = 0x1a

// Goal: no module, however damaged, brings the program down. Method: the worked
// law cut short at every length and with bytes turned over.
func TestDamagedModules(t *testing.T) {
	whole, err := os.ReadFile("../../../testdata/laws/cascade.wasm")
	require.NoError(t, err)
	for n := range len(whole) {
		_, err := rewrite(whole[:n])
		assert.Error(t, err, "cut at %d", n)
	}
	for i := headerSize; i < len(whole); i += 3 {
		bad := bytes.Clone(whole)
		bad[i] ^= 0x55
		_, _ = rewrite(bad) // must return
	}
}

// Goal: memory that grows is bounded and is copied. Method: a law that grows its
// memory page by page and counts what it got.
func TestMemoryGrowth(t *testing.T) {
	m := soundModule()
	m.act = append(append(constI32(1), opMemoryGrow, 0, 0x1a), giveZero()...)
	loaded, err := Load(m.bytes())
	require.NoError(t, err)
	defer loaded.Close()
	g, err := loaded.Start(control.Whole, someCraft())
	require.NoError(t, err)
	defer g.Close()
	var out control.Answer
	for range 200 {
		require.NoError(t, g.Act(question(), &control.Want{}, &out))
	}
	assert.EqualValues(t, pagesAllowed*pageSize, g.(*law).memory.Size())
	kept, err := g.Save()
	require.NoError(t, err)
	fork, err := kept.Start()
	require.NoError(t, err)
	defer fork.Close()
	assert.EqualValues(t, pagesAllowed*pageSize, fork.(*law).memory.Size())
}

// worked starts the worked law in C.
func worked(t testing.TB) (*Module, control.Guest) {
	t.Helper()
	module, err := os.ReadFile("../../../testdata/laws/cascade.wasm")
	require.NoError(t, err)
	m, err := Load(module)
	require.NoError(t, err)
	t.Cleanup(func() { m.Close() })
	g, err := m.Start(control.Whole, someCraft())
	require.NoError(t, err)
	t.Cleanup(func() { g.Close() })
	return m, g
}

// story is a question that differs from tick to tick.
func story(tick int) *control.Input {
	in := question()
	in.Tick = int64(tick)
	s := math.Sin(float64(tick) * 0.01)
	in.Belief.PosW, in.Belief.VelW = kernel.Vec3{X: s, Z: 1 + s}, kernel.Vec3{Y: 0.2 * s}
	in.Belief.OmegaB = kernel.Vec3{X: 0.1 * s}
	return in
}

// Goal: fork = rerun. Method: a story told without a break, one that goes on from
// a copy of the memory, and the original after it was copied, agree bit for bit;
// and a copy is not touched by what is flown from it.
func TestForkIsRerun(t *testing.T) {
	_, g := worked(t)
	var want control.Want
	tell := func(g control.Guest, from, to int) (out control.Answer) {
		for tick := from; tick < to; tick++ {
			require.NoError(t, g.Act(story(tick), &want, &out))
		}
		return out
	}
	tell(g, 0, 500)
	kept, err := g.Save()
	require.NoError(t, err)
	on := tell(g, 500, 900)
	assert.NotEqual(t, control.Answer{}, on)
	for range 2 {
		fork, err := kept.Start()
		require.NoError(t, err)
		assert.Equal(t, on, tell(fork, 500, 900))
		require.NoError(t, fork.Close())
	}
	_, again := worked(t)
	assert.Equal(t, on, tell(again, 0, 900))
}

// Goal: no allocation for a question.
func TestActAllocatesNothing(t *testing.T) {
	_, g := worked(t)
	in := question()
	var want control.Want
	var out control.Answer
	assert.Zero(t, testing.AllocsPerRun(1000, func() { _ = g.Act(in, &want, &out) }))
}

// Goal: the committed module is what its source says. Method: it is built anew
// where Debian's clang and lld of version 14 are installed.
func TestWorkedLawIsItsSource(t *testing.T) {
	version, err := exec.Command("clang", "--version").Output()
	if _, lld := exec.LookPath("wasm-ld"); err != nil || lld != nil {
		t.Skip("skipped: clang and lld are not installed")
	}
	out := filepath.Join(t.TempDir(), "built.wasm")
	text, err := exec.Command("../../../testdata/laws/build", out).CombinedOutput()
	require.NoError(t, err, string(text))
	built, err := os.ReadFile(out)
	require.NoError(t, err)
	_, err = Load(built)
	require.NoError(t, err)
	if !bytes.Contains(version, []byte("clang version 14.")) {
		t.Skip("built and loaded; the bytes are not compared: another version of clang")
	}
	committed, err := os.ReadFile("../../../testdata/laws/cascade.wasm")
	require.NoError(t, err)
	assert.Equal(t, committed, built)
}
