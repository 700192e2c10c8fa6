package devices

import (
	"errors"
	"fmt"

	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// Profile is what one make of device is like. It holds for everybody who flies
// with it.
type Profile struct {
	Name     string // for people
	Sticks   [Places]Channel
	Throttle control.ThrottleKind // declared: how the throttle stick behaves when let go
	Switches []Switch
	Guessed  bool // nobody has looked at it yet: the order of its axes is a guess
}

// Channel is the axis of the device that one stick moves along.
type Channel struct {
	Axis   int // number, the driver's order
	Travel Travel
}

// MostSwitches bounds the switches of a profile.
const MostSwitches = 64

// Validate reports every fault at once.
func (p *Profile) Validate() error {
	var errs []error
	used := map[int]Place{}
	for i := range p.Sticks {
		c, place := &p.Sticks[i], Place(i)
		if c.Axis < 0 {
			errs = append(errs, fmt.Errorf("%s: axis %d: axes are numbered from 0", place, c.Axis))
		}
		if other, twice := used[c.Axis]; twice {
			errs = append(errs, fmt.Errorf("%s: axis %d is %s already", place, c.Axis, other))
		}
		used[c.Axis] = place
		if err := c.Travel.Validate(); err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", place, err))
		}
	}
	if len(p.Switches) > MostSwitches {
		errs = append(errs, fmt.Errorf("%d switches: at most %d", len(p.Switches), MostSwitches))
	}
	for i := range p.Switches {
		if err := p.Switches[i].Validate(); err != nil {
			errs = append(errs, fmt.Errorf("switch %d: %w", i+1, err))
		}
	}
	return errors.Join(errs...)
}

// The standard order of a gamepad, as GLFW gives it (input guide, "Gamepad
// input"): axes left x, left y, right x, right y, left trigger, right trigger;
// y axes are positive down.
const (
	padSouth  = 0
	padEast   = 1
	padWest   = 2
	padNorth  = 3
	padLeft   = 4 // bumper
	padRight  = 5 // bumper
	padBack   = 6
	padStart  = 7
	padGuide  = 8
	padThumbL = 9
	padThumbR = 10
	padUp     = 11
	padEastD  = 12
	padDown   = 13
	padWestD  = 14
)

// DefaultProfile is a profile with which a device can be flown at once. A gamepad
// has its standard order and a throttle that springs to the centre. Of any other
// device the first four axes are taken for roll, pitch, throttle, yaw, as most
// transmitters send them (common practice), in layout 2, with a throttle that
// holds its place; that is a guess, and marked so.
func DefaultProfile(r *Reading) Profile {
	if r.Gamepad {
		return gamepad(r.Name)
	}
	p := Profile{Name: r.Name, Throttle: control.Holds, Guessed: true, Switches: []Switch{
		button(Do(DoArm), 0, StyleToggle), button(Do(DoCutOff), 1, StyleLatched),
		button(Select(hands.Attitude), 2, 0), button(Select(hands.HeightHold), 3, 0),
		button(Select(hands.PositionHold), 4, 0), button(Select(hands.Path), 5, 0),
	}}
	for place, axis := range map[Place]int{RightX: 0, RightY: 1, LeftY: 2, LeftX: 3} {
		p.Sticks[place] = Channel{axis, FullTravel()}
	}
	return p
}

func gamepad(name string) Profile {
	down := FullTravel()
	down.Reverse = true
	return Profile{
		Name:     name,
		Sticks:   [Places]Channel{LeftX: {0, FullTravel()}, LeftY: {1, down}, RightX: {2, FullTravel()}, RightY: {3, down}},
		Throttle: control.SpringsToCentre,
		Switches: []Switch{
			button(Do(DoCutOff), padEast, StyleLatched),
			button(Do(DoArm), padLeft, StyleToggle),
			button(Select(hands.Attitude), padDown, 0),
			button(Select(hands.HeightHold), padWestD, 0),
			button(Select(hands.PositionHold), padUp, 0),
			button(Select(hands.Path), padEastD, 0),
			button(Call(hands.CallAreaClear), padSouth, 0),
			button(Call(hands.CallTakingOver), padNorth, 0),
			button(Call(hands.CallLinkLost), padWest, 0),
			button(Call(hands.CallStandClear), padRight, 0),
			button(Call(hands.CallMotorsSafe), padThumbR, 0),
			button(Call(hands.CallStop), padThumbL, 0),
			button(Do(DoPause), padStart, 0),
			button(Do(DoAgain), padBack, 0),
			button(Do(DoHelp), padGuide, 0),
		},
	}
}

func button(does Action, index int, style Style) Switch {
	return Switch{Does: does, From: Source{Kind: FromButton, Index: index}, Positions: 2, Style: style}
}

// sticks returns where the four sticks stand, −1 … 1, up and right positive. The
// place that commands the throttle has no centre where the throttle holds.
func (p *Profile) sticks(r *Reading, throttle Place) (at [Places]float64) {
	for i := range p.Sticks {
		c := &p.Sticks[i]
		raw := r.axis(c.Axis)
		if Place(i) == throttle && p.Throttle == control.Holds {
			at[i] = c.Travel.Straight(raw)
		} else {
			at[i] = c.Travel.Position(raw)
		}
	}
	return at
}
