package identify

import (
	"math"

	"lapwing/dynamics"
)

// Residual is what a fit leaves unexplained of one signal, beside what the
// signal's own mean over the same flight leaves: the best constant there is.
type Residual struct {
	RMS      float64 `json:"rms"`
	Constant float64 `json:"rms_of_constant"`
}

// Better returns by which share the fit leaves less than the constant; below 0
// it leaves more.
func (r Residual) Better() float64 {
	if r.Constant == 0 {
		return 0
	}
	return 1 - r.RMS/r.Constant
}

// Residuals is how a fit does on the airborne part of a flight, unfiltered.
type Residuals struct {
	Name  string      `json:"log"`
	From  float64     `json:"from_s"`
	To    float64     `json:"to_s"`
	Count int         `json:"rows"`
	Force [3]Residual `json:"force_m_s2"`     // m/s², along body x, y and z
	Turn  [3]Residual `json:"turning_rad_s2"` // rad/s², about body x, y and z
}

// On applies the fit to the airborne part of another log of the same craft.
func (f *Fit) On(l *Log) (Residuals, error) {
	p, err := airborne(l)
	if err != nil {
		return Residuals{}, err
	}
	return f.residuals(seriesOf(l, p)), nil
}

func (f *Fit) residuals(s *series) Residuals {
	r := Residuals{Name: s.log.Name, From: s.time[0], To: s.time[len(s.time)-1], Count: len(s.time)}
	sum := total(s.squares(f.Lag.Value))
	r.Force[2] = residual(len(s.time), func(i int) (is, said float64, ok bool) {
		return s.forceB[i].Z, f.Thrust.Value * sum[i], true
	})
	for axis := range 2 {
		r.Force[axis] = residual(len(s.time), func(i int) (is, said float64, ok bool) {
			return component(&s.forceB[i], axis), f.side(s, i, axis), true
		})
	}
	squares := s.squares(f.TurnLag.Value)
	for axis := range 3 {
		r.Turn[axis] = residual(len(s.time), func(i int) (is, said float64, ok bool) {
			return component(&s.alphaB[i], axis), f.turns(s, squares, i, axis), s.inRange[i]
		})
	}
	return r
}

func (f *Fit) side(s *series, i, axis int) float64 {
	return f.Offset[axis].Value - float64(f.Drag[axis].Value*component(&s.velB[i], axis))
}

func (f *Fit) turns(s *series, squares [][dynamics.MaxRotors]float64, i, axis int) float64 {
	if !s.inRange[i] {
		return 0
	}
	t := &f.Turn[axis]
	said := t.Constant.Value - float64(t.Damping.Value*component(&s.omegaB[i], axis))
	for k := range min(f.Rotors, s.log.Rotors) {
		said += float64(t.Rotor[k].Value * s.between(squares, i, k))
	}
	return said
}

// residual compares what is with what is said over n rows.
func residual(n int, at func(i int) (is, said float64, ok bool)) Residual {
	count, sum, squares, rest := 0.0, 0.0, 0.0, 0.0
	for i := range n {
		is, said, ok := at(i)
		if !ok {
			continue
		}
		count++
		sum += is
		squares += float64(is * is)
		rest += float64((is - said) * (is - said))
	}
	if count == 0 {
		return Residual{}
	}
	mean := sum / count
	return Residual{RMS: math.Sqrt(rest / count), Constant: math.Sqrt(max(0, squares/count-float64(mean*mean)))}
}
