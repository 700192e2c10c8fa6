package window

import (
	"time"

	"github.com/go-gl/glfw/v3.3/glfw"
)

// EventKind says what happened.
type EventKind uint8

// The kinds of events.
const (
	KeyDown     EventKind = iota // Key went down
	KeyRepeat                    // Key is held and repeats
	KeyUp                        // Key went up
	Typed                        // Rune was typed
	PointerMove                  // pointer is at X, Y
	PointerDown                  // Button went down at X, Y
	PointerUp                    // Button went up at X, Y
	Wheel                        // wheel turned by Y
	Focus                        // the window got (On) or lost the keys
	Plugged                      // game controller Pad was plugged in
	Unplugged                    // game controller Pad was taken away
)

// Event is one thing that happened to the window.
type Event struct {
	At     time.Duration // on the window's clock
	Kind   EventKind
	Key    Key
	Shift  bool // held with the key
	Ctrl   bool // held with the key
	Rune   rune
	X, Y   float64 // points, from the upper left corner, y down
	Button int     // of the pointer: 0 left, 1 right, 2 middle
	On     bool
	Pad    int // index of the game controller
}

// Key is a place on the keyboard.
type Key int

// Keys with a name of their own. Letters and digits are their ASCII capitals,
// by place on a US board.
const (
	KeySpace  = Key(glfw.KeySpace)
	KeyEscape = Key(glfw.KeyEscape)
	KeyEnter  = Key(glfw.KeyEnter)
	KeyTab    = Key(glfw.KeyTab)
	KeyBack   = Key(glfw.KeyBackspace)
	KeyRight  = Key(glfw.KeyRight)
	KeyLeft   = Key(glfw.KeyLeft)
	KeyDownK  = Key(glfw.KeyDown)
	KeyUpK    = Key(glfw.KeyUp)
	KeyF1     = Key(glfw.KeyF1)
	KeyF2     = Key(glfw.KeyF2)
	KeyF3     = Key(glfw.KeyF3)
	KeyF4     = Key(glfw.KeyF4)
	KeyHome   = Key(glfw.KeyHome)
	KeyEnd    = Key(glfw.KeyEnd)
	KeyPrior  = Key(glfw.KeyPageUp)
	KeyNext   = Key(glfw.KeyPageDown)
)

// Pressed tells whether k is down at the last Poll.
func (v *Window) Pressed(k Key) bool { return v.w.GetKey(glfw.Key(k)) == glfw.Press }

// Pointer is where the pointer is, in points.
func (v *Window) Pointer() (x, y float64) { return v.w.GetCursorPos() }

// Poll collects what happened and reads the game controllers. It does not wait.
func (v *Window) Poll() {
	glfw.PollEvents()
	v.readPads()
}

// Events returns what happened since the last call, oldest first. The slice is
// good until the next Poll.
func (v *Window) Events() []Event {
	e := v.events
	v.events = v.events[len(v.events):]
	return e
}

func (v *Window) note(e Event) {
	e.At = v.Now()
	v.events = append(v.events, e)
}

func (v *Window) listen() {
	v.w.SetKeyCallback(func(_ *glfw.Window, key glfw.Key, _ int, action glfw.Action, mods glfw.ModifierKey) {
		kind := KeyDown
		switch action {
		case glfw.Release:
			kind = KeyUp
		case glfw.Repeat:
			kind = KeyRepeat
		}
		v.note(Event{Kind: kind, Key: Key(key), Shift: mods&glfw.ModShift != 0, Ctrl: mods&glfw.ModControl != 0})
	})
	v.w.SetCharCallback(func(_ *glfw.Window, r rune) { v.note(Event{Kind: Typed, Rune: r}) })
	v.w.SetCursorPosCallback(func(_ *glfw.Window, x, y float64) { v.note(Event{Kind: PointerMove, X: x, Y: y}) })
	v.w.SetMouseButtonCallback(func(_ *glfw.Window, b glfw.MouseButton, action glfw.Action, _ glfw.ModifierKey) {
		kind := PointerDown
		if action == glfw.Release {
			kind = PointerUp
		}
		x, y := v.Pointer()
		v.note(Event{Kind: kind, Button: int(b), X: x, Y: y})
	})
	v.w.SetScrollCallback(func(_ *glfw.Window, _, y float64) { v.note(Event{Kind: Wheel, Y: y}) })
	v.w.SetFocusCallback(func(_ *glfw.Window, on bool) { v.note(Event{Kind: Focus, On: on}) })
}
