package margins

import (
	"sync"

	"lapwing/sim/control"
)

// Outside starts laws of which one stage, or all of them, comes from outside,
// and keeps the first error of any.
type Outside struct {
	Params *control.Params
	Start  func() (control.Guest, error) // a law from outside that has not been asked

	lock sync.Mutex
	err  error
}

// Law returns a law that has not run. One that cannot be started counts as
// failed.
func (o *Outside) Law() Law {
	g, err := o.Start()
	if err != nil {
		o.fail(err)
		return NewBuiltIn(o.Params)
	}
	return &mixed{BuiltIn: *NewBuiltIn(o.Params), all: o, guest: control.NewOutside(g)}
}

// Err returns the first error of all laws that were started.
func (o *Outside) Err() error {
	o.lock.Lock()
	defer o.lock.Unlock()
	return o.err
}

func (o *Outside) fail(err error) {
	o.lock.Lock()
	defer o.lock.Unlock()
	if o.err == nil {
		o.err = err
	}
}

// mixed is the built-in law with a guest in it.
type mixed struct {
	BuiltIn
	all   *Outside
	guest *control.Outside
}

// Act implements Law.
func (l *mixed) Act(in *control.Input, out *control.Output) {
	control.LawWith(l.params, &l.state, in, out, l.guest)
	if l.guest.Err != nil {
		l.all.fail(l.guest.Err)
	}
}

// Close ends the guest.
func (l *mixed) Close() error { return l.guest.Guest.Close() }
