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
		{"px 2", with(func(f *flight) { f.camera.PixelSigma = 2 })},
		{"px 2 acc .015", with(func(f *flight) { f.camera.PixelSigma = 2; f.params.AccelNoise = .015 })},
		{"px 2 scale .2", with(func(f *flight) { f.camera.PixelSigma = 2; f.camera.ScaleSigma = .2 })},
	}, 16, 85)
}

func quietAll(f *flight) {
	c := &f.camera
	c.Noise, c.Walk, c.FocalError, c.MountError, c.TimeError = 0, 0, 0, 0, 0
}

func TestBiased(t *testing.T) {
	for _, px := range []float64{1, 1.5, 2, 3} {
		for _, acc := range []float64{0.01, 0.015, 0.02} {
			n15, n9, n3 := 0.0, 0.0, 0.0
			k := 0.0
			for seed := range uint64(8) {
				f := newFlight(wander, hall(8, 6, 3.5), sight.RichDecor(), seed)
				f.camera.PixelSigma, f.params.AccelNoise = px, acc
				f.reset()
				f.astray()
				f.fly(8000)
				for range 40 {
					f.fly(1000)
					n15 += f.nees(t, 15)
					n9 += f.nees(t, 9)
					n3 += f.nees(t, 3)
					k++
				}
			}
			fmt.Printf("px %.1f acc %.3f: NEES/n 15: %.2f 9: %.2f 3: %.2f\n", px, acc, n15/k/15, n9/k/9, n3/k/3)
		}
	}
}
