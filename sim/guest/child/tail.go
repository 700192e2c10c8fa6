package child

import (
	"strings"
	"sync"
)

// tail keeps the end of what a process writes to standard error.
type tail struct {
	lock sync.Mutex
	kept []byte
}

const tailSize = 2048 // bytes

// Write implements io.Writer.
func (t *tail) Write(p []byte) (int, error) {
	t.lock.Lock()
	defer t.lock.Unlock()
	t.kept = append(t.kept, p...)
	if over := len(t.kept) - tailSize; over > 0 {
		t.kept = append(t.kept[:0], t.kept[over:]...)
	}
	return len(p), nil
}

// last returns the last line that says something.
func (t *tail) last() string {
	t.lock.Lock()
	defer t.lock.Unlock()
	text := strings.TrimSpace(string(t.kept))
	return text[strings.LastIndex(text, "\n")+1:]
}
