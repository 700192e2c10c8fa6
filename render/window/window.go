// Package window opens the window of the station, or a hidden one for tests,
// and hands on what keys, pointer and game controllers do.
//
// It stands apart because it alone knows GLFW; all else draws with OpenGL or
// reads plain values. The way of the data, from frame to frame:
//
//  1. Open makes a window with an OpenGL 4.1 core context on the main thread
//  2. Poll collects events and reads every game controller, many times a frame
//  3. the caller draws
//  4. Swap shows what was drawn
//
// Everything here must be called from the goroutine that called Open, which
// must be the main one on macOS.
package window

import (
	"errors"
	"fmt"
	"log"
	"runtime"
	"strings"
	"time"

	"github.com/go-gl/gl/v4.1-core/gl"
	"github.com/go-gl/glfw/v3.3/glfw"
)

func init() { runtime.LockOSThread() } // GLFW wants the main thread on some systems

// ErrNoDisplay is wrapped by the error of Open where there is no display.
var ErrNoDisplay = errors.New("no display was found: the station needs a graphical session (on Linux, DISPLAY or WAYLAND_DISPLAY); lapwing flies without one")

// ErrNoOpenGL is wrapped by the error of Open where there is no OpenGL 4.1.
var ErrNoOpenGL = errors.New("no OpenGL 4.1 core context could be made: update the graphics driver, or use Mesa's software rendering (LIBGL_ALWAYS_SOFTWARE=1)")

// Options say which window to open.
type Options struct {
	Title  string
	Width  int  // points, > 0
	Height int  // points, > 0
	Hidden bool // never shown: for tests and pictures
	VSync  bool // Swap waits for the screen
}

// Window is an open window with a current OpenGL context.
type Window struct {
	w      *glfw.Window
	events []Event
	pads   [maxJoysticks]Joystick
	start  time.Time
}

// Open opens a window. The error wraps ErrNoDisplay or ErrNoOpenGL and is a
// sentence for the person.
func Open(o Options) (*Window, error) {
	runtime.LockOSThread() // an OpenGL context belongs to one thread
	if err := start(); err != nil {
		return nil, fmt.Errorf("%w (%s)", ErrNoDisplay, plain(err))
	}
	hint(o)
	w, err := create(o)
	if err != nil {
		glfw.Terminate()
		return nil, fmt.Errorf("%w (%s)", ErrNoOpenGL, plain(err))
	}
	w.MakeContextCurrent()
	if err := gl.Init(); err != nil {
		w.Destroy()
		glfw.Terminate()
		return nil, fmt.Errorf("%w (%s)", ErrNoOpenGL, plain(err))
	}
	interval := 0
	if o.VSync {
		interval = 1
	}
	glfw.SwapInterval(interval)
	v := &Window{w: w, start: time.Now()}
	v.listen()
	return v, nil
}

// overheard runs do and returns what GLFW's binding wrote to the log meanwhile:
// it writes a platform's errors there and returns none.
func overheard(do func() error) (said string, err error) {
	var text strings.Builder
	before, flags := log.Writer(), log.Flags()
	log.SetOutput(&text)
	log.SetFlags(0)
	defer func() {
		log.SetOutput(before)
		log.SetFlags(flags)
	}()
	err = do()
	return text.String(), err
}

// start starts GLFW.
func start() error {
	said, err := overheard(glfw.Init)
	if err == nil && said != "" {
		return errors.New(said)
	}
	return err
}

// create makes the window.
func create(o Options) (w *glfw.Window, err error) {
	said, err := overheard(func() (err error) {
		w, err = glfw.CreateWindow(o.Width, o.Height, o.Title, nil, nil)
		return err
	})
	if err == nil && w == nil {
		err = errors.New(said)
	}
	return w, err
}

func hint(o Options) {
	glfw.DefaultWindowHints()
	glfw.WindowHint(glfw.ContextVersionMajor, 4)
	glfw.WindowHint(glfw.ContextVersionMinor, 1)
	glfw.WindowHint(glfw.OpenGLProfile, glfw.OpenGLCoreProfile)
	glfw.WindowHint(glfw.OpenGLForwardCompatible, glfw.True)
	glfw.WindowHint(glfw.DepthBits, 24)
	glfw.WindowHint(glfw.ScaleToMonitor, glfw.True)
	if o.Hidden {
		glfw.WindowHint(glfw.Visible, glfw.False)
	}
}

// plain is GLFW's message on one line.
func plain(err error) string { return strings.Join(strings.Fields(err.Error()), " ") }

// Close gives the window back.
func (v *Window) Close() {
	v.w.Destroy()
	glfw.Terminate()
}

// ShouldClose tells whether the person asked for the end.
func (v *Window) ShouldClose() bool { return v.w.ShouldClose() }

// EndSoon makes ShouldClose true.
func (v *Window) EndSoon() { v.w.SetShouldClose(true) }

// Size is the inside of the window in points.
func (v *Window) Size() (width, height int) { return v.w.GetSize() }

// Framebuffer is the inside of the window in pixels.
func (v *Window) Framebuffer() (width, height int) { return v.w.GetFramebufferSize() }

// Scale is how many pixels a point has.
func (v *Window) Scale() float64 {
	points, _ := v.Size()
	pixels, _ := v.Framebuffer()
	if points == 0 {
		return 1
	}
	return float64(pixels) / float64(points)
}

// Swap shows what was drawn since the last Swap.
func (v *Window) Swap() { v.w.SwapBuffers() }

// Now is the time since the window was opened, the clock of its events.
func (v *Window) Now() time.Duration { return time.Since(v.start) }

// Software tells whether the processor draws, so that pictures should be plain.
func (v *Window) Software() bool {
	name := gl.GoStr(gl.GetString(gl.RENDERER))
	return strings.Contains(name, "llvmpipe") || strings.Contains(name, "softpipe") || strings.Contains(name, "Software")
}

// Renderer names the OpenGL version and what draws, for the record of a run.
func (v *Window) Renderer() string {
	return gl.GoStr(gl.GetString(gl.VERSION)) + ", " + gl.GoStr(gl.GetString(gl.RENDERER))
}

// Lend takes the OpenGL context off this goroutine's thread, so that another may
// Take it. Everything but drawing and Swap stays where Open was called.
func (v *Window) Lend() { glfw.DetachCurrentContext() }

// Take makes the OpenGL context current on this goroutine's thread, to which the
// goroutine must be locked.
func (v *Window) Take() { v.w.MakeContextCurrent() }

// Present shows what was drawn, and goes on polling while the graphics side is
// still at work: drawing by the processor alone can take longer than a quick
// press lasts. each is called after every reading.
func (v *Window) Present(each func()) {
	done := gl.FenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0)
	gl.Flush()
	for {
		v.Poll()
		each()
		state := gl.ClientWaitSync(done, 0, uint64(pollEvery.Nanoseconds()))
		if state != gl.TIMEOUT_EXPIRED {
			break
		}
	}
	gl.DeleteSync(done)
	v.Swap()
}
