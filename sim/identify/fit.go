package identify

import (
	"fmt"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Where the motors' lag is looked for.
const (
	lagStep  = 0.0025 // s
	lagSteps = 60     // up to 0.15 s
)

// Fit is what a flight tells about its craft. In body axes:
//
//	specific force along z = Thrust · Σ (duty × volts)², behind the Lag
//	specific force along x = Offset.x − Drag.x · velocity along x; the same for y
//	angular acceleration   = constant + Σ Rotor · (duty × volts)² − Damping · body rate, behind the TurnLag
//
// Duty × volts is that of the log, volts for each cell.
type Fit struct {
	Name   string  `json:"log"`
	From   float64 `json:"from_s"` // of the airborne part
	To     float64 `json:"to_s"`
	Count  int     `json:"rows"`
	Rotors int     `json:"rotors"`

	Thrust  Estimate    `json:"thrust_m_s2_v2"` // (m/s²)/V²
	Lag     Estimate    `json:"motor_lag_s"`    // s, at most 0.15
	Drag    [2]Estimate `json:"drag_per_s"`     // 1/s, along body x and y
	Offset  [2]Estimate `json:"offset_m_s2"`    // m/s², along body x and y: mount and bias of the accelerometer
	Turn    [3]Turn     `json:"turning"`        // about body x, y and z
	TurnLag Estimate    `json:"turning_lag_s"`  // s, at most 0.15, the lag that explains roll and pitch best
	Own     Residuals   `json:"own_flight"`     // how the fit does on its own flight
}

// Turn is how the rotors turn the craft about one axis.
type Turn struct {
	Constant Estimate   `json:"constant_rad_s2"`  // rad/s²
	Rotor    []Estimate `json:"rotors_rad_s2_v2"` // (rad/s²)/V², of rotor 1, 2, …
	Damping  Estimate   `json:"damping_per_s"`    // 1/s
	R2       float64    `json:"r_squared"`        // share of the variance explained, 0 … 1
}

// Craft fits the model to the airborne part of a log. The error says what the
// log lacks: a flight that is long enough (ErrNotFlown), motion along an axis,
// or duties that can be told apart.
func Craft(l *Log) (*Fit, error) {
	p, err := airborne(l)
	if err != nil {
		return nil, err
	}
	s := seriesOf(l, p)
	f := &Fit{Name: l.Name, From: s.time[0], To: s.time[len(s.time)-1], Count: len(s.time), Rotors: l.Rotors}
	for _, step := range []func(*series) error{f.fitThrust, f.fitDrag, f.fitTurning} {
		if err := step(s); err != nil {
			return nil, err
		}
	}
	f.Own = f.residuals(s)
	return f, nil
}

// lags are the sums for each lag that is tried.
type lags [lagSteps + 1]blocks

// best returns the lag with the least cost, between the ones tried by a parabola,
// and where it stands among them: step, and fraction of a step.
func best(cost *[lagSteps + 1]float64) (lag float64, step int, fraction float64) {
	for i := range cost {
		if cost[i] < cost[step] {
			step = i
		}
	}
	if step > 0 && step < lagSteps {
		below, above := cost[step-1]-cost[step], cost[step+1]-cost[step]
		if below+above > 0 {
			fraction = float64(0.5*(below-above)) / (below + above)
		}
	}
	return (float64(step) + fraction) * lagStep, step, fraction
}

// fitThrust finds thrust and lag together: of all lags the one with which the
// squares are most like the specific force, the correlation taken through the
// origin, which is where the residuals of the model are least.
func (f *Fit) fitThrust(s *series) error {
	var all lags
	for n := range all {
		all[n] = newBlocks(s)
		for i, sum := range total(s.squares(float64(n) * lagStep)) {
			all[n].at(s, i).add([]float64{sum, s.forceB[i].Z})
		}
	}
	e, ok := estimates(len(all[0]), func(drawn []int) ([]float64, bool) {
		var cost, thrust [lagSteps + 1]float64
		for n := range all {
			sum := all[n].sum(drawn)
			c, rest, ok := sum.fit()
			if !ok {
				return nil, false
			}
			cost[n], thrust[n] = rest, c[0]
		}
		lag, step, fraction := best(&cost)
		return []float64{along(&thrust, step, fraction), lag}, true
	})
	if !ok {
		return fmt.Errorf("%s: the thrust cannot be fitted: the motors did not turn", f.Name)
	}
	f.Thrust, f.Lag = e[0], e[1]
	return nil
}

// along returns the value a fraction of a step away from a step.
func along(x *[lagSteps + 1]float64, step int, fraction float64) float64 {
	switch {
	case fraction > 0:
		return x[step] + float64(fraction*(x[step+1]-x[step]))
	case fraction < 0:
		return x[step] - float64(fraction*(x[step-1]-x[step]))
	}
	return x[step]
}

// fitDrag finds drag and offset along body x and y.
func (f *Fit) fitDrag(s *series) error {
	for axis := range 2 {
		b := newBlocks(s)
		for i := range s.time {
			b.at(s, i).add([]float64{1, -component(&s.velB[i], axis), component(&s.forceB[i], axis)})
		}
		e, ok := estimates(len(b), func(drawn []int) ([]float64, bool) {
			sum := b.sum(drawn)
			c, _, ok := sum.fit()
			return c[:2], ok
		})
		if !ok {
			return fmt.Errorf("%s: the drag along body %s cannot be fitted: the craft did not move that way", f.Name, axisNames[axis])
		}
		f.Offset[axis], f.Drag[axis] = e[0], e[1]
	}
	return nil
}

var axisNames = [3]string{"x", "y", "z"}

func component(v *kernel.Vec3, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// fitTurning finds the rotors' effects about each axis, and the lag with which
// they explain roll and pitch best.
func (f *Fit) fitTurning(s *series) error {
	var all [3]lags
	for n := range lagSteps + 1 {
		squares := s.squares(float64(n) * lagStep)
		for axis := range all {
			all[axis][n] = s.turning(squares, axis)
		}
	}
	e, ok := estimates(len(all[0][0]), func(drawn []int) ([]float64, bool) {
		var cost [lagSteps + 1]float64
		for axis := range 2 {
			for n := range cost {
				sum := all[axis][n].sum(drawn)
				_, rest, ok := sum.fit()
				if !ok {
					return nil, false
				}
				cost[n] += rest / max(sum.spread(), 1e-12)
			}
		}
		lag, step, fraction := best(&cost)
		return append([]float64{lag}, f.effects(&all, drawn, step, fraction)...), true
	})
	if !ok {
		return fmt.Errorf("%s: the rotors' effects cannot be told apart: some duties always change together", f.Name)
	}
	f.TurnLag = e[0]
	for axis := range f.Turn {
		each := e[1+axis*(f.Rotors+3):]
		f.Turn[axis].Constant = each[0]
		f.Turn[axis].Rotor = each[1 : 1+f.Rotors]
		f.Turn[axis].Damping = each[f.Rotors+1]
		f.Turn[axis].R2 = each[f.Rotors+2].Value
	}
	return nil
}

// turning returns the sums of one axis' angular acceleration over the squares.
func (s *series) turning(squares [][dynamics.MaxRotors]float64, axis int) blocks {
	b := newBlocks(s)
	row := make([]float64, s.log.Rotors+3)
	row[0] = 1
	for i := range s.time {
		if !s.inRange[i] {
			continue
		}
		for k := range s.log.Rotors {
			row[1+k] = s.between(squares, i, k)
		}
		row[s.log.Rotors+1] = -component(&s.omegaB[i], axis)
		row[s.log.Rotors+2] = component(&s.alphaB[i], axis)
		b.at(s, i).add(row)
	}
	return b
}

// effects returns constant, rotors' effects, damping and R² of each axis at a lag.
func (f *Fit) effects(all *[3]lags, drawn []int, step int, fraction float64) (values []float64) {
	for axis := range all {
		var at [lagSteps + 1][maxTerms]float64
		r2 := 0.0
		for n := max(0, step-1); n <= min(lagSteps, step+1); n++ {
			sum := all[axis][n].sum(drawn)
			c, rest, _ := sum.fit()
			at[n] = c
			if n == step {
				r2 = 1 - rest/max(sum.spread(), 1e-12)
			}
		}
		for k := range f.Rotors + 2 {
			var x [lagSteps + 1]float64
			for n := range at {
				x[n] = at[n][k]
			}
			values = append(values, along(&x, step, fraction))
		}
		values = append(values, r2)
	}
	return values
}
