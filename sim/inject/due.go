package inject

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// State is what of the injects changes. A plain value.
type State struct {
	Due       [MaxInjects]int64       // tick at which it is due by itself, Never while its mark is not passed
	Onset     [MaxInjects]int64       // tick at which it came, Never before
	DirW      [MaxInjects]kernel.Vec3 // unit, its direction, set as it comes
	Withdrawn [MaxInjects]bool        // by the instructor: it has no effect any more
	Held      [MaxInjects]bool        // by the instructor: it does not come by itself
	Neutral   bool                    // the effects were left neutral at the last tick
}

// Effects is what the injects do in one tick. Each stage reads its own part.
type Effects struct {
	SpeedFactor  [dynamics.MaxRotors]float64 // 0 … 1, of the speed a motor reaches
	ThrustFactor [dynamics.MaxRotors]float64 // 0 … 1, of the thrust a propeller gives
	SagVolts     float64                     // V for each cell, ≥ 0
	GustW        kernel.Vec3                 // m/s, room axes, the way the air moves
	FixOffsetW   kernel.Vec3                 // m, room axes, added to the camera's position fixes
	FixYaw       float64                     // rad, added to the camera's heading
	FixesLost    bool                        // the camera gives no fixes
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

var (
	neutral     = NoEffects()
	streamOnset = kernel.NewStream("inject onset")
)

// Start returns the state before tick 0: nothing has come.
func Start(p *Plan) State {
	var s State
	for i := range MaxInjects {
		s.Due[i], s.Onset[i] = Never, Never
	}
	return s
}

// First returns the tick at which the first inject came, Never before.
func (s *State) First() int64 {
	first := Never
	for _, onset := range s.Onset {
		if onset != Never && (first == Never || onset < first) {
			first = onset
		}
	}
	return first
}

// Due lets come what is due at tick and leaves in fx what acts in it. m holds
// the marks passed so far.
func Due(p *Plan, s *State, m *Marks, seed uint64, tick int64, fx *Effects) {
	acting := false
	for i := range min(p.Count, MaxInjects) {
		acting = s.acts(p, i, m, seed, tick) || acting
	}
	if acting || !s.Neutral {
		s.Neutral = !acting
		*fx = neutral
	}
	if acting {
		s.add(p, tick, fx)
	}
}

// acts lets inject i come if it is due and tells whether it acts at tick.
func (s *State) acts(p *Plan, i int, m *Marks, seed uint64, tick int64) bool {
	if s.Withdrawn[i] {
		return false
	}
	in := &p.Injects[i]
	if s.Onset[i] == Never {
		if s.Due[i] == Never {
			s.Due[i] = in.Onset.tick(m, seed, i)
		}
		if s.Held[i] || s.Due[i] == Never || tick < s.Due[i] {
			return false
		}
		s.come(in, i, tick)
	}
	age := tick - s.Onset[i]
	return age >= 0 && age < in.LastsTicks
}

// tick returns the tick at which inject i comes, Never while its mark is not
// passed. The wait depends on seed and i alone, so who flies does not shift it.
func (o *Onset) tick(m *Marks, seed uint64, i int) int64 {
	at := m.At[o.After]
	if at == Never {
		return Never
	}
	wait := float64(float64(o.MeanTicks) * kernel.Exponential(seed, streamOnset, 0, uint64(i)))
	return at + o.DelayTicks + int64(min(math.Floor(wait+0.5), float64(o.CapTicks)))
}

func (s *State) come(in *Inject, i int, tick int64) {
	s.Onset[i] = tick
	if in.Kind.Directed() {
		s.DirW[i].Y, s.DirW[i].X = kernel.SinCos(in.DirectionW)
	}
}

// add adds the effects of all injects that act at tick.
func (s *State) add(p *Plan, tick int64, fx *Effects) {
	for i := range min(p.Count, MaxInjects) {
		in := &p.Injects[i]
		if age := tick - s.Onset[i]; s.Onset[i] != Never && !s.Withdrawn[i] && age >= 0 && age < in.LastsTicks {
			in.act(age, s.DirW[i], fx)
		}
	}
}

// act adds what the inject does age ticks after its onset.
func (in *Inject) act(age int64, dirW kernel.Vec3, fx *Effects) {
	now := float64(in.Severity * in.ramp(age))
	switch in.Kind {
	case EstimateDrift:
		fx.FixOffsetW = fx.FixOffsetW.AddScaled(float64(in.Severity*in.walked(age)), dirW)
	case EstimateJump:
		fx.FixOffsetW = fx.FixOffsetW.AddScaled(now, dirW)
	case EstimateRunaway:
		t := float64(age) * dynamics.DT
		fx.FixOffsetW = fx.FixOffsetW.AddScaled(float64(0.5*now*t*t), dirW)
	case HeadingError:
		fx.FixYaw += now
	case VisionLost:
		fx.FixesLost = fx.FixesLost || now > 0
	case LostLink:
		fx.LinkDead = fx.LinkDead || now > 0
	case MotorFailure:
		weaken(&fx.SpeedFactor, in.Rotor, 1-now)
	case ThrustLoss:
		weaken(&fx.ThrustFactor, in.Rotor, 1-now)
	case Gust:
		fx.GustW = fx.GustW.AddScaled(float64(in.Severity*in.gust(age)), dirW)
	case VoltageSag:
		fx.SagVolts += now
	}
}

// weaken multiplies the factor of one rotor, or of all.
func weaken(factors *[dynamics.MaxRotors]float64, rotor int, factor float64) {
	for i := range factors {
		if rotor == AllRotors || rotor == i {
			factors[i] = float64(factors[i] * factor)
		}
	}
}

// ramp is the share of full severity (0 … 1) reached age ticks after onset.
func (in *Inject) ramp(age int64) float64 {
	if age >= in.RampTicks {
		return 1
	}
	return float64(age) / float64(in.RampTicks)
}

// walked is the time integral of ramp (s): how far 1 m/s has led by now.
func (in *Inject) walked(age int64) float64 {
	ramp := float64(in.RampTicks)
	ticks := float64(age) - float64(0.5*ramp)
	if age < in.RampTicks {
		ticks = float64(0.5*float64(age)) * float64(age) / ramp
	}
	return ticks * dynamics.DT
}

// gust is the share of a gust's full strength (0 … 1). It rises as ½(1 − cos πx)
// over the ramp and stays (MIL-F-8785C section 3.7.2.3, from memory); a gust
// that ends falls the same way, so that one that lasts two ramps is the
// "1 − cosine" gust of 14 CFR 25.341(a) (from memory).
func (in *Inject) gust(age int64) float64 {
	nearest := min(age, in.LastsTicks-age)
	if nearest >= in.RampTicks {
		return 1
	}
	x := float64(nearest) / float64(in.RampTicks)
	return 0.5 - float64(0.5*kernel.Cos(math.Pi*x))
}
