package margins

import "math"

// Step is how a loop answers a unit step of what it is asked for.
type Step struct {
	Final     float64 // value at the end
	Overshoot float64 // share of the final value
	Peak      float64 // s, time of the greatest value
	Rise      float64 // s, from 10 % to 90 % of the final value
	Settle2   float64 // s, after which it stays within 2 % of the final value
	Settle5   float64 // s, the same for 5 %
}

// StepOf reads the figures off a response y, sampled every dt seconds from the
// step on. final is the value it settles to. Between samples it is taken as
// linear.
func StepOf(y []float64, dt, final float64) Step {
	s := Step{Final: final}
	greatest := 0
	for i := range y {
		if y[i]/final > y[greatest]/final {
			greatest = i
		}
	}
	s.Peak = float64(greatest) * dt
	s.Overshoot = math.Max(0, y[greatest]/final-1)
	s.Rise = reaches(y, 0.9*final, final)*dt - reaches(y, 0.1*final, final)*dt
	s.Settle2, s.Settle5 = settles(y, final, 0.02)*dt, settles(y, final, 0.05)*dt
	return s
}

// reaches returns the place (in samples) at which y first reaches level.
func reaches(y []float64, level, final float64) float64 {
	for i := 1; i < len(y); i++ {
		if (y[i]-level)*final >= 0 {
			return float64(i-1) + (level-y[i-1])/(y[i]-y[i-1])
		}
	}
	return math.NaN()
}

// settles returns the place (in samples) from which y stays within share of
// final.
func settles(y []float64, final, share float64) float64 {
	band := math.Abs(share * final)
	for i := len(y) - 1; i > 0; i-- {
		if off := math.Abs(y[i-1] - final); off > band {
			now := math.Abs(y[i] - final)
			return float64(i-1) + (off-band)/(off-now)
		}
	}
	return 0
}
