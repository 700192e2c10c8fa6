package record

import (
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
)

// lawMessage is what a law in a process of its own has answered since the last
// such message. The answers are inputs: with them a recording can be flown again
// where the process is not.
type lawMessage struct {
	Stage   string `json:"stage"`
	Answers string `json:"answers"` // base 64 of doubles, little-endian: the part of each answer that belongs to the stage
}

// Tape is a law from outside whose answers are kept for a recording.
type Tape struct {
	control.Guest
	said []byte // since the last message
}

// NewTape returns g with a tape that listens to it. The writer takes what it
// keeps once it has been told of it by Listen.
func NewTape(g control.Guest) *Tape { return &Tape{Guest: g} }

// Act implements control.Guest.
func (t *Tape) Act(in *control.Input, want *control.Want, out *control.Answer) error {
	err := t.Guest.Act(in, want, out)
	if err == nil {
		for _, x := range partOf(t.Stage(), out) {
			t.said = binary.LittleEndian.AppendUint64(t.said, math.Float64bits(*x))
		}
	}
	return err
}

// partOf returns the numbers of an answer that belong to a stage.
func partOf(g control.Stage, a *control.Answer) []*float64 {
	vec := func(v *kernel.Vec3) []*float64 { return []*float64{&v.X, &v.Y, &v.Z} }
	switch g {
	case control.Position:
		return vec(&a.VelW)
	case control.Velocity:
		return append(vec(&a.ZW), &a.Lift)
	case control.Attitude:
		return append(vec(&a.RateB), &a.Thrust)
	case control.Rate:
		return vec(&a.MomentB)
	}
	var all []*float64
	for i := range a.Duty {
		all = append(all, &a.Duty[i])
	}
	return all
}

// played is a law that says again what a recording holds: a control.Guest.
type played struct {
	stage control.Stage
	said  []float64
}

// Guest returns a law that gives the recorded answers, or nil where the
// recording holds none. It can be asked through once.
func (r *Recording) Guest() control.Guest {
	if r.lawStage == control.BuiltIn {
		return nil
	}
	return &played{r.lawStage, r.lawSaid}
}

// Stage implements control.Guest.
func (p *played) Stage() control.Stage { return p.stage }

var (
	errSaidAll  = errors.New("the recording holds no more answers of its law: the flight is not the recorded one")
	errTapeFork = errors.New("the law ran in a process of its own, and the recording holds only what it answered in this flight")
)

// Act implements control.Guest.
func (p *played) Act(_ *control.Input, _ *control.Want, out *control.Answer) error {
	part := partOf(p.stage, out)
	if len(p.said) < len(part) {
		return errSaidAll
	}
	for i, x := range part {
		*x = p.said[i]
	}
	p.said = p.said[len(part):]
	return nil
}

// Save implements control.Guest.
func (p *played) Save() (control.Saved, error) { return nil, errTapeFork }

// Close implements control.Guest.
func (p *played) Close() error { return nil }

func (r *Recording) takeLaw(m *lawMessage) error {
	stage, ok := control.ParseStage(m.Stage)
	if !ok || r.lawStage != control.BuiltIn && r.lawStage != stage {
		return fmt.Errorf("answers of a law for the stage %q, which does not belong here", m.Stage)
	}
	bytes, err := base64.StdEncoding.DecodeString(m.Answers)
	if err != nil || len(bytes)%8 != 0 {
		return errors.New("answers of a law that are damaged")
	}
	r.lawStage = stage
	for ; len(bytes) > 0; bytes = bytes[8:] {
		r.lawSaid = append(r.lawSaid, math.Float64frombits(binary.LittleEndian.Uint64(bytes)))
	}
	return nil
}

// Listen takes the answers that t keeps into the recording from now on.
func (w *Writer) Listen(t *Tape) {
	w.tape = t
	if w.err == nil {
		w.err = w.addChannel(topicLaw)
	}
}

// putAnswers writes what the tape has kept.
func (w *Writer) putAnswers(tick int64) {
	if w.tape == nil || len(w.tape.said) == 0 {
		return
	}
	w.put(topicLaw, tick, lawMessage{w.tape.Stage().String(), base64.StdEncoding.EncodeToString(w.tape.said)})
	w.tape.said = w.tape.said[:0]
}
