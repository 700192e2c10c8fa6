package main

import (
	"fmt"
	"io"
	"runtime"
	"strings"
)

// reportTo says where a fault of the program is to be told.
const reportTo = "please report it, with the command that was typed, to the people from whom you have this program"

// guarded runs f and turns a panic in it into the exit code of an internal
// error, with one sentence that says what and where.
func guarded(errOut io.Writer, f func() int) (code int) {
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(errOut, "lapwing: internal error: %v (at %s; version %s, %s, %s/%s): this is a fault of the program; %s\n",
				p, placeOfPanic(), version, runtime.Version(), runtime.GOOS, runtime.GOARCH, reportTo)
			code = exitInternal
		}
	}()
	return f()
}

// placeOfPanic returns the innermost place of this module on the way to the
// panic that is being recovered.
func placeOfPanic() string {
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(1, pcs)])
	panicked := false
	for {
		frame, more := frames.Next()
		switch {
		case frame.Function == "runtime.gopanic":
			panicked = true
		case panicked && (strings.HasPrefix(frame.Function, "lapwing/") || strings.HasPrefix(frame.Function, "main.")):
			return fmt.Sprintf("%s, line %d", frame.Function, frame.Line)
		}
		if !more {
			return "an unknown place"
		}
	}
}

// keptError keeps the first error of writing, so that printing may ignore them
// one by one and a result that nobody got is still told.
type keptError struct {
	to  io.Writer
	err error
}

func (k *keptError) Write(p []byte) (int, error) {
	if k.err != nil {
		return 0, k.err
	}
	n, err := k.to.Write(p)
	k.err = err
	return n, err
}
