package station

import (
	"runtime"
	"time"

	"github.com/go-gl/gl/v4.1-core/gl"

	"lapwing/render/window"
)

// drawer draws on a thread of its own. A picture drawn by the processor alone takes
// longer than a quick press lasts, and GLFW keeps only the latest state of a
// controller: so devices are read on by the main thread meanwhile.
type drawer struct {
	win  *window.Window
	work chan func() error
	done chan drawn
}

// drawn is what became of a picture.
type drawn struct {
	at  time.Duration // when it was handed to the screen
	err error
}

// newDrawer takes the OpenGL context from this thread.
func newDrawer(win *window.Window, now func() time.Duration) *drawer {
	d := &drawer{win: win, work: make(chan func() error), done: make(chan drawn, 1)}
	win.Lend()
	go func() {
		runtime.LockOSThread()
		win.Take()
		for work := range d.work {
			err := work()
			d.done <- drawn{now(), err}
		}
		win.Lend()
		close(d.done)
	}()
	return d
}

// do lets the drawer work and calls meanwhile until it is done.
func (d *drawer) do(work func() error, meanwhile func()) drawn {
	d.work <- work
	pause := time.NewTicker(pollEvery)
	defer pause.Stop()
	for {
		select {
		case out := <-d.done:
			return out
		case <-pause.C:
			meanwhile()
		}
	}
}

// pollEvery is the pause between two readings, well below what a flick lasts.
const pollEvery = 2 * time.Millisecond

// close ends the drawer and takes the context back.
func (d *drawer) close() {
	close(d.work)
	<-d.done
	d.win.Take()
}

// show draws a picture and hands it to the screen.
func (s *Station) show(now time.Duration) drawn {
	if s.drawer == nil {
		s.drawer = newDrawer(s.win, s.now)
	}
	width, height := s.win.Framebuffer()
	size := s.size(width, height)
	picture := s.picture(now)
	return s.drawer.do(func() error {
		err := s.paint(size, picture)
		gl.Finish()
		s.win.Swap()
		return err
	}, func() {
		s.win.Poll()
		s.poll()
	})
}

// withGL does what needs the OpenGL context, wherever that is.
func (s *Station) withGL(work func() error) error {
	if s.drawer == nil {
		return work()
	}
	return s.drawer.do(work, func() {}).err
}
