package trials

import (
	"math/rand/v2"
	"strconv"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"lapwing/dynamics/kernel"
)

// Whose number an axis varies.
const (
	OfLaw   = "law"
	OfCraft = "craft"
)

// CraftKeys lists the uncertainties of a craft file that can be varied.
func CraftKeys() []string { return []string{"mass", "motor_lag", "drag"} }

// Axis is a number that is varied, in the unit of its file. Of a craft it is in
// parts of the uncertainty that the craft file states, −1 … 1.
type Axis struct {
	Of    string  `json:"of"`
	Key   string  `json:"key"`
	From  float64 `json:"from"`
	To    float64 `json:"to"`
	Steps int     `json:"steps,omitempty"` // of a grid
}

// Setting is the value of one axis at one point.
type Setting struct {
	Of    string  `json:"of"`
	Key   string  `json:"key"`
	Value float64 `json:"value"`
}

// Design is how the points of a sweep are chosen.
type Design string

// The designs.
const (
	Grid           Design = "grid"
	Random         Design = "random"
	LowDiscrepancy Design = "low-discrepancy"
)

// Sweep is what is varied and how. Without axes it has one point, at which
// nothing is changed.
type Sweep struct {
	Design Design `json:"design,omitempty"`
	Axes   []Axis `json:"axes,omitempty"`
	Points int    `json:"points,omitempty"` // of a drawn design
	Draw   uint64 `json:"draw,omitempty"`   // its seed
}

var streamSweep = kernel.NewStream("trials-sweep")

// Settings returns the points in order. Values are rounded to six digits: a point
// can be typed, and is the same on every processor.
func (s *Sweep) Settings() [][]Setting {
	if len(s.Axes) == 0 {
		return [][]Setting{nil}
	}
	share := s.shares()
	points := make([][]Setting, len(share))
	for p := range points {
		for i, a := range s.Axes {
			points[p] = append(points[p], Setting{a.Of, a.Key, rounded(a.From + float64((a.To-a.From)*share[p][i]))})
		}
	}
	return points
}

// shares returns each point as how far along each axis it lies, 0 … 1.
func (s *Sweep) shares() [][]float64 {
	switch s.Design {
	case Random:
		all := make([][]float64, s.Points)
		for p := range all {
			for i := range s.Axes {
				all[p] = append(all[p], kernel.Uniform(s.Draw, streamSweep, int64(p), uint64(i)))
			}
		}
		return all
	case LowDiscrepancy:
		return s.halton()
	}
	return s.grid()
}

func (s *Sweep) grid() [][]float64 {
	all := [][]float64{nil}
	for _, a := range s.Axes {
		var next [][]float64
		for _, before := range all {
			for k := range a.Steps {
				next = append(next, append(before[:len(before):len(before)], float64(k)/float64(a.Steps-1)))
			}
		}
		all = next
	}
	return all
}

// halton returns points of gonum's Halton sequence, scrambled after A. B. Owen,
// "A randomized Halton algorithm in R", 2017.
func (s *Sweep) halton() [][]float64 {
	source := rand.NewPCG(s.Draw, 0)
	batch := mat.NewDense(s.Points, len(s.Axes), nil)
	samplemv.Halton{Kind: samplemv.Owen, Q: distmv.NewUnitUniform(len(s.Axes), source), Src: source}.Sample(batch)
	all := make([][]float64, s.Points)
	for p := range all {
		all[p] = mat.Row(nil, p, batch)
	}
	return all
}

func rounded(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		panic("trials: " + err.Error()) // what was just formatted can be read
	}
	return y
}

// String writes a setting as it is typed: law.tilt_limit_deg=12.
func (s Setting) String() string {
	return s.Of + "." + s.Key + "=" + strconv.FormatFloat(s.Value, 'g', -1, 64)
}
