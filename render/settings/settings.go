// Package settings keeps what people choose, in files that they can read and
// change: what each make of device is like, and how each trainee likes to fly,
// see and hear.
//
// It stands apart because it alone touches the user's folder. The way of the
// data: a file is read strictly (an unknown key, a wrong word, a number out of
// range is an error with file and line; all at once), becomes plain values, and
// is written whole, by way of a second file, so that a crash leaves the old one.
//
//	lapwing/
//	  READ-ME.txt               what this is and how to be rid of it
//	  devices/GUID.yaml         one make of device        (device.go)
//	  trainees/T01.yaml         one person                (trainee.go)
package settings

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"lapwing/render/words"
)

// Version is the version of the files; a newer one is refused.
const Version = 1

// Store is a folder of settings.
type Store struct{ Dir string }

// Open returns the store in the user's configuration folder. Nothing is written
// until something is saved.
func Open() (Store, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return Store{}, fmt.Errorf("settings: no configuration folder: %w", err)
	}
	return Store{filepath.Join(dir, "lapwing")}, nil
}

var plainName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]{0,63}$`)

// path returns the file for a name in a sub-folder. The name becomes part of a
// path, so it must be plain.
func (s Store) path(sub, name string) (string, error) {
	if !plainName.MatchString(name) {
		return "", fmt.Errorf("settings: %q is no name: letters, digits, - and _ only", name)
	}
	return filepath.Join(s.Dir, sub, name+".yaml"), nil
}

// save writes data whole, and the note about uninstalling beside it.
func (s Store) save(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	note := filepath.Join(s.Dir, "READ-ME.txt")
	if _, err := os.Stat(note); errors.Is(err, fs.ErrNotExist) {
		if err := os.WriteFile(note, []byte(words.Say("settings.uninstall", "folder", s.Dir)+"\n"), 0o644); err != nil {
			return fmt.Errorf("settings: %w", err)
		}
	}
	next := path + ".new"
	if err := os.WriteFile(next, data, 0o644); err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	if err := os.Rename(next, path); err != nil {
		return fmt.Errorf("settings: %w", err)
	}
	return nil
}

// names lists what a sub-folder holds, in order.
func (s Store) names(sub string) []string {
	entries, err := os.ReadDir(filepath.Join(s.Dir, sub))
	if err != nil {
		return nil
	}
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".yaml"); ok && plainName.MatchString(name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}
