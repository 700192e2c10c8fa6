package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// asProgram makes this test's binary the program itself, so that it can be killed.
const asProgram = "LAPWING_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		return
	}
	os.Exit(m.Run())
}

// Goal: killed at any moment and run again, trials give the bytes of an unbroken
// run. Method: SIGKILL after a random while, again and again in the same folder,
// until it comes to its end; five kills here, fifty in the slow lane.
func TestKilledTrialsGoOn(t *testing.T)     { killed(t, 5) }
func TestKilledTrialsGoOnSlow(t *testing.T) { slowly(t); killed(t, 50) }

func slowly(t *testing.T) {
	t.Helper()
	if os.Getenv("LAPWING_SLOW") == "" {
		t.Skip("skipped: the slow lane, set LAPWING_SLOW=1")
	}
}

func killed(t *testing.T, kills int) {
	dir := t.TempDir()
	args := func(out string, workers int) *exec.Cmd {
		cmd := exec.Command(os.Args[0], "trials", "--scenarios", "arm-and-disarm,first-lift", "--pilots", "none,novice,trained+0.5s",
			"--seeds", "1-4", "--limit-ticks", "15000", "--workers", strconv.Itoa(workers), "--out", filepath.Join(dir, out))
		cmd.Env = append(os.Environ(), asProgram+"=1")
		return cmd
	}
	began := time.Now()
	code := exitOf(t, args("unbroken", 1))
	lasted := time.Since(began)
	dice := rand.New(rand.NewPCG(uint64(kills), 1))
	folder := 0
	for done := 0; done < kills; done++ {
		cmd := args(strconv.Itoa(folder), 1+done%3)
		require.NoError(t, cmd.Start())
		time.Sleep(time.Duration(dice.Float64() * 0.7 * float64(lasted)))
		require.NoError(t, cmd.Process.Kill())
		if err := cmd.Wait(); err == nil || cmd.ProcessState.Exited() { // it had come to its end
			require.Equal(t, code, cmd.ProcessState.ExitCode())
			same(t, dir, "unbroken", strconv.Itoa(folder))
			folder++
		}
	}
	require.Equal(t, code, exitOf(t, args(strconv.Itoa(folder), 2)))
	same(t, dir, "unbroken", strconv.Itoa(folder))
}

func exitOf(t *testing.T, cmd *exec.Cmd) int {
	t.Helper()
	text, err := cmd.CombinedOutput()
	if _, failed := err.(*exec.ExitError); !failed {
		require.NoError(t, err, string(text))
	}
	return cmd.ProcessState.ExitCode()
}

// same holds two folders of results to each other, byte for byte.
func same(t *testing.T, dir, a, b string) {
	t.Helper()
	for _, name := range []string{"results.jsonl", "results.parquet", "junit.xml", "summary.json", "trials.json"} {
		left, err := os.ReadFile(filepath.Join(dir, a, name))
		require.NoError(t, err)
		right, err := os.ReadFile(filepath.Join(dir, b, name))
		require.NoError(t, err)
		require.True(t, bytes.Equal(left, right), "%s of %s and %s", name, a, b)
	}
	left, err := filepath.Glob(filepath.Join(dir, b, "*part*"))
	require.NoError(t, err)
	for _, torn := range left { // a kill may leave the beginning of a file under a name of its own, and nothing else
		require.NotContains(t, []string{"results.jsonl", "trials.json"}, filepath.Base(torn))
	}
}
