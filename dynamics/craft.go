// Package dynamics is the craft and the air round it, as pure functions of
// (constants, state, input, one tick).
//
// One call of Step moves the world on by one millisecond:
//
//  1. the speed controllers hear the duty commanded some ticks ago and the
//     rotors follow with their lag                             (rotor.go)
//  2. the air gives the wind at the craft                      (air.go)
//  3. speed, inflow, ground and ceiling give thrust and torque (rotor.go)
//  4. the power drawn gives the cells' voltage                 (battery.go)
//  5. forces and moments move the rigid body by RK4, in four
//     sub-steps while something touches                        (body.go, contact.go)
//
// Nothing here knows of sensors, pilots or scores. Craft and Place are constant
// over a run; State is a plain value, so assigning it forks the future.
package dynamics

import "lapwing/dynamics/kernel"

// Bounds of the fixed arrays; the reader of craft and room files refuses more.
const (
	MaxRotors  = 8                    // rotors of a craft
	MaxSkids   = 6                    // feet of a craft
	MaxPoints  = MaxSkids + MaxRotors // points that can touch: feet, then guards
	MaxDelay   = 16                   // ticks of speed-controller delay
	MaxStatic  = 24                   // rows of a static propeller table
	MaxAdvance = 24                   // rows of an advancing propeller table
	MaxBoxes   = 12                   // boxes in a room
	MaxPeople  = 6                    // people places in a room
	MaxFans    = 2                    // fans in a room
)

// DT is the length of a tick in seconds.
const DT = 1e-3

// Vec3, Quat and Mat3 are the kernel's, named here for readers of this package.
type (
	Vec3 = kernel.Vec3
	Quat = kernel.Quat
	Mat3 = kernel.Mat3
)

// Craft is what the rigid body, rotors and battery are made of. It is filled
// once from a craft file and never changes in a run.
type Craft struct {
	Mass       float64 // kg, > 0
	Inertia    Mat3    // kg·m², body axes, about the centre of gravity, symmetric positive definite
	InertiaInv Mat3    // 1/(kg·m²), inverse of Inertia
	DragArea   Vec3    // m², drag coefficient × area of the frame along each body axis, ≥ 0

	Rotors     [MaxRotors]Rotor
	RotorCount int // 3 … MaxRotors

	Skids     [MaxSkids]Vec3 // m, feet, body axes, from the centre of gravity
	SkidCount int            // 3 … MaxSkids
	Contact   Contact        // how feet and guards meet hard surfaces

	GroundBody float64 // 1, Kb: lift that the flow turned up by the ground puts on the frame, ≥ 0 (ground.go)

	Battery Battery

	prepared bool    // derived by Prepare: it was called
	reach    float64 // m, derived by Prepare: height above which no surface acts on any rotor
	span     float64 // m, derived by Prepare: radius of the craft with its discs

	touchReach float64 // m, derived by Prepare: radius of the sphere that holds every point that can touch
}

// Rotor is one motor with its propeller.
type Rotor struct {
	PosB       Vec3    // m, hub, body axes, from the centre of gravity
	AxisB      Vec3    // unit, direction of thrust, body axes
	Spin       float64 // +1 turns anticlockwise seen from above, −1 clockwise
	Diameter   float64 // m, > 0
	Prop       Propeller
	SpeedMax   float64 // rad/s at duty 1 and full cells, > 0
	Lag        float64 // s, first-order lag of the speed, > 0
	DelayTicks int     // ticks, speed-controller delay, 0 … MaxDelay−1
	Inertia    float64 // kg·m², propeller and bell about the axis, ≥ 0
	Drag       float64 // N per (rad/s · m/s), in-plane drag linear in air speed, ≥ 0
	Guard      float64 // m, radius of the guard ring, ≥ Diameter/2; 0 means no guard: the blade itself touches
	BreakSpeed float64 // m/s, closing speed at which a touching blade breaks, > 0
	Efficiency float64 // 0 … 1, motor and speed controller, shaft power per electrical power

	fixed rotorFixed // derived by Craft.Prepare
}

// Propeller is a table of measured coefficients in the propeller convention:
// thrust = CT·ρ·n²·D⁴ and shaft power = CP·ρ·n³·D⁵ with n in revolutions per
// second; advance ratio J = V/(n·D) with V the air's speed against the thrust.
type Propeller struct {
	StaticCount  int
	StaticSpeed  [MaxStatic]float64 // rev/s, rising
	StaticCT     [MaxStatic]float64
	StaticCP     [MaxStatic]float64
	AdvanceSpeed float64 // rev/s at which the advancing rows were measured
	AdvanceCount int
	AdvanceJ     [MaxAdvance]float64 // rising, ≥ 0
	AdvanceCT    [MaxAdvance]float64 // used relative to its value at J = 0, the static one at AdvanceSpeed
	AdvanceCP    [MaxAdvance]float64

	// Derived by Prepare.
	static      curve   // CT and CP over rev/s
	advance     curve   // factors on CT and CP over J
	lambda      float64 // n·D, the inflow in hover
	perLambdaSq float64 // 1/(n·D)², 1/lambda²
	slopeLambda float64 // 1, relative change of CT with total inflow in hover inflows, ≤ 0
}

// Contact is how a touching point meets a surface: a spring and damper along
// the normal and a bristle along the surface.
type Contact struct {
	Stiffness float64 // N/m for each point on a hard surface
	Damping   float64 // N·s/m for each point on a hard surface
	Friction  float64 // Coulomb coefficient, ≥ 0
}

// Battery is a pack of equal cells in series.
type Battery struct {
	Cells          int
	Capacity       float64 // A·s
	Resistance     float64 // Ω for each cell, ohmic
	RCResistance   float64 // Ω for each cell, of the slow pair
	RCTime         float64 // s, time constant of the slow pair
	Idle           float64 // W, what the electronics draw
	FullVolts      float64 // V for each cell, at which SpeedMax holds
	CautionVolts   float64 // V for each cell under load
	CriticalVolts  float64 // V for each cell under load
	BrownOutVolts  float64 // V for each cell under load, below which the electronics stop
	StartingCharge float64 // 0 … 1

	keep float64 // 1, derived by Craft.Prepare: what a tick leaves of the slow pair
}
