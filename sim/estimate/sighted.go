package estimate

import (
	"errors"
	"fmt"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/sense"
)

// Sighted is the filter of a camera that knows no place: it compares what it
// sees with a keyframe, an earlier picture, so each picture gives the pose
// against the keyframe's and nothing else. Position and heading then drift.
//
// The clone of State is the keyframe's pose, for as long as it serves: 21 error
// states. The camera's latency needs no second clone: the error of the pose at
// the exposure is the present one carried back over the 30 ms,
//
//	pos₀ = pos − τ·vel,  att₀ = R₀₁·(att + τ·gyroBias)
//
// which leaves out the noise of those 30 ms (some 0.2 mrad and 0.3 mm).
type Sighted struct {
	State
	Shot    Shot        // the last exposure
	Sight   Sight       // what the camera gives
	Still   int64       // ticks for which parked inertial sensors have felt no motion
	Shifted kernel.Vec3 // m, room axes, by which wrong matches have moved the whole estimate
}

// Shot is the believed pose at the last exposure, kept until its picture has
// been worked out.
type Shot struct {
	Live bool
	Age  int64       // ticks since the exposure
	PosW kernel.Vec3 // m
	QWB  kernel.Quat
}

// Relative is what the front end says of one picture: rows of the square root
// of its information on the pose at the exposure against the keyframe's. Each
// row is one number of unit variance. Rows without information are left out, so
// a blind direction is simply absent.
type Relative struct {
	Exposed bool // a picture is taken in this tick
	New     bool // one arrives in this tick
	Rekey   bool // and becomes the keyframe

	Rows  int
	Z     [6]float64     // residual of each row, unit variance
	Trans [6]kernel.Vec3 // per m, on the translation in the keyframe's body axes
	Turn  [6]kernel.Vec3 // per rad, on the rotation in the body axes at the exposure

	Sight Sight
}

// Sight is how well the camera sees.
type Sight struct {
	Tracks    int         // live tracks
	Known     int         // of which the depth is known
	Motion    float64     // px, rms by which bearings differ from the keyframe's
	Parallax  float64     // px, mean of what of it comes of the translation
	WeakW     kernel.Vec3 // unit, room axes as believed: the direction known worst
	WeakSigma float64     // m, one standard deviation along it of one picture; Blind where unknown
}

// Blind stands for a standard deviation without bound.
const Blind = 1e3 // m

// Guess is what the filter believes of the picture that has just arrived: its
// pose against the keyframe's.
type Guess struct {
	Live      bool        // there is a keyframe
	TransB    kernel.Vec3 // m, keyframe's body axes
	Turn      kernel.Quat // body at the exposure → body at the keyframe
	Sigma     float64     // m, one standard deviation of the translation, all axes together
	TurnSigma float64     // rad, one standard deviation of the turn, mean of the axes
	QWB       kernel.Quat // believed attitude at the exposure
	Set       bool        // the craft stands, but its picture is not the keyframe's: it was set down since
	Refused   bool        // so many pictures in a row were refused that keyframe and depths are not to be trusted
}

// SightParams is how the filter treats relative poses.
type SightParams struct {
	Gate      float64 // NIS above which a picture is refused, > 6
	Reaccept  int64   // pictures refused in a row after which the next is believed, ≥ 1
	OpenVel   float64 // m/s, one standard deviation of what was not felt till then, each axis, > 0
	OpenPos   float64 // m, the same along x and y, > 0
	OpenYaw   float64 // rad, the same about the body's up, > 0
	FixSigma  float64 // m, weakest direction below which a picture counts as a fix, > 0
	FixTracks int     // tracks of known depth from which a picture counts as a fix, ≥ 3

	StillMotion float64 // px, motion below which a parked craft is at rest, > 0
	StillTracks int     // tracks from which the picture decides that, ≥ 1
	StillTurn   float64 // rad/s, below which it may be at rest where the camera sees nothing, > 0
	StillForce  float64 // m/s², by which specific force may then be off gravity, > 0
	StillTicks  int64   // for which both must hold, ≥ 1
	StillSigma  float64 // m/s, each axis, of the velocity at rest, > 0
}

// DefaultSightParams returns the treatment for the default camera.
func DefaultSightParams() SightParams {
	return SightParams{
		Gate:     60, // wide: the residual holds errors that stay, not noise alone
		Reaccept: 8,
		OpenVel:  0.5, OpenPos: 0.2, OpenYaw: 0.3, // judgements: what a third of a second may hide
		FixSigma:  0.1,
		FixTracks: 6,

		StillMotion: 1.5, // three times the noise of the difference of two bearings
		StillTracks: 3,
		StillTurn:   0.05, // ten times a sample's noise of the default gyro
		StillForce:  0.4,  // five times a sample's noise of the default accelerometer, and its bias
		StillTicks:  250,
		StillSigma:  0.02,
	}
}

