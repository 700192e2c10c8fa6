package dynamics

// Wrench is what the rotors do to the body in one tick. Thrust, torque and spin
// are held over the tick; the in-plane drag follows the body's speed in every
// stage of the integration.
type Wrench struct {
	ForceB  Vec3 // N, body axes, sum of thrusts
	MomentB Vec3 // N·m, body axes, about the centre of gravity: thrust arms, and the motors' reaction with its spin-up part −J·dΩ/dt
	SpinB   Vec3 // kg·m²/s, body axes, angular momentum of the rotors about their axes

	// DragK is k·Ω of each rotor: the in-plane drag is −DragK·v with v the
	// hub's velocity against the air, across the body's z axis.
	DragK [MaxRotors]float64 // N per m/s
}

// pulls tells whether something besides rotors and air acts on the free body.
func (in *Input) pulls() bool {
	return in.ShiftB != (Vec3{}) || in.HandForceW != (Vec3{}) || in.HandMomentB != (Vec3{})
}

// pull adds to w what a slipped pack and a hand do. The thrust turns the body
// about its moved centre of mass, M = M₀ − shift × F, and a hand pulls at that
// centre. Left out: the body keeps its inertia (a shift of d adds m·d², a
// sixtieth for 10 mm on a quad of 500 g), and the place that State tells, the
// rotors' in-plane drag and the feet on the floor keep the old centre.
func (w *Wrench) pull(in *Input, qWB Quat) {
	w.MomentB = w.MomentB.Sub(in.ShiftB.Cross(w.ForceB)).Add(in.HandMomentB)
	w.ForceB = w.ForceB.Add(qWB.RotateInv(in.HandForceW))
}
