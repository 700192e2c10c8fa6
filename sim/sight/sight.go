// Package sight is a camera that navigates by landmarks, and the front end that
// makes relative poses of what it sees.
//
// It stands apart from the sensors, because its front end belongs to the filter:
// depth is measured with the filter's own baseline, so what the filter does not
// know, the camera cannot tell it. Nothing here draws a pose from a covariance.
// Drift comes of the picture alone. One picture goes through it so:
//
//  1. landmarks are drawn once, by seed, from a room's texture  (scene.go)
//  2. a picture is taken: which tracks are seen, their bearings
//     with the errors of a real one                            (camera.go, sight.go)
//  3. 30 ms later the front end compares them with the keyframe:
//     residuals, depths, information                           (front.go, info.go)
//  4. it takes a new keyframe where the old one serves no more,
//     and looks for new landmarks                              (keyframe.go)
//
// The result is a set of rows for estimate.FuseSighted.
package sight

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/estimate"
)

// MaxTracks is how many landmarks are followed at a time.
const MaxTracks = 60

// Track is a landmark that is followed from picture to picture.
type Track struct {
	ID  int32   // landmark, −1 for none
	AX  float64 // bearing in the keyframe's picture, as measured: x/z
	AY  float64 // y/z
	X   float64 // bearing in the last picture, as measured
	Y   float64
	WX  float64 // px, by which its bearing has wandered
	WY  float64
	Rho float64 // 1/m, inverse depth along the keyframe's line of sight, as estimated
	Rel float64 // σρ/ρ, 1 for nothing known
}

// Shot is the truth at the last exposure.
type Shot struct {
	Tick    int64
	PosW    Vec3 // m
	VelW    Vec3 // m/s
	QWB     kernel.Quat
	OmegaB  Vec3    // rad/s
	Light   float64 // factor, 0 with the lens covered
	Turned  float64 // rad, + left, of the camera in its mount
	WalkedW Vec3    // m, by which the first person has walked
}

// State is everything about sight that changes. It is a plain value.
type State struct {
	Tracks [MaxTracks]Track
	Shot   Shot
	Wait   bool  // a picture is being worked out
	Due    int64 // tick in which its result arrives

	Frames   int64 // pictures taken
	Searched int64 // number of the picture in which new landmarks were last looked for
	AtKey    int   // tracks that the keyframe began with
	From     int   // where the next search goes on

	// Errors of this camera, the same for the whole run.
	FocalError float64
	MountError Vec3    // rad, body axes
	TimeError  float64 // s
}

// Faults is what goes wrong on purpose. The zero value is no fault.
type Faults struct {
	Covered     bool    // the lens is covered
	Dimmed      float64 // share of all light that is gone, 0 … 1
	Dead        bool    // no picture is taken or worked out
	SeenOffsetW Vec3    // m, what is seen has moved: pictures look as if taken from this far beside
	MountYaw    float64 // rad, + left: the camera has turned in its mount
	WalkedW     Vec3    // m, by which the first person has walked and may stand in the way
}

var (
	cameraErrors = kernel.NewStream("sight camera errors")
	bearingNoise = kernel.NewStream("sight bearing noise")
	bearingWalk  = kernel.NewStream("sight bearing walk")
)

// Start returns a camera as it is switched on, with the errors of its seed.
func Start(p *Params, seed uint64) State {
	s := State{
		FocalError: p.FocalError * kernel.Normal(seed, cameraErrors, 0, 0),
		TimeError:  p.TimeError * kernel.Normal(seed, cameraErrors, 0, 1),
		MountError: kernel.Normal3(seed, cameraErrors, 1, 0).Scale(p.MountError),
		Searched:   -1000,
	}
	for i := range s.Tracks {
		s.Tracks[i].ID = -1
	}
	return s
}

// Arrives tells whether Look will work out a picture in this tick, and so needs
// the filter's guess.
func (s *State) Arrives(tick int64) bool { return s.Wait && tick >= s.Due }

// Wakes tells whether Look has anything to do in this tick.
func (s *State) Wakes(tick int64) bool { return tick%FrameTicks == 0 || s.Arrives(tick) }

// Look takes a picture where one is due and gives the result of the one before
// where that is. guess is what the filter believes of it; it is read only where
// Arrives says so. It reads the craft's true pose and motion, nothing else of it.
func Look(p *Params, sc *Scene, s *State, craft *dynamics.State, guess *estimate.Guess, f *Faults, seed uint64, tick int64, out *estimate.Relative) {
	out.Exposed, out.New, out.Rekey, out.Rows = false, false, false, 0
	if f.Dead {
		s.Wait = false
		return
	}
	if s.Arrives(tick) {
		s.Wait = false
		out.New = true
		s.work(p, sc, guess, seed, out)
	}
	if tick%FrameTicks == 0 {
		out.Exposed = true
		s.expose(p, sc, craft, f, seed, tick)
	}
}

// expose takes a picture: tracks that are no longer seen end, the others get
// their bearings.
func (s *State) expose(p *Params, sc *Scene, craft *dynamics.State, f *Faults, seed uint64, tick int64) {
	s.Shot = Shot{Tick: tick, PosW: craft.PosW.Add(f.SeenOffsetW), VelW: craft.VelW, QWB: craft.QWB, OmegaB: craft.OmegaB,
		Light: 1 - f.Dimmed, Turned: f.MountYaw, WalkedW: f.WalkedW}
	if f.Covered {
		s.Shot.Light = 0
	}
	s.Wait, s.Due = true, tick+p.LatencyTicks
	s.Frames++
	var v view
	s.open(p, sc, &v)
	for i := range s.Tracks {
		t := &s.Tracks[i]
		if t.ID < 0 {
			continue
		}
		x, y, ok := v.see(p, sc, &sc.Landmarks[t.ID], 0)
		if !ok {
			t.ID = -1
			continue
		}
		a, b := white2(seed, bearingWalk, tick, uint64(t.ID))
		t.WX += float64(p.Walk * a)
		t.WY += float64(p.Walk * b)
		s.measure(p, t, x, y, seed, tick)
	}
}

// measure gives track t the bearing of (x, y) as the camera measures it.
func (s *State) measure(p *Params, t *Track, x, y float64, seed uint64, tick int64) {
	a, b := white2(seed, bearingNoise, tick, uint64(t.ID))
	k := 1 + s.FocalError
	t.X = float64(k*x) + (t.WX+float64(p.Noise*a))/p.Focal
	t.Y = float64(k*y) + (t.WY+float64(p.Noise*b))/p.Focal
}
