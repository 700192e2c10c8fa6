package rounds

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"lapwing/sim/trials"
)

// The files of a folder of results.
const (
	HeadFile    = "trials.json"
	ResultsFile = "results.jsonl" // there once all is flown, in order
	journalFile = "journal.jsonl" // until then, in the order in which cases ended
	lockFile    = "lock"
)

// Head says what a folder holds the results of.
type Head struct {
	Format  int    `json:"format"`
	Program string `json:"program"`
	Title   string `json:"title"`
	Digest  string `json:"matrix_sha256"` // with all files that it names
	Cases   int    `json:"cases"`         // of the whole matrix
	Replay  string `json:"replay"`        // the command that flies one of them again, but for its number
	Shard   Shard  `json:"shard"`
}

// Folder is where results are kept while they are flown. Each result is appended
// as one line; a kill at any moment leaves whole lines and at most one torn one,
// which is dropped when the folder is opened again.
type Folder struct {
	Dir  string
	Head Head

	unlock  func()
	journal *os.File // nil once the results are complete
	size    int64    // of its whole lines
	at      []int64  // where the line of each case of the shard begins, −1 while it is missing
	left    int      // cases that are missing
	Dropped int      // damaged lines found on opening; their cases are flown again
}

// Open makes or opens the folder dir for the results of head. It refuses a folder
// with the results of something else, and one that another process works in.
func Open(dir string, head Head) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	unlock, err := lock(filepath.Join(dir, lockFile))
	if err != nil {
		return nil, err
	}
	f := &Folder{Dir: dir, Head: head, unlock: unlock}
	if err := f.open(); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

func (f *Folder) open() error {
	there, err := ReadHead(f.Dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if err := WriteHead(f.Dir, &f.Head); err != nil {
			return err
		}
	case err != nil:
		return err
	case there != f.Head:
		return fmt.Errorf("%s holds other results (%s): give another folder, or take this one away", f.Dir, other(&there, &f.Head))
	}
	f.left = f.Head.Shard.Count(f.Head.Cases)
	if _, err := os.Stat(filepath.Join(f.Dir, ResultsFile)); err == nil {
		f.left = 0
		return remove(filepath.Join(f.Dir, journalFile)) // a kill came between the two
	}
	if f.journal, err = os.OpenFile(filepath.Join(f.Dir, journalFile), os.O_RDWR|os.O_CREATE, 0o644); err != nil {
		return err
	}
	f.at = make([]int64, f.left)
	for i := range f.at {
		f.at[i] = -1
	}
	return f.scan()
}

// other says in what two heads differ.
func other(a, b *Head) string {
	switch {
	case a.Program != b.Program:
		return "of version " + a.Program
	case a.Digest != b.Digest:
		return "of another matrix, or its files have changed since"
	case a.Shard != b.Shard:
		return "of shard " + a.Shard.String()
	}
	return "typed as " + a.Replay
}

// scan finds the whole lines of the journal and cuts off what a kill tore.
func (f *Folder) scan() error {
	in := bufio.NewReaderSize(f.journal, 1<<16)
	for {
		line, err := in.ReadBytes('\n')
		if err == io.EOF {
			return f.journal.Truncate(f.size)
		}
		if err != nil {
			return err
		}
		if r, err := ParseLine(bytes.TrimSuffix(line, []byte("\n"))); err == nil && f.Head.Shard.Has(r.ID) && r.ID < f.Head.Cases {
			if err := f.found(&r, line); err != nil {
				return err
			}
		} else {
			f.Dropped++
		}
		f.size += int64(len(line))
	}
}

// found notes a line. The same case twice is only sound with the same bytes.
func (f *Folder) found(r *trials.Result, line []byte) error {
	i := f.Head.Shard.Index(r.ID)
	if f.at[i] < 0 {
		f.at[i] = f.size
		f.left--
		return nil
	}
	before := make([]byte, len(line))
	if _, err := f.journal.ReadAt(before, f.at[i]); err != nil || !bytes.Equal(before, line) {
		return fmt.Errorf("%s: case %d has two results: this is a fault of the program or of a law from outside; nothing is retried until it agrees", f.Dir, r.ID)
	}
	return nil
}

// Left is how many cases are still to be flown.
func (f *Folder) Left() int { return f.left }

// Has tells whether a case has its result.
func (f *Folder) Has(id int) bool { return f.at == nil || f.at[f.Head.Shard.Index(id)] >= 0 }

// Append adds the line of a case, in a single write.
func (f *Folder) Append(id int, line []byte) error {
	if _, err := f.journal.WriteAt(line, f.size); err != nil {
		return fmt.Errorf("%s: the results could not be written: %w", f.Dir, err)
	}
	f.at[f.Head.Shard.Index(id)] = f.size
	f.size += int64(len(line))
	f.left--
	return nil
}

// Sync puts what was appended on the disk, for when the machine itself stops.
func (f *Folder) Sync() error { return f.journal.Sync() }

// Finish writes the results in order, once none is missing, and takes the journal
// away. Before and after, a kill leaves one of the two whole.
func (f *Folder) Finish() error {
	if f.journal == nil {
		return nil
	}
	if f.left > 0 {
		return fmt.Errorf("%s: %d cases are missing", f.Dir, f.left)
	}
	err := writeWhole(filepath.Join(f.Dir, ResultsFile), func(to io.Writer) error {
		in := bufio.NewReader(nil)
		for _, at := range f.at {
			in.Reset(io.NewSectionReader(f.journal, at, f.size-at))
			line, err := in.ReadBytes('\n')
			if err != nil {
				return err
			}
			if _, err := to.Write(line); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	f.journal.Close()
	f.journal = nil
	return remove(filepath.Join(f.Dir, journalFile))
}

// Close lets go of the folder.
func (f *Folder) Close() {
	if f.journal != nil {
		f.journal.Close()
	}
	f.unlock()
}

// ReadHead reads what a folder holds the results of.
func ReadHead(dir string) (h Head, err error) {
	text, err := os.ReadFile(filepath.Join(dir, HeadFile))
	if err != nil {
		return h, err
	}
	if err := json.Unmarshal(text, &h); err != nil || h.Format != 1 || h.Shard.Of < 1 {
		return h, fmt.Errorf("%s is not the head of results in format 1", filepath.Join(dir, HeadFile))
	}
	return h, nil
}

// WriteHead writes what a folder holds the results of.
func WriteHead(dir string, h *Head) error {
	text, err := json.MarshalIndent(h, "", "  ")
	if err != nil {
		return err
	}
	return writeWhole(filepath.Join(dir, HeadFile), func(to io.Writer) error {
		_, err := to.Write(append(text, '\n'))
		return err
	})
}

// writeWhole writes a file that is either there whole or not at all.
func writeWhole(path string, write func(to io.Writer) error) error {
	part, err := os.CreateTemp(filepath.Dir(path), filepath.Base(path)+".part-*")
	if err != nil {
		return err
	}
	defer os.Remove(part.Name())
	to := bufio.NewWriterSize(part, 1<<16)
	err = errors.Join(write(to), to.Flush(), part.Chmod(0o644), part.Sync(), part.Close())
	if err != nil {
		return err
	}
	return os.Rename(part.Name(), path)
}

func remove(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
