package control

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Demand is what the loops ask of all rotors together.
type Demand struct {
	Thrust float64 // N, along body z
	Roll   float64 // N·m, about body x
	Pitch  float64 // N·m, about body y
	Yaw    float64 // N·m, about body z
}

// Mixer is the pseudo-inverse of the craft's own geometry: thrust of each rotor
// per unit of each demand. Rotors that are lost have zeros.
type Mixer struct {
	Count  int                          // rotors of the craft, lost ones included
	Thrust [dynamics.MaxRotors]float64  // 1
	Roll   [dynamics.MaxRotors]float64  // 1/m
	Pitch  [dynamics.MaxRotors]float64  // 1/m
	Yaw    [dynamics.MaxRotors]float64  // 1/m
	Inner  [dynamics.MaxRotors]YawShare // what the search for a way out of saturation needs
	HasYaw bool                         // the rotors can yaw the craft by their reaction
	Tilts  bool                         // the rotors can roll and pitch it
}

// YawShare is the inverse of a rotor's part in yaw.
type YawShare struct {
	Inv   float64 // m, 1/Yaw, 0 where the rotor has no part in yaw
	Slope float64 // m, Thrust/Yaw
}

// Effect is what one rotor does to the body per newton of its thrust: thrust
// along body z (1), and moments about body x, y and z (m).
func (r *RotorModel) Effect() [4]float64 {
	m := r.PosB.Cross(r.AxisB).AddScaled(-r.Spin*r.KQ/r.KT, r.AxisB)
	return [4]float64{r.AxisB.Z, m.X, m.Y, m.Z}
}

// scales returns the lengths (m) by which moments are divided so that all four
// demands are thrusts of like size: the mean arm, twice, and the mean ratio of
// torque to thrust.
func (p *Params) scales() [4]float64 {
	arm, ratio := 0.0, 0.0
	for i := range p.RotorCount {
		arm += p.Rotors[i].PosB.NormXY()
		ratio += p.Rotors[i].KQ / p.Rotors[i].KT
	}
	n := float64(p.RotorCount)
	return [4]float64{1, arm / n, arm / n, ratio / n}
}

// leastRank is the least margin, in scaled demands for one newton of rotor
// thrust, at which a demand counts as one that the rotors can meet.
const leastRank = 1e-3

// NewMixer builds the mixer of the craft without the lost rotors. Yaw is left
// out where the rest cannot yaw the craft; where they cannot even tilt it, a
// damped inverse does what can be done.
func NewMixer(p *Params, lost *[dynamics.MaxRotors]bool) Mixer {
	var eff [4 * dynamics.MaxRotors]float64 // 4 rows of MaxRotors, scaled
	scale := p.scales()
	for i := range p.RotorCount {
		if lost[i] {
			continue
		}
		e := p.Rotors[i].Effect()
		for k := range 4 {
			eff[k*dynamics.MaxRotors+i] = e[k] / scale[k]
		}
	}
	m := Mixer{Count: p.RotorCount, HasYaw: true, Tilts: true}
	var inv [4 * dynamics.MaxRotors]float64 // MaxRotors rows of up to 4
	rows := 4
	if !dampedInverse(4, &eff, &inv, 0) {
		rows, m.HasYaw = 3, false
		if !dampedInverse(3, &eff, &inv, 0) {
			m.Tilts = false
			dampedInverse(3, &eff, &inv, 0.01)
		}
	}
	for i := range p.RotorCount {
		if lost[i] {
			continue
		}
		m.Thrust[i] = inv[i*rows] / scale[0]
		m.Roll[i] = inv[i*rows+1] / scale[1]
		m.Pitch[i] = inv[i*rows+2] / scale[2]
		if rows == 4 {
			m.Yaw[i] = inv[i*rows+3] / scale[3]
		}
		m.Inner[i] = yawShare(m.Thrust[i], m.Yaw[i], scale[3])
	}
	return m
}

// yawShare fills a YawShare; parts in yaw below a billionth are none.
func yawShare(thrust, yaw, scale float64) YawShare {
	if part := yaw * scale; part < 1e-9 && part > -1e-9 {
		return YawShare{}
	}
	return YawShare{1 / yaw, thrust / yaw}
}

// dampedInverse writes aᵀ·(a·aᵀ + damping·1)⁻¹ of the first rows of a
// (MaxRotors wide) to out. It returns false where a row is, within leastRank, a
// mix of those before it.
func dampedInverse(rows int, a, out *[4 * dynamics.MaxRotors]float64, damping float64) bool {
	var gram, factor [16]float64
	for i := range rows {
		for k := range rows {
			sum := 0.0
			for c := range dynamics.MaxRotors {
				sum += float64(a[i*dynamics.MaxRotors+c] * a[k*dynamics.MaxRotors+c])
			}
			if i == k {
				sum += damping
			}
			gram[i*rows+k] = sum
		}
	}
	factor = gram
	if !kernel.Cholesky(rows, factor[:rows*rows]) {
		return false
	}
	for i := range rows {
		if damping == 0 && factor[i*rows+i] < leastRank {
			return false
		}
	}
	for c := range dynamics.MaxRotors {
		var col [4]float64
		for i := range rows {
			col[i] = a[i*dynamics.MaxRotors+c]
		}
		kernel.SolveCholesky(rows, factor[:rows*rows], col[:rows])
		copy(out[c*rows:(c+1)*rows], col[:rows])
	}
	return true
}
