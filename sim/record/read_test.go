package record

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/foxglove/mcap/go/mcap"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/scenarios"
	"lapwing/sim"
)

// recorded flies a short rehearsal and returns the bytes of its recording.
func recorded(t testing.TB, trace bool) []byte {
	t.Helper()
	bundle, err := scenarios.Load(scenarios.Catalogue(), "drift-in-hold")
	require.NoError(t, err)
	c := bundle.Rehearsal(3)
	c.Duration = 5000
	path := filepath.Join(t.TempDir(), "rehearsal.mcap")
	var docs []Document
	for _, d := range bundle.Documents {
		docs = append(docs, Document{string(d.Kind), d.Name, string(d.Text)})
	}
	w, err := Create(path, Rehearsal{Scenario: bundle.Name, Pilot: "trained", Seed: 3, Trace: trace}, docs)
	require.NoError(t, err)
	who, err := c.Pilot("trained", nil)
	require.NoError(t, err)
	result := sim.Run(&c, who, w)
	_, err = w.Close(&result)
	require.NoError(t, err)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	return whole
}

func readBytes(b []byte) (*Recording, error) {
	r := &Recording{EndTick: -1}
	return r, r.read(bytes.NewReader(b))
}

// Goal: a recording that is cut short anywhere is an error that says so, and
// never a panic or half a flight. Method: cut a real one at every place near its
// ends and at many in between. Only the container's last eight bytes, which
// repeat its first, may be missing: everything is there.
func TestCutShortAnywhere(t *testing.T) {
	whole := recorded(t, false)
	r, err := readBytes(whole)
	require.NoError(t, err)
	for at := 0; at < len(whole); at++ {
		if at > 400 && at < len(whole)-400 && at%37 != 0 {
			continue
		}
		cut, err := readBytes(whole[:at])
		if err == nil {
			assert.GreaterOrEqual(t, at, len(whole)-len(mcap.Magic), "cut at byte %d of %d", at, len(whole))
			assert.Equal(t, r.Body, cut.Body)
			continue
		}
		assert.Regexp(t, "cut short|not a recording", err.Error(), "cut at byte %d of %d", at, len(whole))
	}
}

// Goal: a damaged byte is noticed or changes nothing that was recorded. Method:
// turn one byte after the other round; whatever reads must read the same body.
func TestDamagedAnywhere(t *testing.T) {
	whole := recorded(t, false)
	r, err := readBytes(whole)
	require.NoError(t, err)
	refused := 0
	for at := 0; at < len(whole); at += 23 {
		damaged := bytes.Clone(whole)
		damaged[at] ^= 0xff
		again, err := readBytes(damaged)
		if err != nil {
			refused++
			continue
		}
		require.Equal(t, r.Body, again.Body, "byte %d", at)
	}
	assert.Greater(t, refused, len(whole)/23/2, "most bytes matter")
}

// Goal: what is no recording says what is allowed instead, with the path first.
func TestReadRefuses(t *testing.T) {
	folder := t.TempDir()
	text := filepath.Join(folder, "notes.txt")
	require.NoError(t, os.WriteFile(text, []byte("kind: scenario\n"), 0o644))
	for _, c := range []struct{ path, want string }{
		{filepath.Join(folder, "nowhere.mcap"), "nowhere.mcap: cannot be read: no such file or directory"},
		{folder, folder + ": this is a folder"},
		{text, "notes.txt: this is not a recording"},
	} {
		_, err := Read(c.path)
		require.ErrorContains(t, err, c.want)
		require.ErrorContains(t, err, "allowed a recording that lapwing fly --out has written")
	}
}

// Goal: a newer format, unknown hands and hands outside their travel are refused
// with their place. Method: hand the reader one message at a time.
func TestTakeRefuses(t *testing.T) {
	for _, c := range []struct{ topic, data, want string }{
		{topicRehearsal, `{"format":2}`, "format 2; this program reads up to 1: use a newer program"},
		{topicRehearsal, `{"format":"two"}`, "cannot unmarshal"},
		{topicHands, `{"response":"autopilot"}`, "hands that this program does not know"},
		{topicHands, `{"response":"attitude","roll":1001}`, "hands outside their travel"},
		{topicHands, `{"response":"attitude","throttle":-1}`, "hands outside their travel"},
		{topicHash, `{"groups":["x"]}`, "a hash that is not one"},
		{topicEnd, `{`, "unexpected end"},
		{topicTrace, `7`, "cannot unmarshal"},
		{topicDocument, `[]`, "cannot unmarshal"},
	} {
		r := Recording{}
		assert.ErrorContains(t, r.take(c.topic, 20, []byte(c.data)), c.want, c.topic)
	}
}

// Goal: a disk that is full is an error of Close that names the recording, and
// no recording is left, nor is the one before it lost. Method: the device that
// is always full stands where the writer writes.
func TestDiskFull(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("skipped: this system has no /dev/full")
	}
	path := filepath.Join(t.TempDir(), "rehearsal.mcap")
	require.NoError(t, os.WriteFile(path, []byte("the one before"), 0o644))
	require.NoError(t, os.Symlink("/dev/full", path+partial))
	w, err := Create(path, Rehearsal{}, nil)
	if err == nil {
		_, err = w.Close(&sim.Result{})
	}
	require.ErrorContains(t, err, "rehearsal.mcap")
	require.ErrorContains(t, err, "no space left")
	_, err = os.Lstat(path + partial)
	assert.ErrorIs(t, err, os.ErrNotExist)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "the one before", string(before))
}

// FuzzRead checks that no bytes make the reader panic.
func FuzzRead(f *testing.F) {
	f.Add(recorded(f, false))
	f.Fuzz(func(t *testing.T, b []byte) {
		if r, err := readBytes(b); err == nil {
			require.NotEmpty(t, r.Body)
		}
	})
}
