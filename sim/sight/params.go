package sight

import (
	"errors"
	"fmt"

	"lapwing/dynamics/kernel"
)

// Ticks of the camera.
const (
	FrameTicks = 40 // between two exposures: 25 Hz
)

// Params is what camera and front end are. It never changes in a run.
type Params struct {
	// The camera: a pinhole at the craft's middle, looking forward and down.
	Focal        float64 // px, focal length, > 0
	Width        float64 // px, of the picture, > 0
	Height       float64 // px, > 0
	Tilt         float64 // rad, by which it looks down, −π/2 … π/2
	Exposure     float64 // s, ≥ 0
	LatencyTicks int64   // from exposure to the front end's result, 1 … FrameTicks−1

	// What it can see.
	Near    float64 // m, nearest landmark, > 0
	Far     float64 // m, farthest, > Near
	Facing  float64 // cosine of the flattest angle of sight on a surface, 0 … 1
	Lit     float64 // least light × contrast, > 0
	BlurMax float64 // px, greatest smear, > 0
	Margin  float64 // px, from the border within which no new track starts, ≥ 0

	// Errors of the picture.
	Noise      float64 // px, white, each axis, ≥ 0
	Walk       float64 // px, by which a track's bearing wanders in one picture, each axis, ≥ 0
	FocalError float64 // 1, share, one standard deviation over seeds, ≥ 0
	MountError float64 // rad, camera against inertial sensors, each axis, one standard deviation, ≥ 0
	TimeError  float64 // s, of the picture's time, one standard deviation, ≥ 0

	// The front end.
	Tracked     int     // tracks at most, 1 … MaxTracks
	SearchEvery int64   // pictures between two searches, ≥ 1: 5 is 5 Hz
	PixelSigma  float64 // px, of a bearing as the front end takes it, > 0
	DepthSigma  float64 // px, of a bearing as it goes into a depth, > 0
	Guess       float64 // 1/m, inverse depth of a track of which nothing is known, > 0
	KnownBelow  float64 // σρ/ρ up to which a track's depth counts as known, 0 … 1
	ScaleSigma  float64 // 1, share, an error common to all depths, ≥ 0
	MountSigma  float64 // rad, each axis, of the mounting as the front end takes it, ≥ 0
	KeepShare   float64 // share of the keyframe's tracks below which a new keyframe is taken, 0 … 1
	StaleSigma  float64 // m, uncertainty of the translation above which a keyframe gives no depth, > 0
	KeyParallax float64 // px, mean parallax above which a new keyframe is taken, > 0
}

// DefaultParams returns a small camera and its front end. Noise, walk and the
// errors that stay are typical figures, from memory. PixelSigma, ScaleSigma and
// the filter's AccelNoise were tuned once, together: to the relative errors over
// 7 m and 35 m of a real flight, V1_02 of Burri et al., "The EuRoC micro aerial
// vehicle datasets", IJRR 35(10), 2016, and to a consistent covariance. PixelSigma
// is five times the noise, because the keyframe's own noise and the tracks'
// wandering are the same in some twelve pictures; ScaleSigma is wide, because
// depths measured over one baseline are wrong together, in all of them.
func DefaultParams() Params {
	return Params{
		Focal: 400, Width: 640, Height: 480, // 77° × 62°; common practice for small craft
		Tilt:         0.35,  // 20°
		Exposure:     0.004, // s, indoors; common practice
		LatencyTicks: 30,
		Near:         0.2, Far: 15,
		Facing:  0.17, // 10° of grazing
		Lit:     0.1,
		BlurMax: 3,
		Margin:  15,

		Noise: 0.4, Walk: 0.05,
		FocalError: 0.002, MountError: 0.0020, TimeError: 0.002,

		Tracked: MaxTracks, SearchEvery: 5,
		PixelSigma: 2,
		DepthSigma: 1,
		Guess:      1.0 / 3,
		KnownBelow: 0.3,
		ScaleSigma: 0.3,
		MountSigma: 0.0020,
		KeepShare:  0.6, KeyParallax: 60,
		StaleSigma: 0.02,
	}
}

// Validate reports every value outside its range.
func (p *Params) Validate() error {
	var errs []error
	check := func(name string, v float64, ok bool, want string) {
		if !ok || !kernel.IsFinite(v) {
			errs = append(errs, fmt.Errorf("%s is %g, must be %s", name, v, want))
		}
	}
	above := func(name string, v, low float64) { check(name, v, v > low, fmt.Sprintf("above %g", low)) }
	within := func(name string, v, lo, hi float64) {
		check(name, v, v >= lo && v <= hi, fmt.Sprintf("%g … %g", lo, hi))
	}
	notNegative := func(name string, v float64) { check(name, v, v >= 0, "0 or more") }
	above("Focal", p.Focal, 0)
	above("Width", p.Width, 0)
	above("Height", p.Height, 0)
	within("Tilt", p.Tilt, -1.5707963267948966, 1.5707963267948966)
	notNegative("Exposure", p.Exposure)
	within("LatencyTicks", float64(p.LatencyTicks), 1, FrameTicks-1)
	above("Near", p.Near, 0)
	above("Far", p.Far, p.Near)
	within("Facing", p.Facing, 0, 1)
	above("Lit", p.Lit, 0)
	above("BlurMax", p.BlurMax, 0)
	notNegative("Margin", p.Margin)
	notNegative("Noise", p.Noise)
	notNegative("Walk", p.Walk)
	notNegative("FocalError", p.FocalError)
	notNegative("MountError", p.MountError)
	notNegative("TimeError", p.TimeError)
	within("Tracked", float64(p.Tracked), 1, MaxTracks)
	within("SearchEvery", float64(p.SearchEvery), 1, 1000)
	above("PixelSigma", p.PixelSigma, 0)
	above("DepthSigma", p.DepthSigma, 0)
	above("Guess", p.Guess, 0)
	within("KnownBelow", p.KnownBelow, 0, 1)
	notNegative("ScaleSigma", p.ScaleSigma)
	notNegative("MountSigma", p.MountSigma)
	within("KeepShare", p.KeepShare, 0, 1)
	above("StaleSigma", p.StaleSigma, 0)
	above("KeyParallax", p.KeyParallax, 0)
	return errors.Join(errs...)
}
