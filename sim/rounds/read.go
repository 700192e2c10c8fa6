package rounds

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"lapwing/sim/trials"
)

// Each calls visit with every result of a finished folder, or of a file of results,
// in order, with its line. The first error ends it.
func Each(path string, visit func(r *trials.Result, line []byte) error) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, ResultsFile)
	}
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: there are no finished results", path)
	}
	if err != nil {
		return err
	}
	defer file.Close()
	in := bufio.NewReaderSize(file, 1<<16)
	for number := 1; ; number++ {
		line, err := in.ReadBytes('\n')
		if err == io.EOF && len(line) == 0 {
			return nil
		}
		r, parseErr := ParseLine(bytes.TrimSuffix(line, []byte("\n")))
		if err := errors.Join(parseErr, err); err != nil {
			return fmt.Errorf("%s:%d: this line is damaged: %w", path, number, err)
		}
		if err := visit(&r, line); err != nil {
			return err
		}
	}
}

// Load returns all results of a finished folder, or of a file of results.
func Load(path string) (all []trials.Result, err error) {
	err = Each(path, func(r *trials.Result, _ []byte) error { all = append(all, *r); return nil })
	return all, err
}

// Copy writes the results of a finished folder, or of a file, into another file,
// once every line has been found whole.
func Copy(from, to string) (n int, err error) {
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return 0, err
	}
	return n, writeWhole(to, func(out io.Writer) error {
		return Each(from, func(_ *trials.Result, line []byte) error {
			n++
			_, err := out.Write(line)
			return err
		})
	})
}