// Validate reports every value outside its range.
func (p *SightParams) Validate() error {
	var errs []error
	check := func(name string, v float64, ok bool, want string) {
		if !ok || !kernel.IsFinite(v) {
			errs = append(errs, fmt.Errorf("%s is %g, must be %s", name, v, want))
		}
	}
	check("Gate", p.Gate, p.Gate > 6, "above 6")
	check("Reaccept", float64(p.Reaccept), p.Reaccept >= 1, "1 or more")
	check("OpenVel", p.OpenVel, p.OpenVel > 0, "above 0")
	check("OpenPos", p.OpenPos, p.OpenPos > 0, "above 0")
	check("OpenYaw", p.OpenYaw, p.OpenYaw > 0, "above 0")
	check("FixSigma", p.FixSigma, p.FixSigma > 0, "above 0")
	check("FixTracks", float64(p.FixTracks), p.FixTracks >= 3, "3 or more")
	check("StillMotion", p.StillMotion, p.StillMotion > 0, "above 0")
	check("StillTracks", float64(p.StillTracks), p.StillTracks >= 1, "1 or more")
	check("StillTurn", p.StillTurn, p.StillTurn > 0, "above 0")
	check("StillForce", p.StillForce, p.StillForce > 0, "above 0")
	check("StillTicks", float64(p.StillTicks), p.StillTicks >= 1, "1 or more")
	check("StillSigma", p.StillSigma, p.StillSigma > 0, "above 0")
	return errors.Join(errs...)
}

// DefaultSightedParams returns the filter for the default camera. It takes the
// inertial sensors for noisier than they are, by the common practice of covering
// what the model of motion leaves out, but much less so than DefaultParams: here
// they must carry the scale. How unsure it is of its place is no reason to doubt
// the camera, which gives none; and it is given the time of a lift-off, in which
// no depth is known yet, before its silence counts.
func DefaultSightedParams() Params {
	p := DefaultParams()
	p.AccelNoise, p.GyroNoise = 0.01, 5e-4
	p.Doubt.Sigma, p.Disagree.Sigma = 10, 30
	p.Doubt.SinceFix, p.Disagree.SinceFix = 720, 1000
	return p
}

// StartSighted returns the filter of a craft standing level at posW (m, room
// axes), heading yaw (rad), with no keyframe yet.
func StartSighted(p *Params, posW kernel.Vec3, yaw float64) Sighted {
	return Sighted{State: Start(p, posW, yaw), Sight: Sight{WeakSigma: Blind}}
}

// Guess returns what the front end needs of the filter.
func (s *Sighted) Guess(sp *SightParams) (g Guess) {
	g.QWB = s.Shot.QWB
	g.Refused = s.Rejected >= sp.Reaccept
	g.Set = s.Still >= sp.StillTicks && s.Sight.Motion >= sp.StillMotion
	if !s.Clone.Live || !s.Shot.Live {
		return g
	}
	d := s.Shot.PosW.Sub(s.Clone.PosW)
	g.Live = true
	g.TransB = s.Clone.QWB.RotateInv(d)
	g.Turn = s.Clone.QWB.Conj().Mul(s.Shot.QWB)
	c := &s.Cov
	g.Sigma = sqrtOrZero(trace(&c[pp]) + trace(&c[cc]) - float64(2*trace(&c[pc])))
	// The turn's error is att₀ − Rᵀ·att_K; of its covariance only the trace counts.
	tau, turn := s.since(s.Belief.QWB)
	back := g.Turn.Matrix()
	m := c[tk]
	addScaled(&m, tau, &c[gk])
	m = turn.Mul(&m) // att₀ with att_K
	m = m.Mul(&back)
	w := trace(&c[tt]) + float64(2*tau*trace(&c[tg])) + trace(&c[kk]) - float64(2*trace(&m))
	g.TurnSigma = sqrtOrZero(w / 3)
	return g
}

// AsksRest tells whether FuseSighted asks in this tick whether the craft is
// parked.
func AsksRest(rel *Relative, tick int64) bool { return rel.New || tick%feelTicks == 0 }

