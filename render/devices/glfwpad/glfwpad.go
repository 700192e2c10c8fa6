// Package glfwpad reads game controllers through GLFW.
//
// It stands apart because it alone of the devices knows a driver. GLFW keeps only
// the latest state of a controller, so Poll must be called 250 times a second or
// more, while pictures are drawn as well as between them: a press that comes and
// goes between two polls was never there. Like all of GLFW's input it belongs to
// the main thread; render/window calls back often enough while it shows a picture.
package glfwpad

import (
	"time"

	"github.com/go-gl/glfw/v3.3/glfw"

	"lapwing/render/devices"
)

const places = int(glfw.JoystickLast) + 1

// Pads is every game controller that is there. The zero value is ready once GLFW
// is initialised.
type Pads struct {
	known    [places]known
	readings []devices.Reading
}

// known is what does not change while a controller is there.
type known struct {
	here       bool
	guid, name string
	gamepad    bool
}

// Poll reads every controller; at is the time now. The readings are good until
// the next Poll. A controller that GLFW knows as a gamepad gives its axes and
// buttons in the standard order, any other one as its driver does, hats last.
//
// That a controller came or went GLFW learns in glfw.PollEvents only.
func (p *Pads) Poll(at time.Duration) []devices.Reading {
	n := 0
	for i := range p.known {
		k, id := &p.known[i], glfw.Joystick(i)
		if !id.Present() {
			k.here = false
			continue
		}
		if !k.here {
			*k = known{true, id.GetGUID(), id.GetName(), id.IsGamepad()}
		}
		if n == len(p.readings) {
			p.readings = append(p.readings, devices.Reading{})
		}
		r := &p.readings[n]
		r.GUID, r.Name, r.Gamepad, r.At = k.guid, k.name, k.gamepad, at
		if read(id, r) {
			n++
		}
	}
	return p.readings[:n]
}

func read(id glfw.Joystick, r *devices.Reading) bool {
	r.Axes, r.Buttons = r.Axes[:0], r.Buttons[:0]
	if r.Gamepad {
		state := id.GetGamepadState()
		if state == nil {
			return false // it went just now
		}
		r.Axes = append(r.Axes, state.Axes[:]...)
		for _, b := range state.Buttons {
			r.Buttons = append(r.Buttons, b == glfw.Press)
		}
		return true
	}
	r.Axes = append(r.Axes, id.GetAxes()...)
	for _, b := range id.GetButtons() {
		r.Buttons = append(r.Buttons, b == glfw.Press)
	}
	return true
}
