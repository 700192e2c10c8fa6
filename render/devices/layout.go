package devices

// Place is one of the four ways in which two sticks move. Right and up are
// positive.
type Place uint8

// The places.
const (
	LeftX Place = iota
	LeftY
	RightX
	RightY
	Places // how many there are
)

var placeWords = [Places]string{"left_x", "left_y", "right_x", "right_y"}

// String returns the word for p.
func (p Place) String() string { return placeWords[min(p, Places-1)] }

// Axis is what a stick commands.
type Axis uint8

// The axes of command.
const (
	Throttle Axis = iota
	Roll
	Pitch
	Yaw
	Axes // how many there are
)

var axisWords = [Axes]string{"throttle", "roll", "pitch", "yaw"}

// String returns the word for a.
func (a Axis) String() string { return axisWords[min(a, Axes-1)] }

// Layout is a stick layout, 1 to 4. Published sources disagree about 3 and 4;
// here 3 is the mirror of 2 and 4 that of 1, and the page shows a picture with
// the names of the axes.
type Layout uint8

// Layouts is how many there are.
const Layouts = 4

var layouts = [Layouts][Axes]Place{
	{Throttle: RightY, Roll: RightX, Pitch: LeftY, Yaw: LeftX}, // 1
	{Throttle: LeftY, Roll: RightX, Pitch: RightY, Yaw: LeftX}, // 2
	{Throttle: RightY, Roll: LeftX, Pitch: LeftY, Yaw: RightX}, // 3
	{Throttle: LeftY, Roll: LeftX, Pitch: RightY, Yaw: RightX}, // 4
}

// Of returns the place that commands a. l is 1 to 4.
func (l Layout) Of(a Axis) Place { return layouts[l-1][a] }

// At returns what place p commands. l is 1 to 4.
func (l Layout) At(p Place) Axis {
	for a, place := range layouts[l-1] {
		if place == p {
			return Axis(a)
		}
	}
	panic("devices: a layout without a place")
}

// Valid tells whether l is one of the four.
func (l Layout) Valid() bool { return l >= 1 && l <= Layouts }
