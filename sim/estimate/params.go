package estimate

import (
	"errors"
	"fmt"

	"lapwing/dynamics/kernel"
)

// Params is what the filter assumes of sensors and motion. It never changes in
// a run.
type Params struct {
	Gravity float64 // m/s², of the room, > 0

	// Noise densities of the inertial sensors as the filter takes them: the
	// sensor's own noise, vibration and all that the model of motion leaves out.
	GyroNoise  float64 // rad/s/√Hz, > 0
	GyroWalk   float64 // rad/s²/√Hz, ≥ 0
	AccelNoise float64 // m/s²/√Hz, > 0
	AccelWalk  float64 // m/s³/√Hz, ≥ 0

	FixPosSigma float64 // m, each axis, > 0
	FixAngSigma float64 // rad, each body axis, > 0
	RangeSigma  float64 // m, > 0

	StartPos       float64 // m, each axis, one standard deviation at the start, > 0
	StartVel       float64 // m/s, each axis, > 0
	StartTilt      float64 // rad, about x and y, > 0
	StartYaw       float64 // rad, > 0
	StartGyroBias  float64 // rad/s, each axis, > 0
	StartAccelBias float64 // m/s², each axis, > 0

	FixGate      float64 // NIS of six degrees of freedom above which a fix is rejected, > 6
	Reaccept     int64   // fixes rejected in a row after which the next is believed, ≥ 1
	RangeGate    float64 // standard deviations above which a range is taken for an edge, > 1
	EdgeRepeats  int64   // ranges in a row that make a new surface, ≥ 1
	EdgeBand     float64 // m, within which they must agree, and within which a surface is the floor, > 0
	RangeMaxTilt float64 // cosine of the tilt beyond which ranges are left out, 0 … 1

	Doubt    Limits // at any of which the camera is doubtful
	Disagree Limits // at any of which the camera disagrees
	Calm     int64  // ticks for which a better word must hold before it is given, ≥ 0
}

// Limits are where the camera's word gets worse.
type Limits struct {
	SinceFix int64   // ticks since the last accepted fix, > 0
	NIS      float64 // mean NIS of about the last ten fixes, > 6
	Sigma    float64 // m, horizontal, > 0
}

// DefaultParams returns a filter for the default sensors of package sense.
//
// Its noise of acceleration is set some twenty times above the sensor's, by the
// common practice of covering vibration and shocks; here it also sets how fast
// the filter follows the camera: the natural frequency of the position loop is
// about (AccelNoise²/(FixPosSigma²·0.04 s))^¼ = 4.5 rad/s, so a camera that
// begins to drift at v is followed with a lag of at most 0.46·v/4.5 s, within the
// gate up to some 0.8 m/s. The fix is taken for less exact than it is, so the
// mean NIS of a sound flight is about 3, not 6.
func DefaultParams() Params {
	return Params{
		Gravity:        9.80665, // m/s², standard gravity, 3rd CGPM (1901)
		GyroNoise:      1e-3,
		GyroWalk:       2e-5, // as Burri et al. 2016, see package sense
		AccelNoise:     0.06,
		AccelWalk:      3e-3, // as Burri et al. 2016
		FixPosSigma:    0.015,
		FixAngSigma:    0.0075,
		RangeSigma:     0.015,
		StartPos:       0.05,
		StartVel:       0.02,
		StartTilt:      0.03,
		StartYaw:       0.05,
		StartGyroBias:  4e-3,
		StartAccelBias: 0.08,
		FixGate:        45, // chi-square, six degrees of freedom: 5e-8 of sound fixes
		Reaccept:       8,
		RangeGate:      4,
		EdgeRepeats:    3,
		EdgeBand:       0.08,
		RangeMaxTilt:   0.7,
		Doubt:          Limits{SinceFix: 400, NIS: 22, Sigma: 0.25},
		Disagree:       Limits{SinceFix: 800, NIS: 70, Sigma: 1},
		Calm:           1000,
	}
}

// Validate reports every value outside its range.
func (p *Params) Validate() error {
	var errs []error
	above := func(name string, v, low float64) {
		if !(v > low) || !kernel.IsFinite(v) {
			errs = append(errs, fmt.Errorf("%s is %g, must be a number above %g", name, v, low))
		}
	}
	atLeast := func(name string, v, low float64) {
		if !(v >= low) || !kernel.IsFinite(v) {
			errs = append(errs, fmt.Errorf("%s is %g, must be a number of %g or more", name, v, low))
		}
	}
	above("Gravity", p.Gravity, 0)
	above("GyroNoise", p.GyroNoise, 0)
	atLeast("GyroWalk", p.GyroWalk, 0)
	above("AccelNoise", p.AccelNoise, 0)
	atLeast("AccelWalk", p.AccelWalk, 0)
	above("FixPosSigma", p.FixPosSigma, 0)
	above("FixAngSigma", p.FixAngSigma, 0)
	above("RangeSigma", p.RangeSigma, 0)
	above("StartPos", p.StartPos, 0)
	above("StartVel", p.StartVel, 0)
	above("StartTilt", p.StartTilt, 0)
	above("StartYaw", p.StartYaw, 0)
	above("StartGyroBias", p.StartGyroBias, 0)
	above("StartAccelBias", p.StartAccelBias, 0)
	above("FixGate", p.FixGate, 6)
	atLeast("Reaccept", float64(p.Reaccept), 1)
	above("RangeGate", p.RangeGate, 1)
	atLeast("EdgeRepeats", float64(p.EdgeRepeats), 1)
	above("EdgeBand", p.EdgeBand, 0)
	above("RangeMaxTilt", p.RangeMaxTilt, 0)
	if p.RangeMaxTilt > 1 {
		errs = append(errs, fmt.Errorf("RangeMaxTilt is %g, must not be above 1", p.RangeMaxTilt))
	}
	above("Doubt.SinceFix", float64(p.Doubt.SinceFix), 0)
	above("Doubt.NIS", p.Doubt.NIS, 6)
	above("Doubt.Sigma", p.Doubt.Sigma, 0)
	atLeast("Disagree.SinceFix", float64(p.Disagree.SinceFix), float64(p.Doubt.SinceFix))
	atLeast("Disagree.NIS", p.Disagree.NIS, p.Doubt.NIS)
	atLeast("Disagree.Sigma", p.Disagree.Sigma, p.Doubt.Sigma)
	atLeast("Calm", float64(p.Calm), 0)
	return errors.Join(errs...)
}
