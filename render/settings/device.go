package settings

import (
	"fmt"
	"strconv"

	"lapwing/render/devices"
	"lapwing/render/words"
	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// deviceFile is a device as its file has it.
type deviceFile struct {
	Version  int                    `yaml:"lapwing_settings"`
	Name     string                 `yaml:"name"`
	Throttle string                 `yaml:"throttle_stick"`
	Sticks   map[string]channelFile `yaml:"sticks"`
	Switches []switchFile           `yaml:"switches"`
}

type channelFile struct {
	Axis    int     `yaml:"axis"`
	Low     float64 `yaml:"low"`
	Centre  float64 `yaml:"centre"`
	High    float64 `yaml:"high"`
	Reverse bool    `yaml:"reverse"`
}

type switchFile struct {
	Does      string   `yaml:"does"`
	Button    *int     `yaml:"button,omitempty"`
	Buttons   []int    `yaml:"buttons,omitempty,flow"`
	Axis      *int     `yaml:"axis,omitempty"`
	Reverse   bool     `yaml:"reverse,omitempty"`
	Positions int      `yaml:"positions,omitempty"`
	Press     string   `yaml:"press,omitempty"`
	Selects   []string `yaml:"selects,omitempty,flow"`
}

// Device reads what is known of a make of device. An error that is
// fs.ErrNotExist means: nothing yet.
func (s Store) Device(guid string) (devices.Profile, error) {
	path, err := s.path("devices", guid)
	if err != nil {
		return devices.Profile{}, err
	}
	var f deviceFile
	n, err := read(path, &f, &f.Version)
	if err != nil {
		return devices.Profile{}, err
	}
	p := f.profile(n)
	return p, n.err()
}

// SaveDevice writes what is known of a make of device.
func (s Store) SaveDevice(guid string, p *devices.Profile) error {
	path, err := s.path("devices", guid)
	if err != nil {
		return err
	}
	if err := p.Validate(); err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	data, err := write(words.Say("settings.device"), deviceOf(p))
	if err != nil {
		return err
	}
	return s.save(path, data)
}

// Devices lists the GUIDs of the devices that have a file.
func (s Store) Devices() []string { return s.names("devices") }

func (f *deviceFile) profile(n *notes) devices.Profile {
	p := devices.Profile{Name: f.Name}
	var err error
	p.Throttle, err = throttleKind(f.Throttle)
	n.at(err, "throttle_stick")
	for place := range devices.Places {
		word := place.String()
		c, ok := f.Sticks[word]
		if !ok {
			n.at(fmt.Errorf("%s is missing", word), "sticks")
			continue
		}
		p.Sticks[place] = devices.Channel{Axis: c.Axis, Travel: devices.Travel{Low: c.Low, Centre: c.Centre, High: c.High, Reverse: c.Reverse}}
	}
	for word := range f.Sticks {
		if !isPlace(word) {
			n.at(fmt.Errorf("%s is no stick: there are left_x, left_y, right_x, right_y", word), "sticks", word)
		}
	}
	for i := range f.Switches {
		s, err := f.Switches[i].value()
		n.at(err, "switches", strconv.Itoa(i))
		p.Switches = append(p.Switches, s)
	}
	if len(n.faults) == 0 {
		n.at(p.Validate())
	}
	return p
}

func isPlace(word string) bool {
	for p := range devices.Places {
		if p.String() == word {
			return true
		}
	}
	return false
}

func throttleKind(word string) (control.ThrottleKind, error) {
	for _, k := range []control.ThrottleKind{control.Holds, control.SpringsToCentre} {
		if k.String() == word {
			return k, nil
		}
	}
	return 0, fmt.Errorf("%q: the throttle %s or %s", word, control.Holds, control.SpringsToCentre)
}

func (f *switchFile) value() (s devices.Switch, err error) {
	if s.Does, err = devices.ParseAction(f.Does); err != nil {
		return s, err
	}
	s.Positions = max(f.Positions, 2)
	switch {
	case f.Button != nil && f.Axis == nil && f.Buttons == nil:
		s.From = devices.Source{Kind: devices.FromButton, Index: *f.Button}
	case f.Axis != nil && f.Button == nil && f.Buttons == nil:
		s.From = devices.Source{Kind: devices.FromAxis, Index: *f.Axis}
	case len(f.Buttons) == 2 && f.Button == nil && f.Axis == nil:
		s.From, s.Positions = devices.Source{Kind: devices.FromButtons, Index: f.Buttons[0], Second: f.Buttons[1]}, 3
	default:
		return s, fmt.Errorf("%s: one of button, axis, or buttons with two numbers is needed", f.Does)
	}
	s.From.Reverse = f.Reverse
	if f.Press != "" {
		var ok bool
		if s.Style, ok = devices.ParseStyle(f.Press); !ok {
			return s, fmt.Errorf("%q: press is position, toggle or latched", f.Press)
		}
	}
	if err := f.responses(&s); err != nil {
		return s, err
	}
	return s, s.Validate()
}

func (f *switchFile) responses(s *devices.Switch) error {
	if s.Does.Kind != devices.DoSelector {
		if f.Selects != nil {
			return fmt.Errorf("%s: selects is for a selector", f.Does)
		}
		return nil
	}
	if len(f.Selects) != s.Positions {
		return fmt.Errorf("selector: selects needs %d response types", s.Positions)
	}
	for i, word := range f.Selects {
		r, ok := hands.ParseResponse(word)
		if !ok {
			return fmt.Errorf("%q is no response type", word)
		}
		if s.Positions == 2 && i == 1 {
			i = 2
		}
		s.Responses[i] = r
	}
	return nil
}

func deviceOf(p *devices.Profile) *deviceFile {
	f := &deviceFile{Version: Version, Name: p.Name, Throttle: p.Throttle.String(), Sticks: map[string]channelFile{}}
	for i := range p.Sticks {
		c := &p.Sticks[i]
		f.Sticks[devices.Place(i).String()] = channelFile{c.Axis, c.Travel.Low, c.Travel.Centre, c.Travel.High, c.Travel.Reverse}
	}
	for i := range p.Switches {
		f.Switches = append(f.Switches, switchOf(&p.Switches[i]))
	}
	return f
}

func switchOf(s *devices.Switch) switchFile {
	f := switchFile{Does: s.Does.String(), Reverse: s.From.Reverse}
	index := s.From.Index
	switch s.From.Kind {
	case devices.FromButton:
		f.Button = &index
	case devices.FromAxis:
		f.Axis = &index
		f.Positions = s.Positions
	case devices.FromButtons:
		f.Buttons = []int{s.From.Index, s.From.Second}
	}
	if s.Style != devices.StylePosition {
		f.Press = s.Style.String()
	}
	if s.Does.Kind == devices.DoSelector {
		for p := range s.Positions {
			if s.Positions == 2 && p == 1 {
				p = 2
			}
			f.Selects = append(f.Selects, s.Responses[p].String())
		}
	}
	return f
}
