package flow

import (
	"lapwing/render/devices"
	"lapwing/render/flight"
)

// EventKind is a kind of event.
type EventKind uint8

// The kinds: what a person does, then what the station tells.
const (
	Up EventKind = iota
	Down
	Left
	Right
	Enter
	Back
	Choose    // item N was clicked
	Scroll    // by N items
	Pressed   // Key went down, on a page that waits for one
	WantHelp  // the key or button for it
	WantPause // likewise
	WantAgain // likewise
	WantView  // likewise

	Loaded      // a flight of kind Flight stands ready
	RunOver     // the flight has ended
	CourseEnded // no step is left
)

// Event is something that happened.
type Event struct {
	Kind   EventKind
	N      int
	Key    devices.Key
	Flight flight.Kind
}

// OrderKind is a kind of order.
type OrderKind uint8

// The kinds of orders.
const (
	Opened              OrderKind = iota // Page was opened
	FlyFree                              // free flight, at once
	Load                                 // read Name and make it ready by Setup
	LoadNext                             // the next step of the course
	StartRun                             // count down and fly
	FlyAgain                             // from the start; On: with the new seed
	PauseRun                             // stand still
	GoOn                                 // after a countdown
	StepRun                              // N ticks on, while paused
	EndRun                               // withdraw it
	OpenReplay                           // of the flight that is over
	MakeFork                             // act at Play.After
	SaveTaste                            // and use it
	UseDevice                            // flow's Device from now on
	BeginCalibration                     // of the device in use
	CalibrationNext                      //
	CalibrationBack                      //
	CalibrationThrottle                  // declare: On: springs
	CalibrationLearn                     // switch N of Learned
	CalibrationSave                      //
	BeginBaseline                        //
	Quit                                 //
)

// Order is something that the station is to do.
type Order struct {
	Kind OrderKind
	Page Page
	Name string
	N    int
	On   bool
}
