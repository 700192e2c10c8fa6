package estimate

import (
	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// advance moves the nominal state over one tick by dead reckoning and adds the
// tick to the motion of the interval. Rate and specific force are means over
// the tick; the force is turned to the middle of the tick's rotation.
func advance(s *State, gyroB, accelB kernel.Vec3, gravity float64) {
	const dt = dynamics.DT
	b := &s.Belief
	omega := gyroB.Sub(s.GyroBias)
	turn := omega.Scale(dt)
	force := accelB.Sub(s.AccelBias)
	forceW := b.QWB.Rotate(force.AddScaled(0.5, turn.Cross(force)))
	accel := forceW
	accel.Z -= gravity

	b.PosW = b.PosW.AddScaled(dt, b.VelW).AddScaled(0.5*dt*dt, accel)
	b.VelW = b.VelW.AddScaled(dt, accel)
	b.QWB = near(b.QWB.Mul(tickTurn(turn)))
	b.OmegaB, b.AccelW = omega, accel

	s.Motion.T += dt
	s.Motion.TurnB = s.Motion.TurnB.Add(turn)
	s.Motion.DvW = s.Motion.DvW.AddScaled(dt, forceW)
}

// smallTurn is the rotation by the rotation vector phi (rad) as a series, good
// to 1e-12 up to 0.25 rad.
func smallTurn(phi kernel.Vec3) kernel.Quat {
	h := 0.25 * phi.NormSq() // half angle squared
	h2 := float64(h * h)
	h3 := float64(h2 * h)
	k := 0.5 - float64(h*(1.0/12)) + float64(h2*(1.0/240)) - float64(h3*(1.0/10080))
	w := 1 - float64(h*0.5) + float64(h2*(1.0/24)) - float64(h3*(1.0/720)) + float64(h3*h*(1.0/40320))
	return kernel.Quat{W: w, X: float64(k * phi.X), Y: float64(k * phi.Y), Z: float64(k * phi.Z)}
}

// tickTurn is smallTurn for one tick: good to 1e-12 up to 0.06 rad, which is
// 60 rad/s.
func tickTurn(phi kernel.Vec3) kernel.Quat {
	h := 0.25 * phi.NormSq()
	h2 := float64(h * h)
	k := 0.5 - float64(h*(1.0/12)) + float64(h2*(1.0/240))
	w := 1 - float64(h*0.5) + float64(h2*(1.0/24))
	return kernel.Quat{W: w, X: float64(k * phi.X), Y: float64(k * phi.Y), Z: float64(k * phi.Z)}
}

// near brings a quaternion whose length is within rounding of one back to one,
// by one Newton step for 1/√n.
func near(q kernel.Quat) kernel.Quat {
	n := float64(q.W*q.W) + float64(q.X*q.X) + float64(q.Y*q.Y) + float64(q.Z*q.Z)
	k := 1.5 - float64(0.5*n)
	return kernel.Quat{W: float64(k * q.W), X: float64(k * q.X), Y: float64(k * q.Y), Z: float64(k * q.Z)}
}

// turnedBy returns q·Exp(phi) for any phi, of unit length.
func turnedBy(q kernel.Quat, phi kernel.Vec3) kernel.Quat {
	if phi.NormSq() < 0.04 {
		return q.Mul(smallTurn(phi)).Normalized()
	}
	return q.Mul(kernel.QuatExp(phi)).Normalized()
}
