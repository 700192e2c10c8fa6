package carry

import (
	"errors"
	"fmt"

	"lapwing/dynamics/kernel"
)

// Move is one move of a carry: the pose to which the hand leads the craft.
type Move struct {
	To               kernel.Vec3 // m, from the mark; x along the heading there, z above its standing height
	Roll, Pitch, Yaw float64     // rad, + right side down, nose down, left; yaw from the heading at the mark
	For              int64       // ticks, > 0
}

// Params is the carry of one run. It never changes in a run.
type Params struct {
	Moves [MaxMoves]Move
	Count int // 0: the craft is not carried
	Fault Fault
}

// Fault is what is wrong with the estimate as the station shows it, for the
// person to find by carrying the craft.
type Fault uint8

// The faults.
const (
	FaultNone  Fault = iota
	FaultSignX       // what goes forward is shown going back
	FaultSignY       // what goes left is shown going right
	FaultScale       // ways are shown too long
	faultCount
)

var faultWords = [faultCount]string{"none", "sign-x", "sign-y", "scale"}

// tooLong is by how much FaultScale stretches: three times what a carry allows.
const tooLong = 1.15

// String returns the word for f.
func (f Fault) String() string {
	if f >= faultCount {
		return "unknown"
	}
	return faultWords[f]
}

// ParseFault returns the fault called w.
func ParseFault(w string) (Fault, bool) {
	for i, candidate := range faultWords {
		if candidate == w {
			return Fault(i), true
		}
	}
	return FaultNone, false
}

// FaultWords lists the faults' words.
func FaultWords() []string { return faultWords[:] }

// Show returns how the station shows a place (m) or, with a mark of zero, a
// speed (m/s), in room axes.
func (f Fault) Show(markW, v kernel.Vec3) kernel.Vec3 {
	if f == FaultNone {
		return v
	}
	d := v.Sub(markW)
	switch f {
	case FaultSignX:
		d.X = -d.X
	case FaultSignY:
		d.Y = -d.Y
	case FaultScale:
		d = d.Scale(tooLong)
	}
	return markW.Add(d)
}

// Limits of a move. A hand leads no faster than somebody walks.
const (
	leastFor   = 200        // ticks
	fastest    = 2.0        // m/s, at the middle of a way
	fastestHow = 15.0 / 8.0 // greatest speed of the path of least jerk, for its mean speed
)

// Validate reports everything that is wrong with p.
func (p *Params) Validate() error {
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	if p.Count < 0 || p.Count > MaxMoves {
		fault("%d moves, must be 0 … %d", p.Count, MaxMoves)
		return errors.Join(errs...)
	}
	if p.Fault >= faultCount {
		fault("no such fault of the estimate")
	}
	at := kernel.Vec3{}
	for i := range p.Count {
		m := &p.Moves[i]
		if m.For < leastFor {
			fault("move %d takes %d ms, must be %d or more", i+1, m.For, leastFor)
			continue
		}
		if speed := float64(fastestHow*1000) * m.To.Sub(at).Norm() / float64(m.For); !(speed <= fastest) {
			fault("move %d reaches %.1f m/s, must be %.0f at most", i+1, speed, fastest)
		}
		if m.To.Z < 0 {
			fault("move %d leads below the floor", i+1)
		}
		at = m.To
	}
	return errors.Join(errs...)
}
