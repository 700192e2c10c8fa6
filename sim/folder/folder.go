// Package folder is what a flight leaves behind in a folder: its recording, its
// result, and what belongs to the machine and the moment.
//
// It stands apart because the headless program and the window leave the very same
// files, and either opens what the other has left:
//
//	rehearsal.mcap   the recording                         (package record)
//	result.json      the assessment                        (Flown)
//	about.json       program, machine, time; the station   (About)
package folder

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"time"

	"lapwing/scenarios"
	"lapwing/sim"
	"lapwing/sim/record"
	"lapwing/sim/score"
)

// Version is the program's own; it stands in recordings and reports.
const Version = "0.1.0"

// The files of a folder.
const (
	Recording = "rehearsal.mcap"
	Result    = "result.json"
	AboutFile = "about.json"
)

// Flown is the JSON form of a flight.
type Flown struct {
	Scenario  string           `json:"scenario"`
	Craft     string           `json:"craft"`
	Room      string           `json:"room"`
	Pilot     string           `json:"pilot"`
	Seed      uint64           `json:"seed"`
	Recording string           `json:"recording,omitempty"`
	Body      string           `json:"body_sha256,omitempty"`
	Result    score.Assessment `json:"result"`
}

// About is what belongs to the machine and the moment, kept outside the
// recording so that its bytes do not depend on them.
type About struct {
	Program string `json:"program"`
	Go      string `json:"go"`
	System  string `json:"system"`
	Commit  string `json:"commit,omitempty"`
	At      string `json:"at"`                // RFC 3339
	Station any    `json:"station,omitempty"` // what a window adds: device, latency, steadiness, practice
}

// AboutNow returns what belongs to this machine and this moment.
func AboutNow() About {
	a := About{Program: Version, Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH, At: time.Now().UTC().Format(time.RFC3339)}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				a.Commit = s.Value
			}
		}
	}
	return a
}

// Start opens the recording of a flight in dir, which is made where it is
// missing, and returns its path. More documents follow those of the bundle.
func Start(dir string, b *scenarios.Bundle, head record.Rehearsal, more ...record.Document) (*record.Writer, string, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, "", fmt.Errorf("the folder for the recording cannot be made: %w", err)
	}
	path := filepath.Join(dir, Recording)
	head.Program, head.Scenario = Version, b.Name
	var docs []record.Document
	for _, d := range b.Documents {
		docs = append(docs, record.Document{Kind: string(d.Kind), Name: d.Name, Text: string(d.Text)})
	}
	w, err := record.Create(path, head, append(docs, more...))
	return w, path, err
}

// Save writes result and about into dir.
func Save(dir string, f *Flown, a About) error {
	return errors.Join(SaveJSON(filepath.Join(dir, Result), f), SaveJSON(filepath.Join(dir, AboutFile), a))
}

// SaveJSON writes value to path, indented.
func SaveJSON(path string, value any) error {
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return fmt.Errorf("folder: %w", err)
	}
	return os.WriteFile(path, append(text, '\n'), 0o644)
}

// Open reads a recording and rebuilds the conditions it was flown under, from
// the files inside it.
func Open(path string) (*record.Recording, *scenarios.Bundle, sim.Conditions, error) {
	recording, err := record.Read(path)
	if err != nil {
		return nil, nil, sim.Conditions{}, err
	}
	bundle, err := scenarios.LoadBundle(documents(recording))
	if err != nil {
		return nil, nil, sim.Conditions{}, fmt.Errorf("%s: the files inside the recording: %w", path, err)
	}
	return recording, bundle, bundle.Rehearsal(recording.Rehearsal.Seed), nil
}

func documents(r *record.Recording) []scenarios.Document {
	var docs []scenarios.Document
	for _, d := range r.Documents {
		docs = append(docs, scenarios.Document{Kind: scenarios.Kind(d.Kind), Name: d.Name, File: d.Name, Text: []byte(d.Text)})
	}
	return docs
}
