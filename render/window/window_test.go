package window_test

import (
	"errors"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"lapwing/render/window"
	"lapwing/render/window/hidden"
)

// TestNoDisplay: goal: without a display there is a sentence, no panic. Method:
// the variables that name a display are taken away.
func TestNoDisplay(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("elsewhere there is no such variable")
	}
	for _, name := range [...]string{"DISPLAY", "WAYLAND_DISPLAY"} {
		t.Setenv(name, "")
		os.Unsetenv(name)
	}
	_, err := window.Open(window.Options{Title: "none", Width: 100, Height: 100, Hidden: true})
	assert.True(t, errors.Is(err, window.ErrNoDisplay), "%v", err)
	assert.NotContains(t, err.Error(), "\n")
}

// TestOpenPollAndClose: goal: a window opens, is polled at 250 Hz or more between
// frames, and can be opened again. Method: 100 ms of polling, counted, the best of
// eight because tests share their processors; twice.
func TestOpenPollAndClose(t *testing.T) {
	for range 2 {
		t.Run("again", func(t *testing.T) {
			w := hidden.Open(t, 320, 200)
			width, height := w.Size()
			assert.Equal(t, [2]int{320, 200}, [2]int{width, height})
			assert.True(t, strings.HasPrefix(w.Renderer(), "4."), w.Renderer())
			w.Poll() // the first one looks for controllers
			most := 0
			for range 8 {
				n := 0
				w.PollUntil(w.Now()+100*time.Millisecond, func() { n++ })
				most = max(most, n)
			}
			assert.GreaterOrEqual(t, most, 25, "250 Hz for 100 ms")
			n := 0
			w.Present(func() { n++ })
			assert.Positive(t, n)
			assert.False(t, w.ShouldClose())
			w.EndSoon()
			assert.True(t, w.ShouldClose())
		})
	}
}
