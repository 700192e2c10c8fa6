package settings

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"lapwing/render/devices"
	"lapwing/sim/control"
	"lapwing/sim/hands"
)

func profile() devices.Profile {
	r := devices.Reading{Name: "Bench: Pad #1", Gamepad: true}
	p := devices.DefaultProfile(&r)
	p.Sticks[devices.LeftX].Travel = devices.Travel{Low: -0.83, Centre: 0.02, High: 0.91, Reverse: true}
	selector := devices.Selector(hands.Attitude, hands.HeightHold, hands.PositionHold)
	selector.From = devices.Source{Kind: devices.FromAxis, Index: 4, Reverse: true}
	pair := selector
	pair.From = devices.Source{Kind: devices.FromButtons, Index: 3, Second: 9}
	two := devices.Switch{Does: devices.Do(devices.DoSelector), From: devices.Source{Kind: devices.FromAxis, Index: 5}, Positions: 2,
		Responses: [3]hands.Response{hands.Attitude, 0, hands.Path}}
	p.Switches = append(p.Switches, selector, pair, two)
	return p
}

// TestRoundTrip: goal: what is saved is read as the same, and saving it again
// gives the same bytes.
func TestRoundTrip(t *testing.T) {
	s := Store{filepath.Join(t.TempDir(), "lapwing")}
	_, err := s.Device("abc")
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, err = s.Trainee("T01")
	require.ErrorIs(t, err, fs.ErrNotExist)

	p := profile()
	require.NoError(t, s.SaveDevice("abc", &p))
	got, err := s.Device("abc")
	require.NoError(t, err)
	assert.Equal(t, p, got)

	for _, set := range []devices.KeySet{devices.TwoHands, devices.LeftHand, devices.RightHand} {
		tr := DefaultTrainee()
		tr.Taste.Layout, tr.Taste.ThrottleMap, tr.Taste.Shape.Expo = 3, control.UpperHalf, 0.25
		tr.Taste.Keyboard.Keys = devices.SetOf(set)
		tr.View.ReducedMotion = true
		require.NoError(t, s.SaveTrainee("T01", &tr))
		back, err := s.Trainee("T01")
		require.NoError(t, err)
		assert.Equal(t, tr, back)
		first, err := os.ReadFile(filepath.Join(s.Dir, "trainees", "T01.yaml"))
		require.NoError(t, err)
		require.NoError(t, s.SaveTrainee("T01", &back))
		second, err := os.ReadFile(filepath.Join(s.Dir, "trainees", "T01.yaml"))
		require.NoError(t, err)
		assert.Equal(t, string(first), string(second))
		assert.True(t, strings.HasPrefix(string(first), "# How one person"))
	}
	assert.Equal(t, []string{"abc"}, s.Devices())
	assert.Equal(t, []string{"T01"}, s.Trainees())
	note, err := os.ReadFile(filepath.Join(s.Dir, "READ-ME.txt"))
	require.NoError(t, err)
	assert.Contains(t, string(note), s.Dir)
	left, err := filepath.Glob(filepath.Join(s.Dir, "*", "*.new"))
	require.NoError(t, err)
	assert.Empty(t, left)
}

