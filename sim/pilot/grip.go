package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// grip is the state of a hand that flies: what it has seen, what it trims out,
// how it trembles. Where the sticks stand is in the hands themselves.
type grip struct {
	seen   seen
	seed   uint64
	trimW  kernel.Vec3 // m/s², steady pull that is countered
	noise  [3]float64  // unsteadiness of roll, pitch and throttle, standard deviations
	yaw    float64     // rad, heading that is kept
	hasYaw bool
	turned float64 // rad, by which the pilot has turned round its idea of the heading
}

var tremble = kernel.NewStream("pilot-remnant")

// look takes in a percept and moves the unsteadiness on.
func (g *grip) look(hand *Hand, p *percept.Percept) {
	g.seen.take(p)
	if !g.hasYaw {
		g.yaw, g.hasYaw = p.Yaw, true
	}
	if g.turned != 0 {
		g.orient(p)
	}
	if hand.Remnant == 0 {
		return
	}
	const fade = look / noiseTime
	const fresh = 0.4 // √(2·look/noiseTime)
	for i := range g.noise {
		n := kernel.Normal(g.seed, tremble, p.Tick, uint64(i))
		g.noise[i] += float64(fresh*n) - float64(fade*g.noise[i])
	}
}

// fly moves the sticks for one look so that w comes about under response type r.
func (g *grip) fly(hand *Hand, p *percept.Percept, h *hands.Hands, r hands.Response, w *wish) {
	now := g.seen.at(looksBack(hand.Delay))
	now.yaw = wrapped(now.yaw + g.turned)
	want := hand.wantedVelocity(w, &now)
	g.keepYaw(hand, &now, h)
	switch r {
	case hands.Path:
		g.neutral(hand, h)
	case hands.PositionHold:
		x, y := toHeading(now.yaw, limitXY(want, hand.Brief.Feel.Speed))
		g.sticks(hand, h, x/hand.Brief.Feel.Speed, y/hand.Brief.Feel.Speed, 0)
		g.throttle(hand, h, hand.Brief.Feel.climbStick(want.Z))
	case hands.HeightHold:
		g.lean(hand, h, &now, want, w)
		g.throttle(hand, h, hand.Brief.Feel.climbStick(want.Z))
	default:
		g.lean(hand, h, &now, want, w)
		g.thrust(hand, p, h, &now, want.Z)
	}
	if r == hands.Rate {
		g.rates(hand, h, &now)
	}
}

// lean sets roll and pitch so that the craft leans towards the wanted velocity.
func (g *grip) lean(hand *Hand, h *hands.Hands, now *glance, want kernel.Vec3, w *wish) {
	f := &hand.Brief.Feel
	ahead := now.velW.AddScaled(hand.Lead*gravity/leanCos(now.leanW), now.leanW)
	off := want.Sub(ahead)
	off.Z = 0
	if off.NormXY() < trimNear && !w.grab {
		g.trimW = limitXY(g.trimW.AddScaled(trimShare*hand.Velocity*hand.Velocity*look, off), trimLevel)
	}
	most := min(hand.Lean, f.Tilt)
	if w.lean > 0 {
		most = min(most, w.lean)
	}
	gain := hand.Velocity
	if w.grab {
		gain = hand.Brake
	}
	pull := off.Scale(gain).Add(kernel.Vec3{X: g.trimW.X, Y: g.trimW.Y})
	x, y := toHeading(now.yaw, pull)
	n := math.Sqrt(float64(x*x) + float64(y*y))
	if n < 1e-9 {
		g.sticks(hand, h, 0, 0, hand.Remnant)
		return
	}
	share := min(kernel.Atan(n/gravity), most) / f.Tilt
	g.sticks(hand, h, share*x/n, share*y/n, hand.Remnant)
}

// rates turns roll and pitch, set for a lean, into body rates that reach it.
func (g *grip) rates(hand *Hand, h *hands.Hands, now *glance) {
	const gain = 4 // rad/s, a judgement
	f := &hand.Brief.Feel
	leanX, leanY := toHeading(now.yaw, now.leanW)
	pitch := float64(gain*(float64(hands.Share(h.Pitch)*f.Tilt)-leanX)) / f.BodyRate
	roll := float64(gain*(float64(hands.Share(h.Roll)*f.Tilt)+leanY)) / f.BodyRate
	h.Pitch, h.Roll = hands.Stick(stickFor(pitch, f.DeadBand, f.Expo)), hands.Stick(stickFor(roll, f.DeadBand, f.Expo))
}