// FuseSighted takes in one tick's readings and the picture that may come with
// it. The fix of the reading is not used. parked tells that the motors do not
// carry the craft; where the picture stands too, it is at rest.
func FuseSighted(p *Params, sp *SightParams, s *Sighted, r *sense.Reading, rel *Relative, parked bool, tick int64) {
	advance(&s.State, r.GyroB, r.AccelB, p.Gravity)
	s.Belief.SinceFix++
	s.Ground.Since++
	s.Shot.Age++
	if tick%predictTicks == 0 || rel.Exposed || rel.New || r.RangeNew {
		catchUp(p, &s.State)
	}
	if rel.New {
		takeRelative(p, sp, s, rel)
		if parked && rel.Sight.Tracks >= sp.StillTracks && rel.Sight.Motion < sp.StillMotion {
			s.rest(sp)
			s.Belief.SinceFix = 0
		}
	}
	if tick%feelTicks == 0 {
		s.feelRest(p, sp, r, parked, tick)
	}
	if r.RangeNew && r.RangeOK {
		before := s.Belief
		takeRange(p, &s.State, r.Range)
		s.correctShot(&before)
	}
	if rel.Exposed {
		s.Shot = Shot{Live: true, PosW: s.Belief.PosW, QWB: s.Belief.QWB}
	}
	if tick%healthTicks == 0 {
		s.judge(p)
	}
	s.Belief.Height = s.Belief.PosW.Z
}

// rest updates with a velocity of nought. Without it a camera that has not yet
// moved, and so knows no depth, lets the filter slide before take-off.
func (s *Sighted) rest(sp *SightParams) {
	before := s.Belief
	var dx Delta
	row := Row{Count: 1, Var: float64(sp.StillSigma * sp.StillSigma)}
	row.Block[0] = BlockVel
	for _, axis := range [3]kernel.Vec3{{X: 1}, {Y: 1}, {Z: 1}} {
		row.H[0], row.Residual = axis, -axis.Dot(s.Belief.VelW)
		Update(&s.Cov, &dx, &row, s.Clone.live())
	}
	inject(&s.State, &dx)
	s.correctShot(&before)
}

// feelTicks is how often the inertial sensors are asked for motion, restTicks
// how often a blind parked craft is held.
const (
	feelTicks = 10
	restTicks = 40
)

// feelRest holds a parked craft by what its inertial sensors feel, where the
// camera has nothing to say: under a lens cap it would slide by hundreds of
// metres before anybody looks. It is no word for the camera.
func (s *Sighted) feelRest(p *Params, sp *SightParams, r *sense.Reading, parked bool, tick int64) {
	if !parked {
		s.Still = 0
		return
	}
	lo, hi := p.Gravity-sp.StillForce, p.Gravity+sp.StillForce
	force := r.AccelB.NormSq()
	if s.Belief.OmegaB.NormSq() > sp.StillTurn*sp.StillTurn || force < lo*lo || force > hi*hi {
		s.Still = 0
		return
	}
	s.Still += feelTicks
	blind := s.Sight.Tracks < sp.StillTracks || s.Shot.Age > 2*restTicks
	if blind && s.Still >= sp.StillTicks && tick%restTicks == 0 {
		s.rest(sp)
	}
}

// Shift moves the estimate to where a wrong match with places seen before puts
// it, to (m, room axes) beside where it would be without one: present, exposure
// and keyframe together, so that the next pictures agree.
func (s *Sighted) Shift(to kernel.Vec3) {
	if to == s.Shifted {
		return
	}
	by := to.Sub(s.Shifted)
	s.Belief.PosW = s.Belief.PosW.Add(by)
	s.Shot.PosW = s.Shot.PosW.Add(by)
	s.Clone.PosW = s.Clone.PosW.Add(by)
	s.Shifted = to
}

// since returns the time (s) since the exposure and the turn body now → body
// then, as believed.
func (s *Sighted) since(now kernel.Quat) (tau float64, turn kernel.Mat3) {
	q := s.Shot.QWB.Conj().Mul(now)
	return float64(s.Shot.Age) * dynamics.DT, q.Matrix()
}

// correctShot carries a correction of the present pose back to the exposure.
func (s *Sighted) correctShot(before *Belief) {
	if !s.Shot.Live {
		return
	}
	tau, turn := s.since(before.QWB)
	b := &s.Belief
	s.Shot.PosW = s.Shot.PosW.Add(b.PosW.Sub(before.PosW)).AddScaled(-tau, b.VelW.Sub(before.VelW))
	s.Shot.QWB = turnedBy(s.Shot.QWB, turn.MulVec(before.QWB.Conj().Mul(b.QWB).Log()))
}

func trace(m *kernel.Mat3) float64 { return m[0] + m[4] + m[8] }