// TestStrict: goal: everything wrong with a file is told, with its line, and a
// file that is wrong is never half used. Method: sound files with one thing
// changed.
func TestStrict(t *testing.T) {
	s := Store{t.TempDir()}
	p, tr := profile(), DefaultTrainee()
	require.NoError(t, s.SaveDevice("d", &p))
	require.NoError(t, s.SaveTrainee("T02", &tr))
	device, person := filepath.Join(s.Dir, "devices", "d.yaml"), filepath.Join(s.Dir, "trainees", "T02.yaml")
	for _, c := range []struct{ file, old, new, want string }{
		{device, "throttle_stick: springs-to-centre", "throttle_stick: springs", `"springs": the throttle holds or springs-to-centre`},
		{device, "throttle_stick:", "throttle:", "field throttle not found"},
		{device, "lapwing_settings: 1", "lapwing_settings: 2", "version 2 is newer"},
		{device, "lapwing_settings: 1", "lapwing_settings: 0", "the version is 1"},
		{device, "low: -0.83", "low: -1.83", "low: -1.83 is not within -1 to 1"},
		{device, "low: -0.83", "low: left", "cannot unmarshal"},
		{device, "does: cut-off", "does: stop", `"stop" is no action`},
		{device, "press: latched", "press: soft", "press is position, toggle or latched"},
		{device, "  right_y:", "  rightmost:", "right_y is missing"},
		{device, "button: 4", "button: -4", "numbered from 0"},
		{device, "selects: [attitude, height-hold, position-hold]", "selects: [attitude, height-hold]", "needs 3 response types"},
		{person, "stick_layout: 2", "stick_layout: 5", "stick layouts are 1 to 4"},
		{person, "expo: 0", "expo: 1.5", "expo: 1.5 is not within 0 to 1"},
		{person, "throttle_in_direct_thrust: rate-of-thrust", "throttle_in_direct_thrust: linear", "the throttle's mapping is direct"},
		{person, "space: cut-off", "blank: cut-off", `"blank" is no key`},
		{person, "space: cut-off", "space: jump", `"jump" is no action`},
		{person, "space: cut-off", "space: arm", `no key for "cut-off"`},
		{person, "volume: 0.7", "volume: 7", "volume: 7 is not within 0 to 1"},
		{person, "text_scale: 1", "text_scale: 9", "text_scale: 9"},
		{person, "reduced_motion: false", "reduced_motion: false\n  reduced_motion: true", "already defined"},
	} {
		t.Run(c.new, func(t *testing.T) {
			sound, err := os.ReadFile(c.file)
			require.NoError(t, err)
			require.Contains(t, string(sound), c.old)
			broken := strings.Replace(string(sound), c.old, c.new, 1)
			require.NoError(t, os.WriteFile(c.file, []byte(broken), 0o644))
			defer func() { require.NoError(t, os.WriteFile(c.file, sound, 0o644)) }()
			if c.file == device {
				_, err = s.Device("d")
			} else {
				var got Trainee
				got, err = s.Trainee("T02")
				assert.Equal(t, DefaultTrainee(), got)
			}
			require.ErrorContains(t, err, c.want)
			assert.Contains(t, err.Error(), filepath.Base(c.file))
		})
	}
}

// TestLinesAndAllFaults: goal: two faults are told at once, each with its line.
func TestLinesAndAllFaults(t *testing.T) {
	var f traineeFile
	n, err := parse("f.yaml", []byte("lapwing_settings: 1\nstick_layout: 9\nexpo: 3\nkeyboard:\n  keys:\n    w: hop\n"), &f, &f.Version)
	require.NoError(t, err)
	f.trainee(n)
	err = n.err()
	for _, want := range []string{"f.yaml:2: 9: stick layouts", "f.yaml:3: expo: 3", `f.yaml:6: "hop" is no action`} {
		assert.ErrorContains(t, err, want)
	}
	_, err = parse("f.yaml", []byte("lapwing_settings: 1\nx: 1\ny: 2\n"), &f, &f.Version)
	assert.ErrorContains(t, err, "f.yaml:2: field x")
	assert.ErrorContains(t, err, "f.yaml:3: field y")
}

// TestNamesStayInTheFolder: goal: no name leads out of the folder of settings.
func TestNamesStayInTheFolder(t *testing.T) {
	s := Store{t.TempDir()}
	p, tr := profile(), DefaultTrainee()
	for _, name := range []string{"", "..", "../x", "a/b", `a\b`, ".hidden", "a b", strings.Repeat("x", 65)} {
		assert.Error(t, s.SaveDevice(name, &p), name)
		assert.Error(t, s.SaveTrainee(name, &tr), name)
		_, err := s.Device(name)
		assert.Error(t, err, name)
	}
	tr.View.FieldOfView = 0
	assert.Error(t, s.SaveTrainee("T01", &tr))
}

// FuzzRead: goal: no file makes the reader panic, and what it accepts can be
// saved.
func FuzzRead(f *testing.F) {
	p, tr := profile(), DefaultTrainee()
	s := Store{f.TempDir()}
	require.NoError(f, s.SaveDevice("d", &p))
	require.NoError(f, s.SaveTrainee("t", &tr))
	for _, path := range []string{"devices/d.yaml", "trainees/t.yaml"} {
		data, err := os.ReadFile(filepath.Join(s.Dir, path))
		require.NoError(f, err)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var d deviceFile
		if n, err := parse("f", data, &d, &d.Version); err == nil {
			if p := d.profile(n); n.err() == nil {
				require.NoError(t, p.Validate())
			}
		}
		var person traineeFile
		if n, err := parse("f", data, &person, &person.Version); err == nil {
			if tr := person.trainee(n); n.err() == nil {
				require.NoError(t, tr.Taste.Validate())
			}
		}
	})
}
