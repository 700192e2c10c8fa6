package conform

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/hands"
)

// The parts of a push.
const (
	lift = iota
	roll
	pitch
	yaw
)

// partNames say what a positive part is.
var partNames = [4]string{"thrust", "roll moment (right side down)", "pitch moment (nose down)", "yaw moment (turning left)"}

// probe is one change of a hover and the push that should answer it.
type probe struct {
	stage    control.Stage // that it looks at
	response hands.Response
	heading  float64 // rad
	change   func(t *trial)
	part     int
	sign     float64 // of the part that should answer
	what     string  // was changed
	cause    string  // of a wrong sign, most likely
}

const east = math.Pi / 2 // rad, a heading at which room and body axes are easily told apart

// probes are in the order in which a developer should put things right: from the
// inside out.
var probes = []probe{
	{control.Rate, hands.Rate, 0, func(t *trial) { t.belief.OmegaB.X = 0.5 }, roll, -1,
		"a positive roll rate (right side going down)", "the sign of the roll rate, or of roll where thrust is shared out among the rotors"},
	{control.Rate, hands.Rate, 0, func(t *trial) { t.belief.OmegaB.Y = 0.5 }, pitch, -1,
		"a positive pitch rate (nose going down)", "the sign of the pitch rate, or of pitch where thrust is shared out among the rotors"},
	{control.Rate, hands.Rate, 0, func(t *trial) { t.belief.OmegaB.Z = 0.5 }, yaw, -1,
		"a positive yaw rate (turning left)", "the sign of the yaw rate, or of yaw where thrust is shared out among the rotors"},
	{control.Rate, hands.Rate, 0, func(t *trial) { t.in.Hands.Roll = 500 }, roll, 1,
		"the roll stick to the right, in rate", "the sign of the roll stick"},
	{control.Rate, hands.Rate, 0, func(t *trial) { t.in.Hands.Pitch = 500 }, pitch, 1,
		"the pitch stick forward, in rate", "the sign of the pitch stick"},
	{control.Rate, hands.Rate, 0, func(t *trial) { t.in.Hands.Yaw = 500 }, yaw, -1,
		"the yaw stick to the right, in rate", "the sign of the yaw stick: right is a negative yaw rate"},
	{control.Rate, hands.Attitude, 0, func(t *trial) { t.in.Hands.Throttle += 150 }, lift, 1,
		"the throttle raised, in attitude", "the sign of the throttle"},

	{control.Attitude, hands.Attitude, 0, func(t *trial) { t.tilt(0.15, 0) }, roll, -1,
		"a lean to the right", "the sign of the roll error"},
	{control.Attitude, hands.Attitude, 0, func(t *trial) { t.tilt(0, 0.15) }, pitch, -1,
		"a lean forward", "the sign of the pitch error"},
	{control.Attitude, hands.Attitude, east, func(t *trial) { t.tilt(0.15, 0) }, roll, -1,
		"a lean to the right, with the nose turned left by 90°", "the frame of the attitude error: it belongs into body axes"},
	{control.Attitude, hands.Attitude, east, func(t *trial) { t.tilt(0, 0.15) }, pitch, -1,
		"a lean forward, with the nose turned left by 90°", "the frame of the attitude error: it belongs into body axes"},
	{control.Attitude, hands.Attitude, 0, func(t *trial) { t.belief.QWB = kernel.QuatYaw(0.3) }, yaw, -1,
		"a heading too far to the left", "the sign of the heading error"},
	{control.Attitude, hands.Attitude, 3.0, func(t *trial) { t.belief.QWB = kernel.QuatYaw(3.3) }, yaw, -1,
		"a heading too far to the left, across the step from π to −π", "the way round: a heading error must be wrapped"},
	{control.Attitude, hands.Attitude, 0, func(t *trial) { t.in.Hands.Roll = 500 }, roll, 1,
		"the roll stick to the right, in attitude", "the sign of the roll stick"},
	{control.Attitude, hands.Attitude, 0, func(t *trial) { t.in.Hands.Pitch = 500 }, pitch, 1,
		"the pitch stick forward, in attitude", "the sign of the pitch stick"},
	{control.Attitude, hands.Attitude, east, func(t *trial) { t.in.Hands.Pitch = 500 }, pitch, 1,
		"the pitch stick forward, in attitude, with the nose turned left by 90°", "the frame of the sticks: they belong to the craft's heading"},
	{control.Attitude, hands.Attitude, 0, func(t *trial) { t.in.Hands.Yaw = 500 }, yaw, -1,
		"the yaw stick to the right, in attitude", "the sign of the yaw stick: right turns right, which is a negative yaw rate"},

	{control.Velocity, hands.HeightHold, 0, func(t *trial) { t.belief.VelW.Z = 0.5 }, lift, -1,
		"climbing by itself, in height-hold", "the sign of the climb speed"},
	{control.Velocity, hands.HeightHold, 0, func(t *trial) { t.in.Hands.Throttle = 800 }, lift, 1,
		"the throttle raised, in height-hold", "the sign of the throttle: above the middle climbs"},
	{control.Velocity, hands.PositionHold, 0, func(t *trial) { t.belief.VelW.X = 0.3 }, pitch, -1,
		"moving forward by itself, in position-hold", "the sign of the velocity, or of the lean it asks for: to slow down the nose goes up"},
	{control.Velocity, hands.PositionHold, 0, func(t *trial) { t.belief.VelW.Y = 0.3 }, roll, 1,
		"moving left by itself, in position-hold", "the sign of the velocity, or of the lean it asks for: to slow down the right side goes down"},
	{control.Velocity, hands.PositionHold, east, func(t *trial) { t.belief.VelW.X = 0.3 }, roll, -1,
		"moving along x of the room, in position-hold, with the nose turned left by 90°", "the frame of the velocity: it is in room axes, the lean in body axes"},
	{control.Velocity, hands.PositionHold, 0, func(t *trial) { t.in.Hands.Pitch = 500 }, pitch, 1,
		"the pitch stick forward, in position-hold", "the sign of the pitch stick"},
	{control.Velocity, hands.PositionHold, 0, func(t *trial) { t.in.Hands.Roll = 500 }, roll, 1,
		"the roll stick to the right, in position-hold", "the sign of the roll stick"},

	{control.Position, hands.HeightHold, 0, func(t *trial) { t.belief.PosW.Z += 0.4; t.belief.Height += 0.4 }, lift, -1,
		"too high, in height-hold", "the sign of the height error"},
	{control.Position, hands.PositionHold, 0, func(t *trial) { t.belief.PosW.X += 0.4 }, pitch, -1,
		"too far forward, in position-hold", "the sign of the position error, or of the lean it asks for"},
	{control.Position, hands.PositionHold, 0, func(t *trial) { t.belief.PosW.Y += 0.4 }, roll, 1,
		"too far left, in position-hold", "the sign of the position error, or of the lean it asks for: to go right the right side goes down"},
	{control.Position, hands.PositionHold, east, func(t *trial) { t.belief.PosW.X += 0.4 }, roll, -1,
		"too far along x of the room, in position-hold, with the nose turned left by 90°", "the frame of the position error: it is in room axes, the lean in body axes"},
	{control.Position, hands.Path, 0, func(t *trial) { t.in.Path.PosW.X += 0.4 }, pitch, 1,
		"the path ahead of the craft", "the sign of the error to the path"},
	{control.Position, hands.Path, 0, func(t *trial) { t.in.Path.PosW.Z += 0.4 }, lift, 1,
		"the path above the craft", "the sign of the height error to the path"},
}

