package settings

import (
	"errors"
	"fmt"

	"lapwing/render/devices"
	"lapwing/render/words"
	"lapwing/sim/control"
)

// Trainee is how one person likes to fly, see and hear.
type Trainee struct {
	Taste devices.Taste
	View  View
	Sound Sound
}

// View is how the picture is shown.
type View struct {
	FieldOfView   float64 `yaml:"field_of_view_deg"` // 30 … 110, of height
	TextScale     float64 `yaml:"text_scale"`        // 0.75 … 2.5
	ReducedMotion bool    `yaml:"reduced_motion"`    // the picture moves no more than it must
}

// Sound is what is heard.
type Sound struct {
	Volume   float64 `yaml:"volume"`   // 0 … 1, 0 is silent
	Captions bool    `yaml:"captions"` // sounds are written too
}

// DefaultTrainee is everybody before they choose.
func DefaultTrainee() Trainee {
	return Trainee{
		Taste: devices.DefaultTaste(),
		View:  View{FieldOfView: 34, TextScale: 1}, // holds most of the bay, and a small craft is still seen at 6 m
		Sound: Sound{Volume: 0.7, Captions: true},
	}
}

// traineeFile is a trainee as the file has it.
type traineeFile struct {
	Version  int          `yaml:"lapwing_settings"`
	Layout   int          `yaml:"stick_layout"`
	DeadBand float64      `yaml:"dead_band"`
	Expo     float64      `yaml:"expo"`
	Direct   string       `yaml:"throttle_in_direct_thrust"`
	Keyboard keyboardFile `yaml:"keyboard"`
	View     View         `yaml:"view"`
	Sound    Sound        `yaml:"sound"`
}

type keyboardFile struct {
	Throttle string            `yaml:"throttle_keys"`
	Rise     float64           `yaml:"rise_per_s"`
	Return   float64           `yaml:"return_per_s"`
	Keys     map[string]string `yaml:"keys"`
}

// Trainee reads how a person likes to fly. An error that is fs.ErrNotExist means:
// the defaults.
func (s Store) Trainee(code string) (Trainee, error) {
	path, err := s.path("trainees", code)
	if err != nil {
		return DefaultTrainee(), err
	}
	var f traineeFile
	n, err := read(path, &f, &f.Version)
	if err != nil {
		return DefaultTrainee(), err
	}
	t := f.trainee(n)
	if err := n.err(); err != nil {
		return DefaultTrainee(), err
	}
	return t, nil
}

// SaveTrainee writes how a person likes to fly.
func (s Store) SaveTrainee(code string, t *Trainee) error {
	path, err := s.path("trainees", code)
	if err != nil {
		return err
	}
	if err := errors.Join(t.Taste.Validate(), t.View.validate(), t.Sound.validate()); err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	data, err := write(words.Say("settings.trainee"), traineeOf(t))
	if err != nil {
		return err
	}
	return s.save(path, data)
}

// Trainees lists the codes of those who have a file.
func (s Store) Trainees() []string { return s.names("trainees") }

func (f *traineeFile) trainee(n *notes) Trainee {
	t := Trainee{View: f.View, Sound: f.Sound}
	t.Taste.Layout = devices.Layout(min(max(f.Layout, 0), 255))
	if !t.Taste.Layout.Valid() {
		n.at(fmt.Errorf("%d: stick layouts are 1 to %d", f.Layout, devices.Layouts), "stick_layout")
	}
	t.Taste.Shape = devices.Shape{DeadBand: f.DeadBand, Expo: f.Expo}
	n.at(devices.Shape{DeadBand: f.DeadBand}.Validate(), "dead_band")
	n.at(devices.Shape{Expo: f.Expo}.Validate(), "expo")
	var err error
	t.Taste.ThrottleMap, err = throttleMap(f.Direct)
	n.at(err, "throttle_in_direct_thrust")
	t.Taste.Keyboard = f.Keyboard.value(n)
	n.at(f.View.validate(), "view")
	n.at(f.Sound.validate(), "sound")
	return t
}

func throttleMap(word string) (control.ThrottleMap, error) {
	for _, m := range []control.ThrottleMap{control.Direct, control.RateOfThrust, control.UpperHalf} {
		if m.String() == word {
			return m, nil
		}
	}
	return 0, fmt.Errorf("%q: the throttle's mapping is %s, %s or %s", word, control.Direct, control.RateOfThrust, control.UpperHalf)
}

func (f *keyboardFile) value(n *notes) devices.Keyboard {
	k := devices.Keyboard{Keys: map[devices.Key]devices.Action{}, Rise: f.Rise, Return: f.Return}
	var err error
	k.Throttle, err = throttleKind(f.Throttle)
	n.at(err, "keyboard", "throttle_keys")
	for name, does := range f.Keys {
		key, ok := devices.ParseKey(name)
		if !ok {
			n.at(fmt.Errorf("%q is no key", name), "keyboard", "keys", name)
		}
		a, err := devices.ParseAction(does)
		n.at(err, "keyboard", "keys", name)
		k.Keys[key] = a
	}
	if len(n.faults) == 0 {
		n.at(k.Validate(), "keyboard")
	}
	return k
}

func traineeOf(t *Trainee) *traineeFile {
	k := &t.Taste.Keyboard
	f := &traineeFile{Version: Version, Layout: int(t.Taste.Layout), DeadBand: t.Taste.Shape.DeadBand, Expo: t.Taste.Shape.Expo,
		Direct: t.Taste.ThrottleMap.String(), View: t.View, Sound: t.Sound,
		Keyboard: keyboardFile{k.Throttle.String(), k.Rise, k.Return, map[string]string{}}}
	for key, a := range k.Keys {
		f.Keyboard.Keys[key.String()] = a.String()
	}
	return f
}

func (v View) validate() error {
	var errs []error
	if !(v.FieldOfView >= 30 && v.FieldOfView <= 110) {
		errs = append(errs, fmt.Errorf("field_of_view_deg: %g is not within 30 to 110", v.FieldOfView))
	}
	if !(v.TextScale >= 0.75 && v.TextScale <= 2.5) {
		errs = append(errs, fmt.Errorf("text_scale: %g is not within 0.75 to 2.5", v.TextScale))
	}
	return errors.Join(errs...)
}

func (s Sound) validate() error {
	if !(s.Volume >= 0 && s.Volume <= 1) {
		return fmt.Errorf("volume: %g is not within 0 to 1", s.Volume)
	}
	return nil
}
