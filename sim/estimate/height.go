package estimate

import (
	"math"

	"lapwing/dynamics/kernel"
)

// Ground is the surface that the range finder is believed to see.
type Ground struct {
	Height    float64 // m, room axes; 0 is the floor
	Var       float64 // m², of Height; 0 for the floor
	Candidate float64 // m, of a surface that ranges outside the gate speak for
	Repeats   int64   // how many in a row
	Since     int64   // ticks since the last range taken in
}

// holds tells whether the range finder has lately held the height above the
// floor.
func (g *Ground) holds() bool { return g.Var == 0 && g.Since < 100 }

// takeRange updates with a range along the body's down, r = (z − ground)/R33
// with R33 the cosine of the tilt, or takes it for an edge.
func takeRange(p *Params, s *State, measured float64) {
	up := s.Belief.QWB.RotateInv(kernel.Vec3{Z: 1}) // third row of R
	if up.Z < p.RangeMaxTilt {
		return
	}
	g := &s.Ground
	seen := s.Belief.PosW.Z - float64(measured*up.Z)
	row := rangeRow(p, s, measured, up)
	if !s.inRangeGate(p, &row) {
		if !g.edge(p, seen) {
			return
		}
		s.moveGround(p, seen)
		row = rangeRow(p, s, measured, up)
	}
	g.Repeats, g.Since = 0, 0
	var dx Delta
	Update(&s.Cov, &dx, &row, s.Clone.live())
	inject(s, &dx)
}

// rangeRow is the measured number of a range.
func rangeRow(p *Params, s *State, measured float64, up kernel.Vec3) Row {
	k := 1 / up.Z
	r := float64((s.Belief.PosW.Z - s.Ground.Height) * k)
	row := Row{
		Residual: measured - r,
		Var:      float64(p.RangeSigma*p.RangeSigma) + s.Ground.Var,
		Count:    2,
	}
	row.Block[0], row.H[0] = BlockPos, kernel.Vec3{Z: k}
	row.Block[1], row.H[1] = BlockAtt, kernel.Vec3{X: r * up.Y * k, Y: -r * up.X * k}
	return row
}

// inRangeGate tells whether the residual is within RangeGate deviations.
func (s *State) inRangeGate(p *Params, row *Row) bool {
	v := row.Var
	var u Delta
	for n := range row.Count {
		column(&s.Cov, row.Block[n], row.H[n], &u, Live)
	}
	for n := range row.Count {
		v += row.H[n].Dot(u[row.Block[n]])
	}
	return float64(row.Residual*row.Residual) <= float64(p.RangeGate*p.RangeGate)*v
}

// edge counts a range outside the gate and tells whether enough of them agree
// on one surface.
func (g *Ground) edge(p *Params, seen float64) bool {
	if g.Repeats > 0 && math.Abs(seen-g.Candidate) > p.EdgeBand {
		g.Repeats = 0
	}
	g.Candidate = seen
	g.Repeats++
	return g.Repeats >= p.EdgeRepeats
}

// moveGround believes in another surface: a box's top, or the floor where seen
// is near it. A surface below the floor cannot be, so there the height itself
// is opened to the range.
func (s *State) moveGround(p *Params, seen float64) {
	g := &s.Ground
	if seen > p.EdgeBand {
		g.Height, g.Var = seen, s.Cov.At(2, 2)
		return
	}
	g.Height, g.Var = 0, 0
	m := float64(seen * seen)
	s.Cov[pp][8] += m
	if s.Clone.Live {
		s.Cov[pc][8] += m
		s.Cov[cc][8] += m
	}
}
