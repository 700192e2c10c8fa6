package estimate

import "lapwing/dynamics/kernel"

// Motion is what the inertial sensors say of one interval of prediction. It
// fixes the error state's transition
//
//	pos'  = pos + T·vel
//	vel'  = vel + A·att + B·accelBias     A = −[dvW]× R,  B = −T·R
//	att'  = E·att − T·gyroBias            E = Exp(turnB)ᵀ
//
// with biases and clone constant: the error equations of a strapdown in a
// non-turning frame, J. Solà, Quaternion kinematics for the error-state Kalman
// filter (2017), section 5.3.3, written for specific force summed over the
// interval.
type Motion struct {
	T     float64     // s, length of the interval
	TurnB kernel.Vec3 // rad, sum of rate × time, bias taken off
	DvW   kernel.Vec3 // m/s, sum of specific force × time in room axes, bias taken off
}

// Growth is the variance that one second adds, from the noise densities.
type Growth struct {
	Vel, Att, GyroBias, AccelBias float64 // (m/s)²/s, rad²/s, (rad/s)²/s, (m/s²)²/s
}

// transition holds the blocks of F that are neither zero nor a multiple of one.
type transition struct {
	A, B, E kernel.Mat3
	T       float64
}

// fill works the blocks out in place: a transition returned by value would be
// copied, which costs a tenth of the prediction.
func (f *transition) fill(m *Motion, qWB kernel.Quat) {
	var r kernel.Mat3
	r.SetQuat(qWB)
	f.T = m.T
	d := m.DvW
	for j := range 3 { // A = −[d]× R, column by column
		x, y, z := r[j], r[3+j], r[6+j]
		f.A[j] = float64(d.Z*y) - float64(d.Y*z)
		f.A[3+j] = float64(d.X*z) - float64(d.Z*x)
		f.A[6+j] = float64(d.Y*x) - float64(d.X*y)
	}
	for i := range r {
		f.B[i] = -m.T * r[i]
	}
	f.E.SetQuat(smallTurn(m.TurnB.Neg()))
}

// Predict moves the covariance over one interval, P ← F·P·Fᵀ + Q, block by
// block: only the rows of position, velocity and attitude change. cloned tells
// whether the clone's blocks are in use; unused ones are zero and left out.
func Predict(p *Cov, m *Motion, g *Growth, qWB kernel.Quat, cloned bool) {
	var f transition
	f.fill(m, qWB)
	if cloned {
		f.across(&p[pc], &p[vc], &p[tc], &p[gc], &p[ac])
		f.across(&p[pk], &p[vk], &p[tk], &p[gk], &p[ak])
	}
	f.kinematic(p)
	q := m.T
	addDiagonal(&p[vv], float64(q*g.Vel))
	addDiagonal(&p[tt], float64(q*g.Att))
	addDiagonal(&p[gg], float64(q*g.GyroBias))
	addDiagonal(&p[aa], float64(q*g.AccelBias))
}

// across moves one column of blocks that itself stays constant.
func (f *transition) across(xp, xv, xt, xg, xa *kernel.Mat3) {
	addScaled(xp, f.T, xv)
	addTwo(xv, &f.A, xt, &f.B, xa)
	turned(xt, &f.E, f.T, xg)
}

// kinematic moves the blocks of position, velocity, attitude and biases: first
// the rows, Y = F·P, then the columns, Y·Fᵀ.
func (f *transition) kinematic(p *Cov) {
	var vp, tv, gt, at, av, ag kernel.Mat3
	transpose(&vp, &p[pv])
	transpose(&tv, &p[vt])
	transpose(&gt, &p[tg])
	transpose(&at, &p[ta])
	transpose(&av, &p[va])
	transpose(&ag, &p[ga])

	// Rows, from the top, so that what a row needs of those below is still old.
	addScaled(&p[pp], f.T, &vp)
	addScaled(&p[pv], f.T, &p[vv])
	addScaled(&p[pt], f.T, &p[vt])
	addScaled(&p[pg], f.T, &p[vg])
	addScaled(&p[pa], f.T, &p[va])
	addTwo(&p[vv], &f.A, &tv, &f.B, &av)
	addTwo(&p[vt], &f.A, &p[tt], &f.B, &at)
	addTwo(&p[vg], &f.A, &p[tg], &f.B, &ag)
	addTwo(&p[va], &f.A, &p[ta], &f.B, &p[aa])
	turned(&p[tt], &f.E, f.T, &gt)
	turned(&p[tg], &f.E, f.T, &p[gg])
	turned(&p[ta], &f.E, f.T, &p[ga])

	// Columns, from the left.
	addScaled(&p[pp], f.T, &p[pv])
	mirror(&p[pp])
	addTwoT(&p[pv], &p[pt], &f.A, &p[pa], &f.B)
	addTwoT(&p[vv], &p[vt], &f.A, &p[va], &f.B)
	mirror(&p[vv])
	turnedT(&p[pt], &f.E, f.T, &p[pg])
	turnedT(&p[vt], &f.E, f.T, &p[vg])
	turnedT(&p[tt], &f.E, f.T, &p[tg])
	mirror(&p[tt])
}
