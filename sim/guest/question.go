package guest

import (
	"lapwing/dynamics"
	"lapwing/sim/control"
)

// Question is the layout of what a law receives each time it is asked.
var Question = []Field{
	integer("version", "of the blocks: 1"),
	integer("tick", "ms since the start, ≥ 0"),
	integer("stage", "asked: 1 whole, 2 position, 3 velocity, 4 attitude, 5 rate"),

	num("throttle", "stick as heard, 0 lowest … 1"),
	num("roll", "stick as heard, −1 left … 1 right"),
	num("pitch", "stick as heard, −1 back … 1 forward"),
	num("yaw", "stick as heard, −1 left … 1 right"),
	integer("response", "in force: 0 rate, 1 attitude, 2 height-hold, 3 position-hold, 4 path"),
	integer("motors_on", "1 when the motors may turn; else duties count for nothing"),
	integer("armed", "1 when armed"),
	integer("landed", "1 when standing on the floor with the throttle lowest"),
	integer("landing", "1 when the craft comes down by itself"),
	integer("link", "0 good, 1 stale, 2 lost: the sticks only stand as last heard"),
	integer("battery", "0 good, 1 caution, 2 critical"),
	num("cell_volts", "V for each cell, as measured"),

	nums("pos_w", 3, "m, room axes, estimated"),
	nums("vel_w", 3, "m/s, room axes, estimated"),
	nums("q_wb", 4, "w, x, y, z, body to room, estimated; q and −q are the same attitude"),
	nums("omega_b", 3, "rad/s, body axes; + is right side down, nose down, turning left"),
	nums("accel_w", 3, "m/s², room axes, without gravity"),
	num("height", "m above the floor"),
	integer("height_ok", "1 when a height source is healthy"),
	integer("health", "the camera 0 agrees, 1 is doubtful, 2 disagrees"),
	integer("since_fix", "ms since the last accepted fix"),
	num("nis", "normalised innovation squared of the last fix"),
	num("sigma_pos", "m, standard deviation of the horizontal position"),

	integer("path_active", "1 when the path's setpoint may be followed"),
	integer("path_done", "1 when the path's end is reached"),
	nums("path_pos_w", 3, "m, room axes"),
	nums("path_vel_w", 3, "m/s, room axes"),
	nums("path_acc_w", 3, "m/s², room axes, without gravity"),
	num("path_yaw", "rad, heading of body x, −π … π"),
	num("path_yaw_rate", "rad/s"),
	integer("steered", "1 when the path's setpoint is to be followed in position-hold as well"),

	integer("has_speeds", "1 when the craft reports rotor speeds"),
	nums("rotor_speed", dynamics.MaxRotors, "rad/s, as reported"),

	nums("want_pos_w", 3, "position: m, room axes; what is not held is the present place"),
	nums("want_vel_w", 3, "position: m/s, to be added; velocity: m/s, commanded; room axes"),
	nums("want_acc_w", 3, "velocity: m/s², room axes, feed-forward"),
	nums("want_z_w", 3, "attitude: unit, room axes, where body z should point"),
	num("want_yaw", "attitude: rad, −π … π, heading to hold"),
	num("want_yaw_rate", "attitude: rad/s, how fast that heading turns"),
	nums("want_rate_b", 3, "rate: rad/s, body axes"),
	num("want_thrust", "attitude, rate: N, along body z"),
}

// QuestionSize is the length of the question's block (bytes).
var QuestionSize = Size(Question)

// PutQuestion writes a question into b, which is at least QuestionSize long.
func PutQuestion(b []byte, stage control.Stage, in *control.Input, want *control.Want) {
	p := pen{b: b}
	p.whole(Version)
	p.whole(in.Tick)
	p.whole(int64(stage))
	putHands(&p, in)
	putBelief(&p, in)
	s := &in.Path
	p.flag(s.Active)
	p.flag(s.Done)
	p.vec(&s.PosW)
	p.vec(&s.VelW)
	p.vec(&s.AccW)
	p.real(s.Yaw)
	p.real(s.YawRate)
	p.flag(in.Steered)
	p.flag(in.HasSpeeds)
	p.reals(in.RotorSpeed[:])
	p.vec(&want.PosW)
	p.vec(&want.VelW)
	p.vec(&want.AccW)
	p.vec(&want.ZW)
	p.real(want.Yaw)
	p.real(want.YawRate)
	p.vec(&want.RateB)
	p.real(want.Thrust)
}

func putHands(p *pen, in *control.Input) {
	h, s := &in.Hands, in.Status
	p.stick(h.Throttle)
	p.stick(h.Roll)
	p.stick(h.Pitch)
	p.stick(h.Yaw)
	p.whole(int64(s.Response))
	p.flag(s.MotorsOn)
	p.flag(s.Armed)
	p.flag(s.Landed)
	p.flag(s.Landing)
	p.whole(int64(s.Link))
	p.whole(int64(s.Battery))
	p.real(in.CellVolts)
}

func putBelief(p *pen, in *control.Input) {
	b := in.Belief
	p.vec(&b.PosW)
	p.vec(&b.VelW)
	p.reals([]float64{b.QWB.W, b.QWB.X, b.QWB.Y, b.QWB.Z})
	p.vec(&b.OmegaB)
	p.vec(&b.AccelW)
	p.real(b.Height)
	p.flag(b.HeightOK)
	p.whole(int64(b.Health))
	p.whole(b.SinceFix)
	p.real(b.NIS)
	p.real(b.SigmaPos)
}
