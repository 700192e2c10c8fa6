//go:build unix

package rounds

import (
	"fmt"
	"os"
	"syscall"
)

// lock keeps a second process out of a folder. The lock ends with the process,
// however that ends.
func lock(path string) (unlock func(), err error) {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		file.Close()
		return nil, fmt.Errorf("%s: another process works in this folder: %w", path, err)
	}
	return func() { file.Close() }, nil
}
