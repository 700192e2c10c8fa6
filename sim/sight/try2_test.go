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
	ablate([]variant{
		{"perfect", perfect},
		{"perfect+bias gyro", func(f *flight) { perfect(f); f.sense.Gyro.Start = 3e-3 }},
		{"perfect+bias acc", func(f *flight) { perfect(f); f.sense.Accel.Start = 0.05 }},
		{"perfect+range", func(f *flight) { perfect(f); f.sense.RangeSigma = 0.01 }},
		{"perfect+mount", func(f *flight) { perfect(f); f.camera.MountError = 0.002 }},
		{"perfect+noise", func(f *flight) { perfect(f); f.camera.Noise = 0.4 }},
	}, 3, 90)
}

func quietAll(f *flight) {
	c := &f.camera
	c.Noise, c.Walk, c.FocalError, c.MountError, c.TimeError = 0, 0, 0, 0, 0
}
