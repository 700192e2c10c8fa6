// Package child flies a control law that runs in a process of its own, in
// lock-step over standard input and output: simulated time waits for it.
//
// Both ways go frames: a length (4 bytes, little-endian, of what follows) and
// then a block of package guest.
//
//  1. the process is started and sent the craft's block
//  2. it answers with one answer's block, whose version alone counts: it is ready
//  3. each question's block is answered by one answer's block
//  4. at the end its standard input is closed, and it should go
//
// A process that is silent for longer than its limit is killed, and so is one
// that writes anything else. What it writes to standard error is told when it
// fails. Its memory cannot be copied, so what needs forks is not decided; its
// answers are recorded, so that a recording can be flown again without it.
//
// It stands apart because it is the one place that starts processes.
package child

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"syscall"
	"time"

	"lapwing/sim/control"
	"lapwing/sim/guest"
)

// Limits bound how long a process may take. They are wall-clock times: a law
// that comes near them is at fault on any machine.
type Limits struct {
	Start  time.Duration // until it is ready
	Answer time.Duration // for each answer
	End    time.Duration // to go by itself when its input is closed
}

// DefaultLimits are generous: an interpreter may need seconds to start on a busy
// machine, and an answer is a matter of microseconds.
func DefaultLimits() Limits {
	return Limits{Start: 20 * time.Second, Answer: 5 * time.Second, End: time.Second}
}

// law is a running process: a control.Guest.
type law struct {
	stage  control.Stage
	limits Limits
	cmd    *exec.Cmd
	in     *os.File // its standard input
	out    *os.File // its standard output
	errors tail
	frame  []byte // a question with its length
	reply  []byte // an answer with its length
	closed bool
}

const lengthSize = 4

// Start starts the command of s and waits until it is ready.
func Start(s *guest.Source, p *control.Params, limits Limits) (control.Guest, error) {
	g := &law{stage: s.Stage, limits: limits, cmd: exec.Command(s.Command[0], s.Command[1:]...),
		frame: make([]byte, lengthSize+guest.QuestionSize), reply: make([]byte, lengthSize+guest.ReplySize)}
	if err := g.start(s.Dir); err != nil {
		return nil, fmt.Errorf("%s cannot be started: %w", s.Command[0], err)
	}
	craft := make([]byte, lengthSize+guest.CraftSize)
	guest.PutCraft(craft[lengthSize:], s.Stage, p)
	var ready control.Answer
	if err := g.exchange(craft, limits.Start, &ready); err != nil {
		return nil, err
	}
	return g, nil
}

// start starts the process with pipes of our own, on which times can be set.
func (g *law) start(dir string) error {
	theirIn, ourIn, err := os.Pipe()
	if err != nil {
		return err
	}
	defer theirIn.Close()
	ourOut, theirOut, err := os.Pipe()
	if err != nil {
		return errors.Join(err, ourIn.Close())
	}
	defer theirOut.Close()
	g.cmd.Dir, g.cmd.Stdin, g.cmd.Stdout, g.cmd.Stderr = dir, theirIn, theirOut, &g.errors
	g.cmd.WaitDelay = g.limits.End
	if err := g.cmd.Start(); err != nil {
		return errors.Join(err, ourIn.Close(), ourOut.Close())
	}
	g.in, g.out = ourIn, ourOut
	return nil
}

// Stage implements control.Guest.
func (g *law) Stage() control.Stage { return g.stage }

// Act implements control.Guest.
func (g *law) Act(in *control.Input, want *control.Want, out *control.Answer) error {
	if g.closed {
		return errEnded
	}
	guest.PutQuestion(g.frame[lengthSize:], g.stage, in, want)
	return g.exchange(g.frame, g.limits.Answer, out)
}

var errEnded = errors.New("the process was ended")

// exchange sends a frame and waits for the answer; an error ends the process.
func (g *law) exchange(frame []byte, limit time.Duration, out *control.Answer) error {
	err := g.send(frame, limit)
	if err == nil {
		err = g.receive(out)
	}
	if err == nil {
		return nil
	}
	g.kill()
	return g.explain(err, limit)
}

func (g *law) send(frame []byte, limit time.Duration) error {
	binary.LittleEndian.PutUint32(frame, uint32(len(frame)-lengthSize))
	until := time.Now().Add(limit)
	if err := errors.Join(g.in.SetWriteDeadline(until), g.out.SetReadDeadline(until)); err != nil {
		return err
	}
	_, err := g.in.Write(frame)
	return err
}

// receive reads one answer. Its length is looked at first, so that rubbish is
// told from an answer that is cut short.
func (g *law) receive(out *control.Answer) error {
	if n, err := io.ReadFull(g.out, g.reply[:lengthSize]); err != nil {
		return partial(n, err)
	}
	if size := binary.LittleEndian.Uint32(g.reply); size != uint32(guest.ReplySize) {
		return fmt.Errorf("the process wrote %q where the length of an answer (%d) belongs: "+
			"only answers may go to standard output, messages go to standard error", g.reply[:lengthSize], guest.ReplySize)
	}
	if n, err := io.ReadFull(g.out, g.reply[lengthSize:]); err != nil {
		return partial(n+lengthSize, err)
	}
	return guest.ReadReply(g.reply[lengthSize:], out)
}

// cut is an answer that stops short.
type cut struct {
	got int
	err error
}

func (c cut) Error() string { return c.err.Error() }
func (c cut) Unwrap() error { return c.err }

func partial(got int, err error) error { return cut{got, err} }

// explain says in words how talking to the process ended.
func (g *law) explain(err error, limit time.Duration) error {
	var c cut
	got := ""
	if errors.As(err, &c) && c.got > 0 {
		got = fmt.Sprintf(" after %d of the %d bytes of an answer", c.got, len(g.reply))
	}
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		err = fmt.Errorf("the process was silent for %v%s and was killed", limit, got)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, syscall.EPIPE):
		err = fmt.Errorf("the process ended%s (%s)", got, g.cmd.ProcessState)
	}
	if last := g.errors.last(); last != "" {
		return fmt.Errorf("%w; its last words: %s", err, last)
	}
	return err
}

// kill ends the process at once.
func (g *law) kill() {
	if !g.closed {
		g.closed = true
		g.cmd.Process.Kill()
		g.wait()
	}
}

func (g *law) wait() {
	g.in.Close()
	g.cmd.Wait()
	g.out.Close()
}

// Close implements control.Guest: the process may end by itself, and is killed
// when it does not.
func (g *law) Close() error {
	if g.closed {
		return nil
	}
	g.closed = true
	late := time.AfterFunc(g.limits.End, func() { g.cmd.Process.Kill() })
	g.wait()
	late.Stop()
	return nil
}

// errNoFork says why what needs forks is not decided.
var errNoFork = errors.New("the law runs in a process of its own, whose memory cannot be copied")

// Save implements control.Guest.
func (g *law) Save() (control.Saved, error) { return nil, errNoFork }