// thrust sets the throttle, where it is thrust, for the wanted climb (m/s). With a
// craft that is over nobody flies: the throttle stays where it stands.
func (g *grip) thrust(hand *Hand, p *percept.Percept, h *hands.Hands, now *glance, climb float64) {
	if p.Tilt > over {
		return
	}
	f := &hand.Brief.Feel
	off := climb - now.velW.Z
	if math.Abs(off) < trimNear {
		share := trimShare
		if climb < 0 && now.posW.Z < groundNear {
			share = trimGround
		}
		g.trimW.Z += float64(share * hand.Climb * hand.Climb * look * off)
		g.trimW.Z = kernel.Clamp(g.trimW.Z, -trimLift, trimLift)
	}
	pull := kernel.Clamp(float64(hand.Climb*off)+g.trimW.Z, -0.6*gravity, 0.8*gravity)
	if f.ThrustRate > 0 {
		y := float64(hand.Climb*(pull-now.climbing)) / (gravity * f.ThrustRate)
		g.throttle(hand, h, 0.5+float64(0.5*stickFor(y, f.ThrottleBand, 0)))
		return
	}
	share := (1 + pull/gravity) / leanCos(now.leanW)
	share += float64(0.5 * hand.Remnant * g.noise[2])
	g.throttle(hand, h, f.thrustStick(share, p.HoverStick))
}

// sticks moves roll and pitch towards a share of full command (heading frame, x
// forward, y left) with the hand's unsteadiness.
func (g *grip) sticks(hand *Hand, h *hands.Hands, x, y, unsteady float64) {
	x += float64(unsteady * g.noise[1])
	y += float64(unsteady * g.noise[0])
	roll, pitch := hand.Brief.Feel.tiltSticks(x, y)
	h.Roll = moved(h.Roll, roll, hand.StickRate)
	h.Pitch = moved(h.Pitch, pitch, hand.StickRate)
}

// throttle moves the throttle towards x (0 … 1); its whole travel counts as two
// halves of a stick's.
func (g *grip) throttle(hand *Hand, h *hands.Hands, x float64) {
	h.Throttle = moved(h.Throttle, kernel.Clamp(x, 0, 1), 0.5*hand.StickRate)
}

// neutral lets go of roll, pitch and yaw and brings the throttle to the middle,
// where it holds height.
func (g *grip) neutral(hand *Hand, h *hands.Hands) {
	g.centre(hand, h)
	g.throttle(hand, h, 0.5)
}

// centre lets go of roll, pitch and yaw.
func (g *grip) centre(hand *Hand, h *hands.Hands) {
	h.Roll = moved(h.Roll, 0, hand.StickRate)
	h.Pitch = moved(h.Pitch, 0, hand.StickRate)
	h.Yaw = moved(h.Yaw, 0, hand.StickRate)
}

// rest brings the throttle to its lowest and lets go of the rest.
func (g *grip) rest(hand *Hand, h *hands.Hands) {
	g.centre(hand, h)
	g.throttle(hand, h, 0)
	g.trimW = kernel.Vec3{}
}

// keepYaw turns back to the kept heading once it is well off. A craft that seems
// to point the other way at once has not turned: that heading is taken for the
// one to keep.
func (g *grip) keepYaw(hand *Hand, now *glance, h *hands.Hands) {
	off := wrapped(g.yaw - now.yaw)
	if math.Abs(off) > turnedRound {
		g.yaw, off = now.yaw, 0
	}
	y := 0.0
	if math.Abs(off) > yawLoose {
		y = kernel.Clamp(float64(yawGain*off)/hand.Brief.Feel.YawRate, -0.5, 0.5)
	}
	h.Yaw = moved(h.Yaw, -stickFor(y, hand.Brief.Feel.DeadBand, hand.Brief.Feel.Expo), hand.StickRate)
}

// moved returns stick position at after one look of moving towards x at rate
// (half travels a second).
func moved(at int16, x, rate float64) int16 {
	now, step := hands.Share(at), rate*look
	return hands.Stick(now + kernel.Clamp(x-now, -step, step))
}

// wrapped returns angle a within −π … π.
func wrapped(a float64) float64 {
	for a > math.Pi {
		a -= 2 * math.Pi
	}
	for a < -math.Pi {
		a += 2 * math.Pi
	}
	return a
}
