package main

import (
	"bytes"
	"os"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"lapwing/sim/folder"
)

// TestSaysWhatIsMissing: goal: whatever is missing or wrong is one sentence and exit
// code 2, never a panic. Method: without a display, and with flags that are none.
func TestSaysWhatIsMissing(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("elsewhere no variable names the display")
	}
	for _, name := range [...]string{"DISPLAY", "WAYLAND_DISPLAY"} {
		t.Setenv(name, "")
		os.Unsetenv(name)
	}
	for _, x := range []struct {
		args []string
		want string
	}{
		{[]string{"--settings", t.TempDir()}, "no display was found"},
		{[]string{"--view", "side"}, "--view is pilot, following or top"},
		{[]string{"--scale", "9"}, "--scale 0.7 to 3"},
		{[]string{"--nonsense"}, "unknown flag"},
		{[]string{"a", "b"}, "accepts at most 1 arg"},
	} {
		var out, errOut bytes.Buffer
		assert.Equal(t, exitUsage, run(x.args, &out, &errOut), x.args)
		assert.Contains(t, errOut.String(), x.want)
		assert.Equal(t, 1, strings.Count(errOut.String(), "\n"), errOut.String())
	}
	var out bytes.Buffer
	assert.Zero(t, run([]string{"--version"}, &out, &out))
	assert.Contains(t, out.String(), folder.Version)
}
