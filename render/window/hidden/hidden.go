// Package hidden opens a window that nobody sees, for tests and pictures, and
// starts a screen for it where there is none.
//
// It stands apart from window, so that the station does not carry it.
package hidden

import (
	"bufio"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"lapwing/render/window"
)

// Open opens a hidden window of that size for the length of the test. Without a
// display it starts Xvfb, which ends with the window. Where there is neither, or
// no OpenGL 4.1, the test is skipped with the reason.
func Open(t testing.TB, width, height int) *window.Window {
	t.Helper()
	if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
		startScreen(t)
	}
	w, err := window.Open(window.Options{Title: "Lapwing, a test", Width: width, Height: height, Hidden: true})
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(w.Close)
	return w
}

// startScreen starts Xvfb with Mesa's software rendering.
func startScreen(t testing.TB) {
	t.Helper()
	program, err := exec.LookPath("Xvfb")
	if err != nil {
		t.Skip("no display and no Xvfb: install the Debian packages xvfb and libgl1-mesa-dri")
	}
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer read.Close()
	cmd := exec.Command(program, "-displayfd", "3", "-screen", "0", "1920x1200x24", "+extension", "GLX", "-nolisten", "tcp", "-terminate")
	cmd.ExtraFiles = []*os.File{write}
	err = cmd.Start()
	write.Close()
	if err != nil {
		t.Skip("Xvfb does not start: " + err.Error())
	}
	number := make(chan string, 1)
	go func() {
		line, _ := bufio.NewReader(read).ReadString('\n')
		number <- strings.TrimSpace(line)
	}()
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	select {
	case n := <-number:
		if n == "" {
			t.Skip("Xvfb gives no display")
		}
		t.Setenv("DISPLAY", ":"+n)
		t.Setenv("LIBGL_ALWAYS_SOFTWARE", "1")
	case <-time.After(20 * time.Second):
		t.Skip("Xvfb gives no display within 20 s")
	}
}
