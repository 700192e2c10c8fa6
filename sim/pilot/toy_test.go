package pilot

import (
	"math"

	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/hands"
	"lapwing/sim/percept"
)

// toy is a craft just good enough to fly by hand: a point with a lean that
// follows the sticks by a lag, thrust with a lag, a link that is two looks old, a
// floor, and response types that work perfectly. Independent of package sim, so
// that these tests say something about the pilots alone.
type toy struct {
	tick     int64
	posW     kernel.Vec3
	velW     kernel.Vec3
	leanW    kernel.Vec3 // horizontal part of the wanted thrust direction, as an angle vector, rad
	thrust   float64     // multiple of the weight
	yaw      float64
	yawRate  float64
	armed    bool
	actual   hands.Response
	h        hands.Hands
	late     [2]hands.Hands
	queue    [64]hands.Hands // what was sent of late
	slow     int64           // looks by which the link is later still, below 64
	p        percept.Percept
	holdW    kernel.Vec3
	wind     kernel.Vec3 // m/s², steady pull
	mark     float64
	slideW   kernel.Vec3 // m/s, error of position-hold
	refuse   bool        // position-based types are refused
	touched  float64     // m/s, closing speed of the last touch of the floor
	fullLean float64
	halls    float64 // m, half width of the room, wall at ±halls
	hit      bool
	camera   uint8
	personW  kernel.Vec3 // m, where somebody stands; nobody where it is zero
	onlyOnce func(t *toy)
}

const toyFeet = 0.1 // m, height of the centre when it stands

func newToy() *toy {
	t := &toy{posW: kernel.Vec3{Z: toyFeet}, h: hands.Rest(), mark: 0.42, fullLean: 0.6, halls: 3}
	t.late = [2]hands.Hands{t.h, t.h}
	t.look()
	return t
}

// flying returns a toy that hovers at pos under response r.
func flying(pos kernel.Vec3, r hands.Response) *toy {
	t := newToy()
	t.posW, t.holdW, t.thrust, t.armed, t.actual = pos, pos, 1, true, r
	t.h = hands.Hands{Throttle: hands.Stick(t.mark), Response: r, Armed: true}
	if r.HoldsHeight() {
		t.h.Throttle = 500
	}
	t.late = [2]hands.Hands{t.h, t.h}
	t.look()
	return t
}

func (t *toy) onFloor() bool { return t.posW.Z <= toyFeet+1e-9 }

func (t *toy) look() {
	before := t.p.VelW
	up := t.leanW
	n := math.Hypot(up.X, up.Y)
	if n > 1e-9 {
		up = up.Scale(math.Sin(n) / n)
	}
	uncommanded := 0.0
	if t.actual.PositionBased() && !t.onFloor() {
		uncommanded = t.slideW.NormXY()
	}
	t.p = percept.Percept{Tick: t.tick, PosW: t.posW, VelW: t.velW, Yaw: t.yaw, Tilt: n, TiltW: up,
		YawRate: t.yawRate, AccelW: t.velW.Sub(before).Scale(1 / look), HoldW: t.holdW, MoveDone: true, Uncommanded: uncommanded,
		Away: t.posW.Sub(t.holdW).NormXY(), OnFloor: t.onFloor(), Contact: t.hit,
		Wall:   t.halls - math.Max(math.Abs(t.posW.X), math.Abs(t.posW.Y)),
		Person: 1000, MotorsTurn: t.armed && !t.late[1].CutOff, Armed: t.armed, CutOff: t.late[1].CutOff,
		Commanded: t.h.Response, Actual: t.actual, Camera: t.camera, CellVolts: 3.9, HoverStick: t.mark,
		ShownPosW: t.posW, ShownYaw: t.yaw, PersonW: t.personW}
	if t.personW != (kernel.Vec3{}) {
		t.p.Person = t.posW.Sub(t.personW).NormXY()
	}
}

// turn is one look of a pilot and twenty ticks of the toy.
func (t *toy) turn(pilot Pilot) {
	t.look()
	if t.onlyOnce != nil {
		t.onlyOnce(t)
	}
	pilot.Act(&t.p, &t.h)
	sent := t.late[0]
	t.late[0] = t.h
	now := t.tick / percept.Every
	t.queue[now%int64(len(t.queue))] = sent
	heard := t.queue[max(0, now-t.slow)%int64(len(t.queue))]
	t.late[1] = heard
	for range percept.Every {
		t.step(&heard, 0.001)
	}
	t.tick += percept.Every
}

func (t *toy) step(h *hands.Hands, dt float64) {
	switch {
	case h.CutOff || !h.Armed:
		t.armed = false
	case h.Armed && !t.armed && h.Throttle == 0 && !h.CutOff && !h.Response.HoldsHeight():
		t.armed = true
	}
	if h.Response != t.actual && !(t.refuse && h.Response.PositionBased()) {
		t.actual, t.holdW = h.Response, t.posW
	}
	stick := func(x int16) float64 { return control.Curve(hands.Share(x), 0.05, 0.3) }
	x, y := stick(h.Pitch), -stick(h.Roll)
	sin, cos := math.Sincos(t.yaw)
	x, y = cos*x-sin*y, sin*x+cos*y
	want := kernel.Vec3{X: x, Y: y}.Scale(t.fullLean)
	share := hands.Share(h.Throttle) / t.mark
	if t.actual.HoldsHeight() {
		climb := control.Curve(2*hands.Share(h.Throttle)-1, 0.1, 0)
		if climb > 0 {
			climb *= 1.2
		} else {
			climb *= 0.8
		}
		share = 1 + 3*(climb-t.velW.Z)/gravity
	}
	if t.actual.PositionBased() {
		velW := kernel.Vec3{X: x * 2.5, Y: y * 2.5}.Add(t.slideW)
		want = limitXY(velW.Sub(t.velW).Scale(2.5/gravity), t.fullLean)
		want.Z = 0
	}
	if !t.armed {
		share = 0
	}
	t.leanW = t.leanW.AddScaled(8*dt, want.Sub(t.leanW))
	t.thrust += (share - t.thrust) * dt / 0.05
	t.yawRate = -stick(h.Yaw) * 1.5
	t.yaw += t.yawRate * dt
	n := math.Hypot(t.leanW.X, t.leanW.Y)
	push := kernel.Vec3{Z: math.Cos(n)}
	if n > 1e-9 {
		push.X, push.Y = t.leanW.X/n*math.Sin(n), t.leanW.Y/n*math.Sin(n)
	}
	acc := push.Scale(gravity * t.thrust).Add(t.wind)
	acc.Z -= gravity
	acc = acc.AddScaled(-0.3, t.velW)
	t.velW = t.velW.AddScaled(dt, acc)
	t.posW = t.posW.AddScaled(dt, t.velW)
	if t.posW.Z <= toyFeet {
		if t.velW.Z < -0.05 {
			t.touched = -t.velW.Z
		}
		t.posW.Z, t.velW = toyFeet, kernel.Vec3{}
		t.leanW = kernel.Vec3{}
	}
	if math.Max(math.Abs(t.posW.X), math.Abs(t.posW.Y)) > t.halls {
		t.hit = true
	}
}
