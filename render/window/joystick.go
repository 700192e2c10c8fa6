package window

import (
	"time"

	"github.com/go-gl/glfw/v3.3/glfw"
)

const maxJoysticks = int(glfw.JoystickLast) + 1

// Joystick is a game controller or transmitter as it stood at the last Poll:
// raw axes and buttons in the driver's order, no mapping.
type Joystick struct {
	Present bool
	Name    string
	GUID    string        // stands for make and model
	Axes    []float32     // −1 … 1
	Buttons []bool        // hats follow the buttons, four each
	At      time.Duration // when it was read, on the window's clock
}

// Joysticks returns every place for a game controller; the slices are good until
// the next Poll.
func (v *Window) Joysticks() []Joystick { return v.pads[:] }

// readPads reads every controller and tells of those that came or went.
func (v *Window) readPads() {
	for i := range v.pads {
		p := &v.pads[i]
		id := glfw.Joystick(i)
		present := id.Present()
		if present && !p.Present {
			p.Name, p.GUID = id.GetName(), id.GetGUID()
			v.note(Event{Kind: Plugged, Pad: i})
		}
		if !present && p.Present {
			*p = Joystick{}
			v.note(Event{Kind: Unplugged, Pad: i})
		}
		p.Present = present
		if present {
			v.readPad(id, p)
		}
	}
}

func (v *Window) readPad(id glfw.Joystick, p *Joystick) {
	p.At = v.Now()
	p.Axes = append(p.Axes[:0], id.GetAxes()...)
	p.Buttons = p.Buttons[:0]
	for _, b := range id.GetButtons() { // with the hats, as GLFW's default hint says
		p.Buttons = append(p.Buttons, b == glfw.Press)
	}
}

// pollEvery is the pause between two readings between frames: GLFW keeps only
// the latest state, and a press of 5 ms must not vanish.
const pollEvery = 2 * time.Millisecond

// PollUntil polls at 500 Hz until the window's clock reaches end, and calls each
// after every reading. It polls at least once.
func (v *Window) PollUntil(end time.Duration, each func()) {
	for {
		v.Poll()
		each()
		left := end - v.Now()
		if left <= 0 {
			return
		}
		time.Sleep(min(left, pollEvery))
	}
}
