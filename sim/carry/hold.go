package carry

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// The hand's path is that of people who reach for something: the time integral
// of the squared jerk is least, which between two points at rest gives the share
// 10τ³ − 15τ⁴ + 6τ⁵ of the way. T. Flash and N. Hogan, The coordination of arm
// movements: an experimentally confirmed mathematical model, J. Neuroscience
// 5(7), 1985, 1688–1703 (from memory). Angles follow the same share, a choice.

// share returns how much of a way is behind at τ = 0 … 1 of its time, and how
// fast that grows, for each unit of τ.
func share(tau float64) (way, speed float64) {
	if tau >= 1 {
		return 1, 0
	}
	sq := float64(tau * tau)
	way = float64(sq * tau * (10 + float64(tau*(float64(6*tau)-15))))
	left := 1 - tau
	return way, float64(30 * sq * left * left)
}

// How the hand holds: the craft on it swings at 4 Hz and is well damped. For
// half a kilogram that is a stiffness of 310 N/m, of the order measured at the
// human hand (F. A. Mussa-Ivaldi, N. Hogan and E. Bizzi, J. Neuroscience 5(10),
// 1985, from memory). The same for turning, a judgement.
const (
	holdRate  = 25.0 // rad/s
	holdRatio = 0.7  // 1, of critical damping
)

// Hold moves the hand on by one tick and writes what it does to the craft into
// in. shownW is the estimate as the station shows it (m, room axes). It must not
// be called while no hand is on the craft.
func (s *State) Hold(c *dynamics.Craft, place *dynamics.Place, craft *dynamics.State, shownW kernel.Vec3, tick int64, in *dynamics.Input) {
	s.Facts.Path += float64(craft.VelW.Norm() * dynamics.DT)
	posW, velW, qWB, omegaB := s.lead(tick)
	bears := s.bears(tick)

	pull := posW.Sub(craft.PosW).Scale(holdRate * holdRate)
	pull = pull.AddScaled(2*holdRatio*holdRate, velW.Sub(craft.VelW))
	pull.Z += place.Air.Gravity
	in.HandForceW = pull.Scale(float64(bears * c.Mass))

	turn := craft.QWB.Conj().Mul(qWB).Log().Scale(holdRate * holdRate)
	turn = turn.AddScaled(2*holdRatio*holdRate, omegaB.Sub(craft.OmegaB))
	in.HandMomentB = c.Inertia.MulVec(turn).Scale(bears)

	s.pass(craft, shownW, tick)
	if s.Phase == Free {
		in.HandForceW, in.HandMomentB = kernel.Vec3{}, kernel.Vec3{}
	}
}

// bears returns the share of its full hold, 0 … 1, that the hand has.
func (s *State) bears(tick int64) float64 {
	age := float64(tick - s.Since)
	switch s.Phase {
	case Grasping:
		have, _ := share(age / graspFor)
		return have
	case Letting:
		gone, _ := share(age / letGoFor)
		return 1 - gone
	}
	return 1
}

// lead returns where the hand leads the craft at tick, and how fast: m, m/s in
// room axes, and rad/s in the axes of the body led.
func (s *State) lead(tick int64) (posW, velW kernel.Vec3, qWB kernel.Quat, omegaB kernel.Vec3) {
	age := tick - s.Since
	if age >= s.Lasts {
		return s.To.PosW, kernel.Vec3{}, s.To.turned(), kernel.Vec3{}
	}
	perTick := 1 / float64(s.Lasts)
	way, speed := share(float64(float64(age) * perTick))
	whole := s.To.PosW.Sub(s.From.PosW)
	qWB = s.between(way).turned()
	next, _ := share(float64(float64(age+1) * perTick))
	omegaB = qWB.Conj().Mul(s.between(next).turned()).Log().Scale(1 / dynamics.DT)
	return s.From.PosW.AddScaled(way, whole), whole.Scale(float64(speed * perTick / dynamics.DT)), qWB, omegaB
}

// between returns the angles at a share of the way.
func (s *State) between(way float64) Pose {
	a, b := &s.From, &s.To
	return Pose{
		Roll:  a.Roll + float64(way*(b.Roll-a.Roll)),
		Pitch: a.Pitch + float64(way*(b.Pitch-a.Pitch)),
		Yaw:   a.Yaw + float64(way*(b.Yaw-a.Yaw)),
	}
}

func (p Pose) turned() kernel.Quat { return kernel.QuatEuler(p.Roll, p.Pitch, p.Yaw) }
