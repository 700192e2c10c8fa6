package rounds

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// Merge puts the shards in the folders dirs together into the folder out, which
// then holds the bytes of a run that was never parted. A folder may be that of a
// shard or one with shards in it. Shards that are missing, that stand twice or
// that are of something else are named, all at once.
func Merge(dirs []string, out string) (Head, error) {
	shards, whole, err := gather(dirs)
	if err != nil {
		return whole, err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return whole, err
	}
	unlock, err := lock(filepath.Join(out, lockFile))
	if err != nil {
		return whole, err
	}
	defer unlock()
	if there, err := ReadHead(out); err == nil && there != whole {
		return whole, fmt.Errorf("%s holds other results (%s): give another folder", out, other(&there, &whole))
	}
	if err := WriteHead(out, &whole); err != nil {
		return whole, err
	}
	return whole, writeWhole(filepath.Join(out, ResultsFile), func(to io.Writer) error { return interleave(shards, whole.Cases, to) })
}

// gather finds the folder of each shard, in order.
func gather(dirs []string) (shards []string, whole Head, err error) {
	var faults []error
	for _, dir := range inside(dirs) {
		h, err := ReadHead(dir)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		k, of := h.Shard.K, h.Shard.Of
		if h.Shard = Whole(); shards == nil {
			shards, whole = make([]string, of), h
		}
		switch {
		case h != whole || of != len(shards):
			h.Shard, whole.Shard = Shard{k, of}, Shard{k, len(shards)}
			faults = append(faults, fmt.Errorf("%s is no part of the same results as the folders before it (%s)", dir, other(&h, &whole)))
			whole.Shard = Whole()
		case shards[k-1] != "":
			faults = append(faults, fmt.Errorf("shard %d of %d stands twice: %s and %s overlap", k, of, shards[k-1], dir))
		default:
			shards[k-1] = dir
			if _, err := os.Stat(filepath.Join(dir, ResultsFile)); err != nil {
				faults = append(faults, fmt.Errorf("shard %d of %d in %s is not finished: run it again, it goes on where it stopped", k, of, dir))
			}
		}
	}
	var lacking []string
	for i, dir := range shards {
		if dir == "" {
			lacking = append(lacking, fmt.Sprint(i+1))
		}
	}
	if len(lacking) > 0 {
		faults = append(faults, fmt.Errorf("missing of %d shards: %s", len(shards), strings.Join(lacking, ", ")))
	}
	return shards, whole, errors.Join(faults...)
}

// inside puts the shards in a folder in its place.
func inside(dirs []string) (all []string) {
	for _, dir := range dirs {
		within, err := filepath.Glob(filepath.Join(dir, "shard-*-of-*", HeadFile))
		if err != nil || len(within) == 0 {
			all = append(all, dir)
		}
		for _, head := range within {
			all = append(all, filepath.Dir(head))
		}
	}
	return all
}

// interleave writes the lines of the shards in the order of their cases.
func interleave(shards []string, cases int, to io.Writer) error {
	in := make([]*bufio.Reader, len(shards))
	for i, dir := range shards {
		file, err := os.Open(filepath.Join(dir, ResultsFile))
		if err != nil {
			return err
		}
		defer file.Close()
		in[i] = bufio.NewReader(file)
	}
	for id := range cases {
		dir := shards[id%len(shards)]
		line, err := in[id%len(shards)].ReadBytes('\n')
		if err != nil {
			return fmt.Errorf("%s: case %d is missing: %w", dir, id, err)
		}
		r, err := ParseLine(bytes.TrimSuffix(line, []byte("\n")))
		if err != nil {
			return fmt.Errorf("%s: case %d: %w", dir, id, err)
		}
		if r.ID != id {
			return fmt.Errorf("%s: case %d stands where case %d should", dir, r.ID, id)
		}
		if _, err := to.Write(line); err != nil {
			return err
		}
	}
	for i := range in {
		if _, err := in[i].ReadByte(); err != io.EOF {
			return fmt.Errorf("%s: there is more than its cases", shards[i])
		}
	}
	return nil
}
