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

func TestTryHover(t *testing.T) {
	for seed := range uint64(6) {
		f := newFlight(hover, hall(8, 6, 3.5), sight.RichDecor(), seed)
		f.fly(8000)
		from := f.off()
		worst := 0.0
		for range 60 {
			f.fly(1000)
			worst = max(worst, f.off().Sub(from).Norm())
		}
		fmt.Printf("hover seed %d: worst %.3f m at end %.3f, start off %.3f tracks %d known %d weak %.3f since %d\n", seed, worst, f.off().Sub(from).Norm(), from.Norm(), f.belief.Sight.Tracks, f.belief.Sight.Known, f.belief.Sight.WeakSigma, f.belief.Belief.SinceFix)
	}
}

func TestTryTurn(t *testing.T) {
	for _, rate := range []float64{0.8, 1.2} {
		for _, speed := range []float64{0, 0.9} {
			var all []float64
			for seed := range uint64(8) {
				c, end := turning(rate, speed)
				place := hall(8, 8, 3.5)
				f := newFlight(c, place, sight.RichDecor(), seed)
				f.fly(9000)
				from, least, leastTracks := f.off(), 100, 100
				for range int((end + 1 - 9) * 20) {
					f.fly(50)
					least = min(least, f.belief.Sight.Known)
					leastTracks = min(leastTracks, f.belief.Sight.Tracks)
				}
				all = append(all, f.off().Sub(from).Norm())
				if seed == 0 {
					fmt.Println("least known", least, "tracks", leastTracks, "end", end, f.craft.PosW, f.belief.Belief.SigmaPos)
				}
			}
			fmt.Printf("rate %.1f speed %.1f: median %.3f %.2f\n", rate, speed, median(all), all)
		}
	}
}

func TestTryCarry(t *testing.T) {
	for seed := range uint64(6) {
		f := newFlight(carried, hall(10, 6, 3.5), sight.RichDecor(), seed)
		from := f.off()
		f.fly(28000)
		fmt.Printf("carry seed %d: off %.3f m = %.2f%% of 12 m; known %d\n", seed, f.off().Sub(from).Norm(), f.off().Sub(from).Norm()/12*100, f.belief.Sight.Known)
	}
}

func TestTryDark(t *testing.T) {
	for seed := range uint64(3) {
		f := newFlight(hover, hall(8, 6, 3.5), sight.RichDecor(), seed)
		f.fly(10000)
		from := f.off()
		f.faults.Covered = true
		for k := range 10 {
			f.fly(1000)
			fmt.Printf("dark %d s: off %.3f health %v | ", k+1, f.off().Sub(from).Norm(), f.belief.Belief.Health)
		}
		fmt.Println()
	}
}
func TestTry(t *testing.T) {
	var e7, e35 []float64
	for seed := range uint64(4) {
		f := newFlight(wander, hall(8, 6, 3.5), sight.RichDecor(), seed)
		f.fly(8000)
		log := f.record(85)
		a, b := segments(log, 7), segments(log, 35)
		e7 = append(e7, median(a))
		e35 = append(e35, median(b))
		last := log[len(log)-1]
		fmt.Printf("seed %d: dist %.1f speed %.2f  7 m %.2f%%  35 m %.2f%%  end off %.3f m yaw %.2f° tracks %d known %d sigma %.3f nis %.2f rej %d\n", seed, last.dist, last.dist/90,
			100*median(a), 100*median(b), last.est.Sub(last.pos).Norm(), (last.estYaw-last.yaw)*57.3, last.tracks, last.known, f.belief.Belief.SigmaPos, f.belief.MeanNIS, f.belief.Rejected)
	}
	fmt.Println(median(e7), median(e35))
}
