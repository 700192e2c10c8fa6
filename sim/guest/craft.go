package guest

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
)

// rotorField is a Field with one number, or three, for each rotor.
func rotorField(name string, each int, doc string) Field {
	return nums(name, each*dynamics.MaxRotors, doc)
}

// Craft is the layout of what a law is told once, before the first question:
// the craft, and the gains and limits that the built-in law's design chooses
// for it. Arrays by rotor have room for eight; the rest is zero.
var Craft = []Field{
	integer("version", "of the blocks: 1"),
	integer("stage", "the law file asks for: 1 whole, 2 position, 3 velocity, 4 attitude, 5 rate"),
	integer("rotor_count", "3 … 8"),
	num("mass", "kg"),
	num("gravity", "m/s²"),
	nums("inertia", 9, "kg·m², body axes, row after row"),
	num("full_volts", "V for each cell, at which rotor_top holds"),
	num("rotor_lag", "s, mean first-order lag"),
	num("yaw_follow", "share of a yaw moment to pass on in one ms: what spins a rotor up turns the craft at once"),
	num("hover_stick", "throttle that carries the weight in direct thrust, 0 … 1"),

	rotorField("rotor_pos_b", 3, "m, hub, body axes, from the centre of gravity"),
	rotorField("rotor_axis_b", 3, "unit, direction of thrust, body axes"),
	rotorField("rotor_spin", 1, "+1 turns anticlockwise seen from above, −1 clockwise"),
	rotorField("rotor_kt", 1, "N/(rad/s)², thrust by speed squared"),
	rotorField("rotor_kq", 1, "N·m/(rad/s)², torque by speed squared"),
	rotorField("rotor_top", 1, "N at duty 1 and full cells; thrust goes with the square of duty and volts"),
	rotorField("mix_thrust", 1, "rotor thrust for each newton of thrust along body z"),
	rotorField("mix_roll", 1, "1/m, rotor thrust for each N·m about body x"),
	rotorField("mix_pitch", 1, "1/m, rotor thrust for each N·m about body y"),
	rotorField("mix_yaw", 1, "1/m, rotor thrust for each N·m about body z"),

	nums("bandwidth_rate", 3, "rad/s, body x, y, z"),
	num("bandwidth_attitude", "rad/s"),
	num("bandwidth_yaw", "rad/s"),
	num("bandwidth_velocity", "rad/s, horizontal"),
	num("bandwidth_climb", "rad/s"),
	num("bandwidth_position", "rad/s, horizontal"),
	num("bandwidth_height", "rad/s"),

	num("limit_tilt", "rad"),
	num("limit_body_rate", "rad/s, roll and pitch"),
	num("limit_yaw_rate", "rad/s"),
	num("limit_speed", "m/s, horizontal at full stick"),
	num("limit_hold_speed", "m/s, horizontal correction towards a held place"),
	num("limit_accel", "m/s², horizontal"),
	num("limit_climb_up", "m/s"),
	num("limit_climb_down", "m/s"),
	num("limit_climb_accel", "m/s²"),
	num("landing_speed", "m/s, descent of a landing that the craft makes by itself"),
	num("idle_duty", "duty of a rotor that turns without lifting"),
	num("dead_band", "share of half stick travel that gives nothing"),
	num("throttle_dead_band", "share of half travel round the middle that holds height"),
}

// CraftSize is the length of the craft's block (bytes).
var CraftSize = Size(Craft)

// PutCraft writes the craft's block into b, which is at least CraftSize long.
func PutCraft(b []byte, stage control.Stage, c *control.Params) {
	p := pen{b: b}
	p.whole(Version)
	p.whole(int64(stage))
	p.whole(int64(c.RotorCount))
	p.real(c.Mass)
	p.real(c.Gravity)
	p.reals(c.Inertia[:])
	p.real(c.FullVolts)
	p.real(c.Lag)
	p.real(c.YawFollow)
	p.real(control.HoverStick(c))
	putRotors(&p, c)
	g, l := &c.Gains, &c.Limits
	p.vec(&g.Rate)
	p.reals([]float64{g.Attitude, g.Yaw, g.Velocity, g.Climb, g.Position, g.Height})
	p.reals([]float64{l.Tilt, l.BodyRate, l.YawRate, l.Speed, l.HoldSpeed, l.Accel, l.ClimbUp, l.ClimbDown, l.ClimbAcc, l.Land, l.Idle})
	p.reals([]float64{c.Sticks.DeadBand, c.Throttle.DeadBand})
}

func putRotors(p *pen, c *control.Params) {
	each := func(of func(r *control.RotorModel) float64) {
		for i := range c.Rotors {
			p.real(of(&c.Rotors[i]))
		}
	}
	vectors := func(of func(r *control.RotorModel) *kernel.Vec3) {
		for i := range c.Rotors {
			p.vec(of(&c.Rotors[i]))
		}
	}
	vectors(func(r *control.RotorModel) *kernel.Vec3 { return &r.PosB })
	vectors(func(r *control.RotorModel) *kernel.Vec3 { return &r.AxisB })
	each(func(r *control.RotorModel) float64 { return r.Spin })
	each(func(r *control.RotorModel) float64 { return r.KT })
	each(func(r *control.RotorModel) float64 { return r.KQ })
	p.reals(c.Top[:])
	m := &c.Mix
	for _, row := range [][dynamics.MaxRotors]float64{m.Thrust, m.Roll, m.Pitch, m.Yaw} {
		p.reals(row[:])
	}
}
