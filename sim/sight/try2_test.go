package sight_test

import (
	"fmt"
	"testing"

	"lapwing/sim/sense"
	"lapwing/sim/sight"
)

type variant struct {
	name string
	set  func(f *flight)
}

func ablate(cases []variant, seeds int, seconds float64) {
	for _, c := range cases {
		var e7, e35 []float64
		worst, sig, nis, scale := 0.0, 0.0, 0.0, 0.0
		for seed := range uint64(seeds) {
			f := newFlight(wander, hall(8, 6, 3.5), sight.RichDecor(), seed)
			if c.set != nil {
				c.set(f)
			}
			f.reset()
			f.fly(8000)
			log := f.record(seconds)
			e7 = append(e7, median(segments(log, 7)))
			e35 = append(e35, median(segments(log, 35)))
			worst = max(worst, f.off().Norm())
			sig += f.belief.Belief.SigmaPos / float64(seeds)
			nis += f.belief.MeanNIS / float64(seeds)
			a, b := 0.0, 0.0
			for i := 20; i < len(log); i++ {
				a += log[i].est.Sub(log[i-20].est).Norm()
				b += log[i].pos.Sub(log[i-20].pos).Norm()
			}
			scale += (a/b - 1) / float64(seeds)
		}
		fmt.Printf("%-20s 7 m %.2f%%  35 m %.2f%% worst end %.3f sigma %.3f nis %.2f scale %+.3f\n", c.name, 100*median(e7), 100*median(e35), worst, sig, nis, scale)
	}
}

func TestAblate(t *testing.T) {
	perfect := func(f *flight) {
		quietAll(f)
		f.sense.Gyro = sense.Inertial{Limit: 100}
		f.sense.Accel = sense.Inertial{Limit: 500}
		f.sense.RangeSigma = 0
	}
	base := func(f *flight) {}
	with := func(more func(f *flight)) func(f *flight) { return func(f *flight) { base(f); more(f) } }
	_ = perfect
	ablate([]variant{
		{"base", base},
		{"deep 1", with(func(f *flight) { f.camera.DepthSigma = 1 })},
		{"deep 1.5", with(func(f *flight) { f.camera.DepthSigma = 1.5 })},
		{"px 1", with(func(f *flight) { f.camera.PixelSigma = 1 })},
		{"px 1 deep 1", with(func(f *flight) { f.camera.PixelSigma = 1; f.camera.DepthSigma = 1 })},
		{"gyro 1e-3", with(func(f *flight) { f.params.GyroNoise = 1e-3 })},
		{"acc 1e-2", with(func(f *flight) { f.params.AccelNoise = 1e-2 })},
		{"acc 1e-2 gyro 1e-3", with(func(f *flight) { f.params.AccelNoise = 1e-2; f.params.GyroNoise = 1e-3 })},
		{"scale .15", with(func(f *flight) { f.camera.ScaleSigma = .15 })},
		{"par 40", with(func(f *flight) { f.camera.KeyParallax = 40 })},
		{"par 90", with(func(f *flight) { f.camera.KeyParallax = 90 })},
	}, 10, 85)
}

func quietAll(f *flight) {
	c := &f.camera
	c.Noise, c.Walk, c.FocalError, c.MountError, c.TimeError = 0, 0, 0, 0, 0
}
