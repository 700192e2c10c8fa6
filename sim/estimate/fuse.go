package estimate

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// predictTicks is the longest interval of the covariance: 50 Hz, and besides
// whenever a reading is to be weighed.
const predictTicks = 20

// State is the whole filter. It is a plain value.
type State struct {
	Belief    Belief      // holds the nominal position, velocity and attitude
	GyroBias  kernel.Vec3 // rad/s, body axes
	AccelBias kernel.Vec3 // m/s², body axes

	Cov    Cov    // covariance of the error state
	Clone  Clone  // pose at the last exposure
	Motion Motion // since the last prediction
	Ground Ground // what the range finder is believed to see

	Rejected int64   // fixes in a row
	MeanNIS  float64 // running mean before gating
	Calm     int64   // ticks for which a better word has held
}

// Start returns the filter of a craft standing level at posW (m, room axes),
// heading yaw (rad).
func Start(p *Params, posW kernel.Vec3, yaw float64) State {
	s := State{MeanNIS: 6}
	s.Belief.PosW = posW
	s.Belief.QWB = kernel.QuatYaw(yaw)
	s.Belief.Height = posW.Z
	s.Belief.NIS = 6
	same := func(v float64) kernel.Vec3 { return kernel.Vec3{X: v, Y: v, Z: v} }
	s.Cov.setDiag(BlockPos, same(p.StartPos))
	s.Cov.setDiag(BlockVel, same(p.StartVel))
	s.Cov.setDiag(BlockAtt, kernel.Vec3{X: p.StartTilt, Y: p.StartTilt, Z: p.StartYaw})
	s.Cov.setDiag(BlockGyroBias, same(p.StartGyroBias))
	s.Cov.setDiag(BlockAccelBias, same(p.StartAccelBias))
	s.judge(p)
	return s
}

// Fuse takes in one tick's reading: dead reckoning every tick, the covariance
// when something is to be weighed, then the clone of an exposure, a pose that
// arrived, a range.
func Fuse(p *Params, s *State, r *sense.Reading, tick int64) {
	advance(s, r.GyroB, r.AccelB, p.Gravity)
	s.Belief.SinceFix++
	s.Ground.Since++
	if tick%predictTicks == 0 || r.Fix.Exposed || r.Fix.New || r.RangeNew {
		catchUp(p, s)
	}
	if r.Fix.New {
		takeFix(p, s, &r.Fix)
	}
	if r.RangeNew && r.RangeOK {
		takeRange(p, s, r.Range)
	}
	if r.Fix.Exposed {
		Expose(&s.Cov, &s.Clone, s.Belief.PosW, s.Belief.QWB)
	}
	if tick%healthTicks == 0 {
		s.judge(p)
	}
	s.Belief.Height = s.Belief.PosW.Z
}

// catchUp brings the covariance to the present.
func catchUp(p *Params, s *State) {
	g := Growth{
		Vel:       float64(p.AccelNoise * p.AccelNoise),
		Att:       float64(p.GyroNoise * p.GyroNoise),
		GyroBias:  float64(p.GyroWalk * p.GyroWalk),
		AccelBias: float64(p.AccelWalk * p.AccelWalk),
	}
	Predict(&s.Cov, &s.Motion, &g, s.Belief.QWB, s.Clone.Live)
	s.Motion = Motion{}
}