// tilt leans the craft by angles about body x and body y (rad).
func (t *trial) tilt(aboutX, aboutY float64) {
	lean := kernel.QuatExp(kernel.Vec3{X: aboutX, Y: aboutY})
	t.belief.QWB = t.belief.QWB.Mul(lean)
}

const (
	probeTicks  = 160  // over which the answer to a probe is taken
	leastAnswer = 0.02 // rad/s², and for thrust share of this times the weight, that counts as an answer
)

// checkProbes makes each probe that concerns the law.
func checkProbes(b *Bench, r *Report) error {
	t, err := newTrial(b)
	if err != nil {
		return err
	}
	defer t.end()
	for i := range probes {
		q := &probes[i]
		if !b.concerns(q.stage) {
			continue
		}
		d, err := t.pushAfter(q.response, q.heading, q.change)
		if err != nil {
			return err
		}
		d[lift] /= b.Law.Weight
		r.Checks++
		q.judge(&d, r)
	}
	return t.checkBothQuaternions(r)
}

// judge says what is wrong with the answer to a probe.
func (q *probe) judge(d *push, r *Report) {
	answer := d[q.part] * q.sign
	other, most := q.part, 0.0
	for k := roll; k <= pitch; k++ { // yaw reaches into the others through its rotors' lag, not the other way
		if k != q.part && q.part != lift && q.part != yaw && size(d[k]) > most {
			other, most = k, size(d[k])
		}
	}
	switch {
	case most > size(answer) && most > leastAnswer:
		r.find(true, "%s was answered mostly by %s instead of %s: axes are exchanged, or it is in the wrong frame", q.what, partNames[other], partNames[q.part])
	case size(answer) < leastAnswer:
		r.find(true, "%s was not answered: there should be %s %s", q.what, signWord(q.sign), partNames[q.part])
	case answer < 0:
		r.find(true, "%s was answered by more %s %s, where there should be %s: look at %s", q.what, signWord(-q.sign), partNames[q.part], signWord(q.sign), q.cause)
	}
}

func signWord(sign float64) string {
	if sign < 0 {
		return "negative"
	}
	return "positive"
}
