package dynamics

// State is everything about craft and air that changes. It is a plain value.
type State struct {
	PosW   Vec3 // m, centre of gravity, room axes
	VelW   Vec3 // m/s, room axes
	QWB    Quat // body → room
	OmegaB Vec3 // rad/s, body axes

	SpecificForceB Vec3 // m/s², what an accelerometer at the centre of gravity feels, mean over the last tick
	AlphaB         Vec3 // rad/s², angular acceleration, mean over the last tick

	RotorSpeed [MaxRotors]float64           // rad/s, ≥ 0
	Thrust     [MaxRotors]float64           // N, over the last tick
	ThrustPer  [MaxRotors]float64           // N·s², thrust for each square of the speed; stands for some ticks (rotor.go)
	TorquePer  [MaxRotors]float64           // N·m·s², aerodynamic torque likewise
	Broken     [MaxRotors]bool              // blade gone after touching
	Queue      [MaxRotors][MaxDelay]float64 // duties on their way through the speed controllers

	Cell Cell
	Gust Gust

	BentW   [MaxPoints]Vec3    // m, room axes, how far each bristle is bent: from its root to the point, along the surface
	Against [MaxPoints]Surface // what each point touches
	Touch   Touch
}

// Cell is the state of one cell; all cells are alike.
type Cell struct {
	Charge    float64 // 0 … 1
	SlowDrop  float64 // V across the slow pair
	Volts     float64 // V under load, over the last tick
	Current   float64 // A from the pack
	Starved   bool    // the power asked for could not be met in the last tick
	BrownOut  bool    // the electronics have stopped; latched until power-up
	Unplugged bool    // the pack gave no current in the last tick: when it does again, that is a power-up
	LowTicks  int32   // ticks in a row below the brown-out voltage
}

// Gust is the state of the turbulence filters, along, across and up.
type Gust struct {
	U     float64    // m/s
	V, W  [2]float64 // m/s, two filter states each
	WindW Vec3       // m/s, whole wind at the craft over the last tick
}

// Surface says what a point touches; None is nothing.
type Surface uint8

// The surfaces a point can touch. Boxes follow from SurfaceBox upwards.
const (
	SurfaceNone Surface = iota
	SurfaceFloor
	SurfaceCeiling
	SurfaceWallXMin
	SurfaceWallXMax
	SurfaceWallYMin
	SurfaceWallYMax
	SurfaceNetXMin
	SurfaceNetXMax
	SurfaceNetYMin
	SurfaceNetYMax
	SurfaceNetTop
	SurfacePerson
	SurfaceBox
)

// Kind is a set of sorts of contact.
type Kind uint16

// The sorts of contact that others ask for.
const (
	TouchSkidFloor  Kind = 1 << iota // a foot on the floor or on a box's top
	TouchRotorFloor                  // a guard or blade on the floor or on a box's top
	TouchWall                        // a wall or the side of a box
	TouchCeiling
	TouchNet
	TouchPerson
)

// Touch is what touched in the last tick.
type Touch struct {
	Kinds Kind
	Load  float64 // N, sum of normal forces on feet standing on the floor or a box's top
	Speed float64 // m/s, greatest closing speed of a point that began to touch in this tick, else 0
}

// Input is what acts on the craft in one tick.
type Input struct {
	Tick int64
	Seed uint64

	Duty [MaxRotors]float64 // 0 … 1, commanded to the speed controllers

	SpeedFactor  [MaxRotors]float64 // 1 sound … 0 stopped: of the speed a motor reaches
	ThrustFactor [MaxRotors]float64 // 1 sound … 0 none, below 0 it pushes down: of the thrust a propeller gives
	SagVolts     float64            // V for each cell lost to a fault, ≥ 0
	GustW        Vec3               // m/s, added to the wind

	PersonShiftW Vec3 // m, by which person 0 has moved from his place

	ShiftB      Vec3 // m, body axes: by which the centre of mass lies off its place
	PowerLost   bool // the pack gives no current; its return is a power-up
	PropsOff    bool // no propellers: rotors turn and give nothing
	HandForceW  Vec3 // N, room axes, of a hand that holds the craft
	HandMomentB Vec3 // N·m, body axes, of that hand
}

// DefaultInput returns the input of a sound craft with its motors off.
func DefaultInput() Input {
	in := Input{}
	for i := range MaxRotors {
		in.SpeedFactor[i], in.ThrustFactor[i] = 1, 1
	}
	return in
}
