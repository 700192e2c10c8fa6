package main

import (
	"lapwing/scenarios"
	"lapwing/sim/folder"
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
	w, path, err := folder.Start(o.out, b, record.Rehearsal{Pilot: who.name, Seed: o.seed, Trace: o.trace}, who.documents()...)
	if err != nil {
		return nil, "", badUse("--out: %v", err)
	}
	return w, path, nil
}

func saveResult(f *folder.Flown, dir string) error {
	if dir == "" {
		return nil
	}
	if err := folder.Save(dir, f, folder.AboutNow()); err != nil {
		return badUse("--out: %v", err)
	}
	return nil
}

func saveJSON(path string, value any) error {
	if err := folder.SaveJSON(path, value); err != nil {
		return badUse("--out: %v", err)
	}
	return nil
}
