package sight

import (
	"fmt"

	"lapwing/dynamics/kernel"
)

const degree = 180 / 3.141592653589793

// Says lists what the camera is, what is wrong with it in this seed, and what
// its front end assumes, line by line.
func Says(p *Params, s *State) []string {
	wide := func(px float64) float64 { return 2 * degree * kernel.Atan2(0.5*px, p.Focal) }
	return []string{
		fmt.Sprintf("camera: %.0f° × %.0f°, %.0f × %.0f px, looking %.0f° down, 25 Hz, exposure %.1f ms, result after %d ms",
			wide(p.Width), wide(p.Height), p.Width, p.Height, p.Tilt*degree, 1e3*p.Exposure, p.LatencyTicks),
		fmt.Sprintf("bearings: noise %.2f px, wandering %.3f px a picture; seen up to %.0f m and %.1f px of blur",
			p.Noise, p.Walk, p.Far, p.BlurMax),
		fmt.Sprintf("errors of this seed: focal length %+.2f %%, mounting %.2f°, time %+.1f ms",
			100*s.FocalError, s.MountError.Norm()*degree, 1e3*s.TimeError),
		fmt.Sprintf("front end takes a bearing for %.1f px, one in a depth for %.1f px, all depths together for %.0f %%, the mounting for %.2f° an axis; a depth is known from %.0f %%",
			p.PixelSigma, p.DepthSigma, 100*p.ScaleSigma, p.MountSigma*degree, 100*p.KnownBelow),
		"tuned once, so that the error over 7 m and 35 m of flight is that of V1_02 of Burri et al. (IJRR 35(10), 2016)",
	}
}
