package control

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/safety"
)

// sticksCount tells whether the sticks are to be heeded: not once the craft has
// given the link up, where they only stand as last heard.
func (s *State) sticksCount(in *Input) bool { return in.Status.Link != safety.LinkLost }

// stickPair returns the roll and pitch sticks, shaped, as a vector in the
// heading frame (x forward, y left) of length 1 at most.
func stickPair(p *Params, h *hands.Hands) (x, y float64) {
	st := &p.Sticks
	x = Curve(hands.Share(h.Pitch), st.DeadBand, st.Expo)
	y = -Curve(hands.Share(h.Roll), st.DeadBand, st.Expo)
	if n := float64(x*x) + float64(y*y); n > 1 {
		n = 1 / math.Sqrt(n)
		x, y = x*n, y*n
	}
	return x, y
}

// toRoom turns a vector of the heading frame into the room, by the heading of q.
func toRoom(q kernel.Quat, x, y float64) (float64, float64) {
	n := float64(q.W*q.W) + float64(q.Z*q.Z)
	if n < 1e-12 {
		return x, y
	}
	c := (float64(q.W*q.W) - float64(q.Z*q.Z)) / n
	s := 2 * q.W * q.Z / n
	return float64(c*x) - float64(s*y), float64(s*x) + float64(c*y)
}

// stickVelocity returns the horizontal velocity (m/s, room axes) that the sticks
// ask for.
func (s *State) stickVelocity(p *Params, in *Input) (x, y float64) {
	if !s.sticksCount(in) || s.Acting == Acting(hands.Path) {
		return 0, 0
	}
	x, y = stickPair(p, &in.Hands)
	x, y = toRoom(in.Belief.QWB, x, y)
	return x * p.Limits.Speed, y * p.Limits.Speed
}

// stickTilt returns where the sticks want body z to point (unit, room axes):
// full stick is the tilt limit, stick forward leans forward.
func stickTilt(p *Params, q kernel.Quat, h *hands.Hands) kernel.Vec3 {
	x, y := stickPair(p, h)
	n := math.Sqrt(float64(x*x) + float64(y*y))
	if n == 0 {
		return kernel.Vec3{Z: 1}
	}
	sin, cos := kernel.SinCos(n * p.Limits.Tilt)
	x, y = toRoom(q, x*sin/n, y*sin/n)
	return kernel.Vec3{X: x, Y: y, Z: cos}
}
