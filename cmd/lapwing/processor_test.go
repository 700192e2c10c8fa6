package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// built builds the headless program for another processor and returns how to
// call it.
func built(t *testing.T, under []string, env ...string) func(args ...string) (out string, err error) {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "lapwing")
	compile := exec.Command("go", "build", "-buildvcs=false", "-o", binary, ".")
	compile.Env = append(append(os.Environ(), "GOOS=linux", "CGO_ENABLED=0"), env...)
	text, err := compile.CombinedOutput()
	require.NoError(t, err, string(text))
	return func(args ...string) (string, error) {
		words := append(append([]string{}, under...), binary)
		out, err := exec.Command(words[0], append(words[1:], args...)...).CombinedOutput()
		return string(out), err
	}
}

// flights are flown on both processors. Between them they pass every stage of
// the tick: each response type, path, injects of craft, link and estimate, and
// the modelled people.
var flights = [][]string{
	{"figure-eight", "--pilot", "trained", "--seed", "5"},
	{"drift-in-hold", "--pilot", "trained", "--seed", "7"},
	{"motor-failure-hexa", "--pilot", "expert", "--seed", "2"},
	{"lost-link-in-hold", "--pilot", "novice", "--seed", "4"},
	{"gust-in-attitude", "--pilot", "trained", "--seed", "3"},
	{"voltage-sag", "--pilot", "ideal", "--seed", "1"},
	{"drift-in-hold", "--pilot", "wait-then-attitude", "--seed", "6", "--law", "gentle", "--craft", "quad-250g"},
}

// agree flies each of the flights on this processor and on the other, and holds
// their recordings to be the same bytes and to replay on both.
func agree(t *testing.T, other func(args ...string) (string, error)) {
	for _, flight := range flights {
		name := strings.Join(flight, " ")
		here, there := filepath.Join(t.TempDir(), "here"), filepath.Join(t.TempDir(), "there")
		args := append(append([]string{"fly"}, flight...), "--no-time-available", "--out")
		code, _, errOut := typed(append(args, here)...)
		require.NotEqual(t, exitUsage, code, errOut)
		out, _ := other(append(args, there)...)
		require.Contains(t, out, "Result: ", "%s\n%s", name, out)
		a, err := os.ReadFile(filepath.Join(here, "rehearsal.mcap"))
		require.NoError(t, err)
		b, err := os.ReadFile(filepath.Join(there, "rehearsal.mcap"))
		require.NoError(t, err)
		if string(a) != string(b) {
			_, told, _ := typed("replay", "--brief", filepath.Join(there, "rehearsal.mcap"))
			require.Fail(t, "the recordings differ", "%s: %s", name, told)
		}
		out, err = other("replay", "--brief", filepath.Join(here, "rehearsal.mcap"))
		require.NoError(t, err, out)
		require.Contains(t, out, "Verified", name)
		t.Logf("the same bytes: %s (%d)", name, len(a))
	}
}

func slowLane(t *testing.T) {
	t.Helper()
	if os.Getenv("LAPWING_SLOW") != "1" {
		t.Skip("skipped: a slow lane; LAPWING_SLOW=1 runs it")
	}
}

// Goal: a recording is the same bytes on arm64. Method: build for it, and fly and
// replay under an emulator, which rounds fused products as the processor does.
func TestOtherProcessorArm64(t *testing.T) {
	slowLane(t)
	emulator, err := exec.LookPath("qemu-aarch64")
	if err != nil {
		emulator, err = exec.LookPath("qemu-aarch64-static")
	}
	if err != nil {
		t.Skip("skipped: no qemu-aarch64 on this machine (Debian package qemu-user)")
	}
	agree(t, built(t, []string{emulator}, "GOARCH=arm64"))
}

// Goal: the same at level 3 of amd64, where Go may fuse products. Method: build
// for it and run it here, where the processor can.
func TestOtherProcessorAmd64Level3(t *testing.T) {
	slowLane(t)
	info, err := os.ReadFile("/proc/cpuinfo")
	if runtime.GOARCH != "amd64" || err != nil {
		t.Skip("skipped: this is not amd64 with Linux")
	}
	for _, feature := range []string{"avx2", "bmi1", "bmi2", "f16c", "fma", "movbe"} {
		if !strings.Contains(string(info), " "+feature+" ") {
			t.Skip("skipped: this processor lacks " + feature)
		}
	}
	agree(t, built(t, nil, "GOARCH=amd64", "GOAMD64=v3"))
}
