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
