package host_test

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/control"
	"lapwing/sim/guest"
	"lapwing/sim/guest/host"
	"lapwing/sim/record"
	"lapwing/sim/score"
)

const laws = "../../../testdata/laws/"

// with loads a scenario under a law file.
func with(t testing.TB, scenario, law string) *scenarios.Bundle {
	t.Helper()
	b, err := scenarios.LoadInstead(scenarios.Disk(""), scenario, scenarios.Instead{Law: law})
	require.NoError(t, err)
	return b
}

// fly flies a bundle with its law from outside.
func fly(t testing.TB, b *scenarios.Bundle) (*sim.Conditions, sim.Result) {
	t.Helper()
	h, err := host.Open(&b.From)
	require.NoError(t, err)
	t.Cleanup(func() { h.Close() })
	c := b.Rehearsal(3)
	done, err := h.Fly(&c)
	require.NoError(t, err)
	t.Cleanup(done)
	p, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	return &c, sim.Run(&c, p)
}

// Goal: the time available of a law in a module is found by copying its memory,
// and does not depend on what ran before or beside it. Method: twice, from two
// flights; the craft is saveable, as with the built-in law.
func TestTimeAvailableForksTheModule(t *testing.T) {
	b := with(t, "drift-in-hold", laws+"cascade.yaml")
	c, r := fly(t, b)
	require.NotNil(t, r.LawAtCue)
	one := score.NominalTimeAvailable(c, &r)
	require.Empty(t, one.Undecided)
	assert.True(t, one.Known && one.Saveable)
	assert.Greater(t, one.Forks, 10)
	again, q := fly(t, b)
	assert.Equal(t, one, score.NominalTimeAvailable(again, &q))
	assert.Equal(t, r.End.Hash(), q.End.Hash())
}

// Goal: a law in a process is recorded by what it answered: the recording is
// flown again without it, and what needs forks says why it is not decided.
func TestProcessIsRecordedByItsAnswers(t *testing.T) {
	if _, err := exec.LookPath("python3"); err != nil {
		t.Skip("skipped: python3 is not installed")
	}
	b := with(t, "hold-and-land", laws+"lean.yaml")
	c := b.Rehearsal(2)
	h, err := host.Open(&b.From)
	require.NoError(t, err)
	g, err := h.Start(&c.Law)
	require.NoError(t, err)
	defer g.Close()
	file := filepath.Join(t.TempDir(), "it.mcap")
	w, err := record.Create(file, record.Rehearsal{Seed: 2}, nil)
	require.NoError(t, err)
	tape := record.NewTape(g)
	w.Listen(tape)
	c = c.With(tape)
	p, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	r := sim.Run(&c, p, w)
	require.NoError(t, c.OutsideError())
	_, err = w.Close(&r)
	require.NoError(t, err)

	recording, err := record.Read(file)
	require.NoError(t, err)
	again := b.Rehearsal(2)
	again = again.With(recording.Guest())
	assert.True(t, recording.Verify(&again).Same)
	short := b.Rehearsal(2)
	short = short.With(recording.Guest())
	for range 2 { // a tape that is used up ends the run, and never the program
		recording.Verify(&short)
	}
	assert.ErrorContains(t, short.OutsideError(), "no more answers")
	_, err = g.Save()
	require.Error(t, err)
	drift := with(t, "drift-in-hold", laws+"lean.yaml").Rehearsal(2)
	available := score.TimeAvailable(&drift, &sim.Result{AtCue: &r.End, NoFork: err})
	assert.False(t, available.Known)
	assert.Contains(t, available.Undecided, "cannot be copied")
}

// Goal: conditions that name a law from outside are never flown by the built-in
// one by mistake.
func TestForgottenLawIsNoFlight(t *testing.T) {
	c := with(t, "hold-and-land", laws+"cascade.yaml").Rehearsal(1)
	p, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	r := sim.Run(&c, p)
	assert.Equal(t, sim.VoidOutside, r.End.Void.Reason)
	assert.Zero(t, r.End.Void.Tick)
	assert.ErrorContains(t, c.OutsideError(), "none was started")
}

// Goal: the built-in law needs no host, and a bad module is refused by name.
func TestOpen(t *testing.T) {
	h, err := host.Open(&guest.Source{})
	require.NoError(t, err)
	g, err := h.Start(&control.Params{})
	require.NoError(t, err)
	assert.Nil(t, g)
	require.NoError(t, h.Close())
	_, err = host.Open(&guest.Source{Stage: control.Rate, Name: "x.wasm", Module: []byte("no")})
	assert.ErrorContains(t, err, "x.wasm: this is not a WebAssembly module")
	text, err := os.ReadFile(laws + "cascade.wasm")
	require.NoError(t, err)
	h, err = host.Open(&guest.Source{Stage: control.Rate, Name: "cascade.wasm", Module: text})
	require.NoError(t, err)
	defer h.Close()
	_, err = h.Start(&control.Params{})
	assert.ErrorContains(t, err, "refuses to start, with its number 1", "it is a whole law")
}

// frail is a law that fails as soon as it flies in a fork.
type frail struct {
	gentle
	forked bool
}

func (l frail) Act(in *control.Input, want *control.Want, out *control.Answer) error {
	if l.forked {
		return errors.New("no forks, please")
	}
	return l.gentle.Act(in, want, out)
}

func (l frail) Save() (control.Saved, error)  { return l, nil }
func (l frail) Start() (control.Guest, error) { l.forked = true; return l, nil }

// Goal: a law that fails in a fork decides nothing about time.
func TestLawThatFailsInAFork(t *testing.T) {
	built := with(t, "drift-in-hold", "").Rehearsal(3)
	c := built.With(frail{gentle: gentle{0.25, 0.5}})
	p, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	r := sim.Run(&c, p)
	require.NoError(t, c.OutsideError())
	a := score.TimeAvailable(&c, &r)
	assert.False(t, a.Known)
	assert.Equal(t, "no forks, please", a.Undecided)
}
