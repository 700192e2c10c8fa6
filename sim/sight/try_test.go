package sight_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"lapwing/sim/sight"
)

func median(x []float64) float64 {
	if len(x) == 0 {
		return math.NaN()
	}
	y := slices.Clone(x)
	slices.Sort(y)
	return y[len(y)/2]
}

// wander is a flight round a room of 8 × 6 m at about 0.9 m/s, nose along the way.
func wander(t float64) (vec, float64) {
	p := func(t float64) vec {
		return vec{X: 2.6 * math.Sin(0.27*t), Y: 1.9 * math.Sin(0.41*t+0.5), Z: 1.5 + 0.35*math.Sin(0.33*t)}
	}
	v := p(t + 1e-4).Sub(p(t - 1e-4))
	return p(t), math.Atan2(v.Y, v.X)
}

func TestTry(t *testing.T) {
	var e7, e35 []float64
	for seed := range uint64(4) {
		f := newFlight(wander, hall(8, 6, 3.5), sight.RichDecor(), seed)
		log := f.record(90)
		a, b := segments(log, 7), segments(log, 35)
		e7 = append(e7, median(a))
		e35 = append(e35, median(b))
		last := log[len(log)-1]
		fmt.Printf("seed %d: dist %.1f speed %.2f  7 m %.2f%%  35 m %.2f%%  end off %.3f m yaw %.2f° tracks %d known %d sigma %.3f nis %.2f rej %d\n", seed, last.dist, last.dist/90,
			100*median(a), 100*median(b), last.est.Sub(last.pos).Norm(), (last.estYaw-last.yaw)*57.3, last.tracks, last.known, f.belief.Belief.SigmaPos, f.belief.MeanNIS, f.belief.Rejected)
	}
	fmt.Println(median(e7), median(e35))
}
