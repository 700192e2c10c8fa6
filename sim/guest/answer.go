package guest

import (
	"fmt"

	"lapwing/dynamics"
	"lapwing/sim/control"
)

// Reply is the layout of what a law returns. Only the fields of its stage
// count; they must be finite.
var Reply = []Field{
	integer("version", "of the blocks: 1"),
	nums("vel_w", 3, "position: m/s, room axes, commanded velocity"),
	num("lift", "velocity: N, upwards, ≥ 0"),
	nums("z_w", 3, "velocity: unit, room axes, where body z should point, above the horizon"),
	nums("rate_b", 3, "attitude: rad/s, body axes"),
	num("thrust", "attitude: N, along body z, ≥ 0"),
	nums("moment_b", 3, "rate: N·m, body axes; + is right side down, nose down, turning left"),
	nums("duty", dynamics.MaxRotors, "whole: 0 … 1, beyond that it is cut off"),
}

// ReplySize is the length of the answer's block (bytes).
var ReplySize = Size(Reply)

// PutReply writes an answer into b, which is at least ReplySize long.
func PutReply(b []byte, a *control.Answer) {
	p := pen{b: b}
	p.whole(Version)
	p.vec(&a.VelW)
	p.real(a.Lift)
	p.vec(&a.ZW)
	p.vec(&a.RateB)
	p.real(a.Thrust)
	p.vec(&a.MomentB)
	p.reals(a.Duty[:])
}

// ReadReply reads an answer from b, which is at least ReplySize long.
func ReadReply(b []byte, a *control.Answer) error {
	e := eye{b: b}
	if v := e.whole(); v != Version {
		return fmt.Errorf("its answer begins with version %d, this program speaks %d", v, Version)
	}
	a.VelW, a.Lift, a.ZW = e.vec(), e.real(), e.vec()
	a.RateB, a.Thrust, a.MomentB = e.vec(), e.real(), e.vec()
	for i := range a.Duty {
		a.Duty[i] = e.real()
	}
	return nil
}
