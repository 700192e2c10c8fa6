package main

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"time"

	"lapwing/scenarios"
	"lapwing/sim/record"
)

// startRecording opens the recording in the output folder, if one is asked for.
func startRecording(b *scenarios.Bundle, who *person, o *flyOptions) (*record.Writer, string, error) {
	if o.out == "" {
		if o.trace {
			return nil, "", badUse("--trace needs --out: a trace is part of a recording")
		}
		return nil, "", nil
	}
	if err := os.MkdirAll(o.out, 0o755); err != nil {
		return nil, "", badUse("--out: the folder for the recording cannot be made: %v", err)
	}
	path := filepath.Join(o.out, "rehearsal.mcap")
	head := record.Rehearsal{Program: version, Scenario: b.Name, Pilot: who.name, Seed: o.seed, Trace: o.trace}
	var docs []record.Document
	for _, d := range b.Documents {
		docs = append(docs, record.Document{Kind: string(d.Kind), Name: d.Name, Text: string(d.Text)})
	}
	w, err := record.Create(path, head, append(docs, who.documents()...))
	if err != nil {
		return nil, "", coded{exitUsage, err}
	}
	return w, path, nil
}

// about is what belongs to the machine and the moment, kept outside the
// recording so that its bytes do not depend on them.
type about struct {
	Program string `json:"program"`
	Go      string `json:"go"`
	System  string `json:"system"`
	Commit  string `json:"commit,omitempty"`
	At      string `json:"at"` // RFC 3339
}

func saveResult(f *flown, folder string) error {
	if folder == "" {
		return nil
	}
	a := about{Program: version, Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH, At: time.Now().UTC().Format(time.RFC3339)}
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				a.Commit = s.Value
			}
		}
	}
	return errors.Join(saveJSON(filepath.Join(folder, "result.json"), f), saveJSON(filepath.Join(folder, "about.json"), a))
}

func saveJSON(path string, value any) error {
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return internal(err)
	}
	if err := os.WriteFile(path, append(text, '\n'), 0o644); err != nil {
		return badUse("--out: %v", err)
	}
	return nil
}
