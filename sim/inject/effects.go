package inject

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Effects is what the injects do in one tick. Each stage reads its own part.
type Effects struct {
	SpeedFactor  [dynamics.MaxRotors]float64 // 0 … 1, of the speed a motor reaches
	ThrustFactor [dynamics.MaxRotors]float64 // −0.5 … 1, of the thrust a propeller gives
	SagVolts     float64                     // V for each cell, ≥ 0
	GustW        kernel.Vec3                 // m/s, room axes, the way the air moves
	LinkDead     bool                        // no frame sent is heard

	// What the camera makes of the room.
	SeenOffsetW kernel.Vec3 // m, room axes: what it sees has moved, so its place seems off by this
	MapShiftW   kernel.Vec3 // m, room axes: a wrong match shifts the estimate by this
	MountYaw    float64     // rad, + left: it has turned in its mount
	Covered     bool        // the lens is covered
	Dimmed      float64     // 0 … 1, share of all light that is gone

	// Other senses, computer and link.
	RangeOffset  float64     // m, added to the range sensor's height
	RangeLost    bool        // the range sensor gives nothing
	GyroOffsetB  kernel.Vec3 // rad/s, added to the gyro
	ComputerDead bool        // no picture is worked out, the last setpoint stands, no telemetry
	Astray       bool        // the on-board program steers by AstrayW wherever it holds or follows
	AstrayW      kernel.Vec3 // m/s, room axes
	Stutter      float64     // 0 … 1, share of frames lost besides
	StationDead  bool        // no telemetry comes; the link up is sound
	OtherCraft   bool        // another craft answers the transmitter, this one hears nothing
	StuckAxis    int64       // 0 none, 1 roll, 2 pitch, 3 yaw, 4 throttle: heard at StuckAt
	StuckAt      float64     // −1 … 1, throttle 0 … 1

	// The watchman.
	ActionFails   bool // the lost-link action does not come
	HoldDenied    bool // response types that hold a place are not given
	LandingMissed bool // standing is not noticed
	ArmsItself    bool // it arms without being asked
	CutOffDead    bool // cut-off has no effect

	// Craft and pack.
	PowerLost bool        // no current from the pack
	ShiftB    kernel.Vec3 // m, body axes: the centre of mass has moved
	SwapA     int64       // 1 + rotor whose command goes to SwapB, 0 none
	SwapB     int64       // 1 + rotor whose command goes to SwapA

	// What only people meet.
	PersonShiftW  kernel.Vec3 // m, by which person 0 has walked from their place
	Smoke         bool        // smoke comes from the pack
	NoseMistaken  bool        // who flies takes the tail for the nose
	PictureFrozen bool        // the picture that is flown by stands still
	MarkOff       float64     // share by which the hover mark is off
}

// NoEffects is what acts while nothing goes wrong: factors exactly 1, all else
// exactly 0.
func NoEffects() Effects {
	var fx Effects
	for i := range fx.SpeedFactor {
		fx.SpeedFactor[i], fx.ThrustFactor[i] = 1, 1
	}
	return fx
}
