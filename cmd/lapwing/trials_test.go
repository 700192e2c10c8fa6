package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Goal: seeds are read as typed, each once, and nothing else is taken.
func TestParseSeeds(t *testing.T) {
	for text, want := range map[string][]uint64{"1-3": {1, 2, 3}, "7": {7}, "3,5,8": {3, 5, 8}, "9,1-2": {9, 1, 2}} {
		got, err := parseSeeds(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, bad := range []string{"", "a", "3-1", "1,1", "1-3,2", "-1", "1-", "1-9999999", "1.5", "999999999999999999"} {
		_, err := parseSeeds(bad)
		assert.Error(t, err, bad)
	}
}

// Goal: an error outweighs a failure, and both a void case.
func TestCodeOfTrials(t *testing.T) {
	for _, x := range []struct {
		t    told
		want int
	}{{told{Passed: 1, Unscored: 1}, exitGo}, {told{Passed: 1, Void: 1}, exitVoid}, {told{Void: 1, Failed: 1}, exitNoGo},
		{told{Void: 1, Failed: 1, Errors: 1}, exitInternal}} {
		got := exitGo
		var c coded
		if errors.As(x.t.code(), &c) {
			got = c.code
		}
		assert.Equal(t, x.want, got, "%+v", x.t)
	}
}

// Goal: progress says how far it is and how long it will take, and is quiet where
// that would be too often. Method: a countdown that began ten seconds ago.
func TestCountdown(t *testing.T) {
	var out bytes.Buffer
	c := newCountdown(&out, 5)
	c.noted()
	require.Empty(t, out.String())
	c.started, c.last = time.Now().Add(-10*time.Second), time.Now().Add(-time.Minute)
	c.noted()
	assert.Equal(t, "2 of 5 cases flown, about 15s left   \n", out.String())
	c.noted()
	c.done()
	assert.Equal(t, 1, bytes.Count(out.Bytes(), []byte("\n")))
}

// Goal: asked to stop, trials keep what they have, say so, and exit 4; the same
// command then goes on. Method: SIGTERM as soon as the journal has something in it.
func TestStoppedTrialsGoOn(t *testing.T) {
	dir := t.TempDir()
	args := []string{"trials", "--scenarios", "drift-in-hold", "--pilots", "trained", "--seeds", "1-200", "--workers", "1", "--out", dir}
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	var told bytes.Buffer
	cmd.Stderr = &told
	require.NoError(t, cmd.Start())
	for began := time.Now(); time.Since(began) < time.Minute; time.Sleep(10 * time.Millisecond) {
		if info, err := os.Stat(filepath.Join(dir, "journal.jsonl")); err == nil && info.Size() > 0 {
			break
		}
	}
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	require.Error(t, cmd.Wait())
	require.Equal(t, exitVoid, cmd.ProcessState.ExitCode(), told.String())
	assert.Regexp(t, `stopped with [0-9]+ cases to go; the same command goes on from here`, told.String())
	require.NoFileExists(t, filepath.Join(dir, "results.jsonl"))
	require.FileExists(t, filepath.Join(dir, "journal.jsonl"))
}
