package identify

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// series is the airborne part of a log in the model's words, row by row.
type series struct {
	log     *Log
	part    part
	time    []float64     // s
	velB    []kernel.Vec3 // m/s, against the room: the air is taken to stand still
	forceB  []kernel.Vec3 // m/s²
	omegaB  []kernel.Vec3 // rad/s
	alphaB  []kernel.Vec3 // rad/s², mean from the row before to the row after
	inRange []bool        // alphaB stands on rows without a gap
}

func seriesOf(l *Log, p part) *series {
	s := &series{log: l, part: p}
	for i := p.from; i < p.to; i++ {
		r := &l.Rows[i]
		s.time = append(s.time, r.Time)
		s.velB = append(s.velB, r.QWB.RotateInv(r.VelW))
		s.forceB = append(s.forceB, r.ForceB)
		s.omegaB = append(s.omegaB, r.OmegaB)
		alpha, ok := acceleration(l, i)
		s.alphaB = append(s.alphaB, alpha)
		s.inRange = append(s.inRange, ok && i > p.from && i+1 < p.to)
	}
	return s
}

// acceleration returns the angular acceleration at row i from the body rates of
// its neighbours.
func acceleration(l *Log, i int) (kernel.Vec3, bool) {
	if i < 1 || i+1 >= len(l.Rows) {
		return kernel.Vec3{}, false
	}
	a, b := &l.Rows[i-1], &l.Rows[i+1]
	span := b.Time - a.Time
	return b.OmegaB.Sub(a.OmegaB).Scale(1 / span), span < longestGap
}

// squares returns, for each airborne row, each rotor's (duty × volts)² in V²,
// which goes with thrust, once duty × volts has passed a first-order lag (s).
// Between two rows duty × volts is taken to go straight, for which the lag is
// solved exactly.
func (s *series) squares(lag float64) [][dynamics.MaxRotors]float64 {
	out := make([][dynamics.MaxRotors]float64, 0, len(s.time))
	var now, before [dynamics.MaxRotors]float64
	for i := range s.part.to {
		r := &s.log.Rows[i]
		step := 0.0
		if i > 0 {
			step = r.Time - s.log.Rows[i-1].Time
		}
		keep, early := lagWeights(step, lag)
		for k := range s.log.Rotors {
			x := r.Duty[k] * r.CellVolts
			if i == 0 || step > longestGap {
				now[k] = x
			} else {
				now[k] = float64(keep*now[k]) + float64(early*before[k]) + float64((1-keep-early)*x)
			}
			before[k] = x
		}
		if i >= s.part.from {
			out = append(out, squared(&now))
		}
	}
	return out
}

func squared(x *[dynamics.MaxRotors]float64) (y [dynamics.MaxRotors]float64) {
	for k := range x {
		y[k] = x[k] * x[k]
	}
	return y
}

// lagWeights returns what a step (s) leaves of the lagged value, and the weight
// of the input at the step's start; the input at its end has the rest.
func lagWeights(step, lag float64) (keep, early float64) {
	if lag <= 0 || step <= 0 {
		return 0, 0
	}
	keep = kernel.Exp(-step / lag)
	return keep, float64((1-keep)*lag/step) - keep
}

// total returns the sum over the rotors, V².
func total(squares [][dynamics.MaxRotors]float64) []float64 {
	sum := make([]float64, len(squares))
	for i := range squares {
		for _, x := range squares[i] {
			sum[i] += x
		}
	}
	return sum
}

// between returns the mean of rotor k's squares from the row before i to the row
// after, over the same time as the angular acceleration.
func (s *series) between(squares [][dynamics.MaxRotors]float64, i, k int) float64 {
	first, second := s.time[i]-s.time[i-1], s.time[i+1]-s.time[i]
	area := float64(first*(squares[i-1][k]+squares[i][k])) + float64(second*(squares[i][k]+squares[i+1][k]))
	return float64(0.5*area) / (first + second)
}
