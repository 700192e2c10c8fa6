package devices

import (
	"errors"
	"fmt"

	"lapwing/sim/control"
)

// Taste is how one person likes to fly, whatever the device.
type Taste struct {
	Layout      Layout
	Shape       Shape               // of roll, pitch and yaw; a throttle that springs to centre has its dead-band
	ThrottleMap control.ThrottleMap // what the throttle stick does in direct thrust
	Keyboard    Keyboard
}

// DefaultTaste is layout 2 and gentle sticks. A throttle that springs to its
// centre sets how fast thrust changes: letting go then changes nothing, whereas
// with direct thrust it would command half of full thrust.
func DefaultTaste() Taste {
	return Taste{Layout: 2, Shape: DefaultShape(), ThrottleMap: control.RateOfThrust, Keyboard: DefaultKeyboard()}
}

// Validate reports every fault at once.
func (t *Taste) Validate() error {
	var errs []error
	if !t.Layout.Valid() {
		errs = append(errs, fmt.Errorf("layout %d: there are 1 to %d", t.Layout, Layouts))
	}
	if t.ThrottleMap > control.UpperHalf {
		errs = append(errs, errors.New("no such mapping of the throttle"))
	}
	return errors.Join(append(errs, t.Shape.Validate(), t.Keyboard.Validate())...)
}
