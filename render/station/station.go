// Package station is the program of the window: it takes what keys, pointer and
// controllers do, lets the flight go on, and shows it, frame after frame.
//
// It stands apart from the command, so that tests drive the very same station with
// nothing but devices. The way of the data in a frame (frame.go):
//
//  1. what happened since the last one becomes hands, or events of the flow
//     (input.go)
//  2. the flow's orders are carried out                  (orders.go, finish.go)
//  3. the flight turns the ticks that are due
//  4. what is to be seen is put together and drawn       (show.go, wash.go)
//  5. while the picture is made, devices are read on
//  6. steadiness and delay are noted                     (delay.go)
package station

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"lapwing/render/clock"
	"lapwing/render/devices"
	"lapwing/render/devices/glfwpad"
	"lapwing/render/flight"
	"lapwing/render/flow"
	"lapwing/render/pages"
	"lapwing/render/settings"
	"lapwing/render/sound"
	"lapwing/render/sound/speaker"
	"lapwing/render/stage"
	"lapwing/render/window"
	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/pilot"
	"lapwing/sim/trials"
)

// Options say how the station opens.
type Options struct {
	Scenario string // to begin with; "" for free flight
	Pilot    string // a modelled person at the sticks, "" for whoever sits there
	Seed     uint64
	Instead  scenarios.Instead
	View     flow.View
	Cage     bool
	Scale    float64        // of letters, on top of the person's choice
	Out      string         // folder under which flights are kept; "" for one in the settings' folder
	Store    settings.Store // where choices are kept
	Mute     bool
	Now      func() time.Duration // nil: the window's clock
}

// Station is a station at work.
type Station struct {
	o   Options
	win *window.Window
	now func() time.Duration

	stage   *stage.Stage
	entered built // that the stage holds
	model   *flow.Model
	pads    glfwpad.Pads
	plugs   devices.Plugs
	mapper  *devices.Mapper
	reads   []devices.Reading // at the last poll
	profile devices.Profile   // of the device in use
	inUse   devices.Reading   // it, without its axes; no GUID: the keyboard
	menu    menuPad

	flight   *flight.Flight
	bundle   *scenarios.Bundle // as it stands in its files, without hand and levers
	person   pilot.Pilot       // modelled, nil where somebody sits here
	again    int               // of free flight, as last seen
	first    sim.World         // as atFirst shows it
	course   *scenarios.Course
	sitting  *trials.Sitting
	try      trials.Try
	finished *flight.Finished // of the flight that is over
	taken    *flight.Taken
	results  chan result
	writing  sync.WaitGroup
	number   int // of the flight whose result is waited for
	wash     *pages.Wash
	fork     *flight.Fork
	play     clock.Clock
	asked    *devices.Calibration

	speaker  *speaker.Speaker
	captions sound.Captions
	caption  []string
	delay    delay
	steady   watch
	baseline baseline
	notes    []note
	fault    string
	hint     hint
	hits     pages.Hits
	scratch  scratch
	strip    [4]int16 // sticks in the last picture of a flight
	drawer   *drawer  // nil until the first frame
}

// built names what a stage was built for.
type built struct {
	craft, room string
	seed        uint64
}

// note is a short line over the room, until a time.
type note struct {
	text  string
	until time.Duration
}

// New makes a station in an open window. It begins in free flight, or with the
// scenario of the options.
func New(win *window.Window, o Options) (*Station, error) {
	s := &Station{o: o, win: win, now: o.Now, results: make(chan result, 4)}
	if s.now == nil {
		s.now = win.Now
	}
	smooth := stage.Smooth
	if win.Software() {
		smooth = stage.Plain
	}
	var err error
	if s.stage, err = stage.New(smooth); err != nil {
		return nil, err
	}
	s.readChoices()
	s.speaker = speaker.Mute()
	if !o.Mute {
		s.speaker = speaker.Open(s.model.Taste.Sound.Volume)
	}
	s.mapper = devices.NewMapper(s.model.Taste.Taste)
	s.model.View, s.model.Cage = o.View, o.Cage
	s.model.Setup.Seed = max(o.Seed, 1)
	s.poll()
	s.pickDevice()
	if s.model.Entries, err = entries(); err != nil {
		return nil, err
	}
	s.model.Rooms = scenarios.Names(scenarios.KindRoom)
	return s, s.begin()
}

// begin opens free flight, or what was asked for.
func (s *Station) begin() error {
	if err := s.flyFree(); err != nil {
		return err
	}
	if s.o.Scenario == "" {
		return nil
	}
	s.model.Name, s.model.Guide = s.o.Scenario, flow.Guide{}
	s.model.Setup.Kind = flight.Scored
	if s.o.Pilot != "" {
		s.model.Setup.Kind, s.model.Checked = flight.Practice, true
	}
	return s.load(s.o.Scenario)
}

// readChoices reads what the person has chosen before; the first time there is
// nothing, and the guide begins.
func (s *Station) readChoices() {
	const first = "T01"
	taste, err := s.o.Store.Trainee(first)
	s.model = flow.New(first, taste)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		s.model.Guide.On = s.o.Scenario == ""
	case err != nil:
		s.fault = err.Error()
	}
}

// Close lets everything go, once what is being written is written.
func (s *Station) Close() {
	s.writing.Wait()
	s.speaker.Close()
	if s.drawer != nil {
		s.drawer.close()
	}
	s.stage.Leave()
}

// folderFor is where a flight is kept.
func (s *Station) folderFor(name string, seed uint64) string {
	base := s.o.Out
	if base == "" {
		base = filepath.Join(s.o.Store.Dir, "flights")
	}
	stamp := time.Now().Format("2006-01-02-150405")
	dir := filepath.Join(base, fmt.Sprintf("%s-%s-seed-%d", stamp, name, seed))
	for i := 2; ; i++ {
		if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
			return dir
		}
		dir = filepath.Join(base, fmt.Sprintf("%s-%s-seed-%d-%d", stamp, name, seed, i))
	}
}

// entries lists what can be picked: scenarios, then courses.
func entries() ([]flow.Entry, error) {
	var all []flow.Entry
	for _, name := range scenarios.Names(scenarios.KindScenario) {
		b, err := scenarios.Load(scenarios.Catalogue(), name)
		if err != nil {
			return nil, err
		}
		all = append(all, flow.Entry{Name: name, Title: b.Title, Lines: b.Briefing, Where: b.CraftTitle + ". " + b.RoomTitle + "."})
	}
	for _, name := range scenarios.Names(scenarios.KindCourse) {
		c, err := scenarios.LoadCourse(scenarios.Catalogue(), name)
		if err != nil {
			return nil, err
		}
		all = append(all, flow.Entry{Name: name, Title: c.Title, Course: true, Lines: append(append([]string{}, c.Briefing...), c.Standards...), Where: fmt.Sprintf("%d steps.", len(c.Steps))})
	}
	return all, nil
}

// say puts a note over the room for a while.
func (s *Station) say(text string, stays time.Duration) {
	s.notes = append(s.notes, note{text, s.now() + stays})
}
