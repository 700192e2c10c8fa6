package sim

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/inject"
	"lapwing/sim/percept"
	"lapwing/sim/safety"
)

// Eye is how a percept is formed from one look to the next. It stays outside
// the replay's hash: it belongs to the person, not to the craft.
type Eye struct {
	refVelW dynamics.Vec3  // m/s, the speed that hands and briefed path ask for, eased in
	holdW   dynamics.Vec3  // m, where the craft should be
	velW    dynamics.Vec3  // m/s, at the last look
	actual  hands.Response // as last reported
	person  float64        // m, at the last look
	asked   hands.Hands    // hands when the craft last answered
	deadFor float64        // s
	quiet   int64          // ticks for which no telemetry has come though the link is up
	contact dynamics.Kind  // touches since the last look
	shown   shown          // the station's picture, frozen while no telemetry comes
	trend   trend          // what goes on over several looks
}

// shown is what the station last received from the craft.
type shown struct {
	armed, cutOff, landing bool
	refused                safety.Refusal
	actual                 hands.Response
	camera, battery        uint8
	volts                  float64
}

// How the eye works. Judgements, except where a source is named.
const (
	easeIn      = 1.2  // m/s², how fast a craft may be expected to take up a commanded speed
	linkFlag    = 200  // ticks without a frame after which the station shows the link flag
	quietFlag   = 1000 // ticks without telemetry after which the station says so
	stickMoved  = hands.Full / 20
	noPerson    = 1e3 // m
	hearMotors  = 60  // rad/s, below which a motor is not heard
	lookSeconds = percept.Every * dynamics.DT
)

func openEye(place *dynamics.Place, s *dynamics.State) Eye {
	person, _ := toPerson(place, s.PosW, dynamics.Vec3{})
	return Eye{holdW: s.PosW, person: person, actual: hands.Attitude,
		shown: shown{cutOff: true, actual: hands.Attitude}}
}

// toPerson returns the horizontal distance (m) from p to the nearest person and
// where they stand (m, room), where person 0 has walked by shiftW (m).
func toPerson(place *dynamics.Place, p, shiftW dynamics.Vec3) (d float64, atW dynamics.Vec3) {
	d = noPerson
	for i := range place.PersonCount {
		standsW := place.People[i].PosW.Add(shiftW)
		if away := standsW.Sub(p).NormXY(); away < d {
			d, atW = away, standsW
		}
		shiftW = dynamics.Vec3{}
	}
	return d, atW
}

// Look forms the percept of this tick in w.Percept.
func Look(c *Conditions, w *World) {
	e, p, s := &w.Eye, &w.Percept, &w.Craft
	p.Tick = w.Tick
	seeCraft(p, s, e, w.Effects.NoseMistaken)
	readStation(c, w)
	seePlace(c, w)
	seeIntent(c, w)
	hear(c, p, s)
	seeBench(c, w)
	seeTrend(c, w)
	e.velW = s.VelW
	e.contact = 0
}

// seeCraft fills what the eye sees of the craft itself. Who has lost sight of
// which way it points takes the tail for the nose.
func seeCraft(p *percept.Percept, s *dynamics.State, e *Eye, mistaken bool) {
	up := s.QWB.AxisZ()
	p.PosW, p.VelW = s.PosW, s.VelW
	p.AccelW = s.VelW.Sub(e.velW).Scale(1 / lookSeconds)
	p.Yaw, p.YawRate = s.QWB.Yaw(), s.OmegaB.Z
	if mistaken {
		p.Yaw -= math.Copysign(math.Pi, p.Yaw)
	}
	p.Tilt = s.QWB.Tilt()
	p.TiltW = kernel.Vec3{X: up.X, Y: up.Y}
	p.OnFloor = s.Touch.Kinds&dynamics.TouchSkidFloor != 0 && s.Touch.Load > 0
	p.Contact = (e.contact|s.Touch.Kinds)&^dynamics.TouchSkidFloor != 0
}

// readStation fills the instruments; they freeze while no telemetry comes. A
// craft without power answers nothing, so the link flag is up, but for one whose
// battery a person has taken out. Another craft that answers in its place keeps
// the flag down.
func readStation(c *Conditions, w *World) {
	e, p, status := &w.Eye, &w.Percept, &w.Safety.Status
	late := w.Heard.Age - c.Link.LatencyTicks // ticks beyond those that every frame takes
	silent := late > linkFlag || w.Craft.Cell.BrownOut
	e.hearTelemetry(&w.Effects, silent)
	p.Silent = e.quiet > quietFlag
	p.LinkLost = (silent || e.quiet == 0 && status.Link == safety.LinkLost) && !w.Effects.OtherCraft && w.Bench.BatteryIn
	if !silent && e.quiet == 0 {
		e.shown = shown{status.Armed, status.CutOff, status.Landing, status.Refused, status.Response,
			uint8(w.Estimate.Belief.Health), uint8(status.Battery), w.Reading.CellVolts}
		showEstimate(p, &w.Estimate)
		p.ShownPosW, p.ShownVelW = w.shownPosW(c), c.Carry.Fault.Show(dynamics.Vec3{}, p.ShownVelW)
		p.Motors = w.Input.Duty
	}
	p.Armed, p.CutOff, p.Landing = e.shown.armed, e.shown.cutOff, e.shown.landing
	p.Refused = refusalCall(e.shown.refused)
	p.Actual, p.Camera, p.Battery, p.CellVolts = e.shown.actual, e.shown.camera, e.shown.battery, e.shown.volts
	p.Commanded = w.Hands.Response
	p.HoverStick = control.HoverStick(&c.Law) * (1 + w.Effects.MarkOff)
	e.watchSticks(p, &w.Hands, late, w.Effects.StuckAxis)
}

// refusalCall returns the call that says which arming check refused.
func refusalCall(r safety.Refusal) hands.Call {
	if r == safety.RefusedNot {
		return hands.CallNone
	}
	return hands.CallRefusedCutOff + hands.Call(r-safety.RefusedCutOff)
}

// hearTelemetry counts for how long nothing has come back through a link that is
// up: telemetry is sent by the on-board computer.
func (e *Eye) hearTelemetry(fx *inject.Effects, silent bool) {
	if !silent && (fx.StationDead || fx.ComputerDead) {
		e.quiet += percept.Every
		return
	}
	e.quiet = 0
}

// showEstimate puts on the station where the craft takes itself to be.
func showEstimate(p *percept.Percept, e *estimate.Sighted) {
	b := &e.Belief
	p.ShownPosW, p.ShownVelW, p.ShownYaw = b.PosW, b.VelW, b.QWB.Yaw()
	p.Tracks = uint8(e.Sight.Tracks)
}

// watchSticks counts for how long a moved stick has had no answer: all of them
// while the craft hears nothing, one that is stuck while it hears the others.
func (e *Eye) watchSticks(p *percept.Percept, h *hands.Hands, age, stuck int64) {
	far := func(a, b int16) bool { return a-b > stickMoved || b-a > stickMoved }
	answered := age <= 5*percept.Every
	if answered {
		e.answer(h, stuck)
	}
	switch {
	case far(h.Roll, e.asked.Roll) || far(h.Pitch, e.asked.Pitch) || far(h.Yaw, e.asked.Yaw) ||
		far(h.Throttle, e.asked.Throttle):
		e.deadFor += lookSeconds
	case answered:
		e.deadFor = 0
	}
	p.DeadSticks = e.deadFor
}

// answer notes the sticks that the craft answers now: all but a stuck one.
func (e *Eye) answer(h *hands.Hands, stuck int64) {
	was := e.asked
	e.asked = *h
	switch inject.Axis(stuck) {
	case inject.AxisRoll:
		e.asked.Roll = was.Roll
	case inject.AxisPitch:
		e.asked.Pitch = was.Pitch
	case inject.AxisYaw:
		e.asked.Yaw = was.Yaw
	case inject.AxisThrottle:
		e.asked.Throttle = was.Throttle
	}
}

// seePlace fills distances to what could be hit.
func seePlace(c *Conditions, w *World) {
	e, p := &w.Eye, &w.Percept
	p.Wall = Clearance(&c.Craft, &c.Place, w.Craft.PosW)
	p.Above = above(&c.Craft, &c.Place, w.Craft.PosW)
	p.Person, p.PersonW = toPerson(&c.Place, w.Craft.PosW, w.Effects.PersonShiftW)
	p.PersonClosing = e.person-p.Person > float64(0.2*lookSeconds)
	e.person = p.Person
}

// Clearance returns the distance (m) from the craft's hull, a sphere round its
// guards, to the nearest net, wall, ceiling or box; negative inside one.
func Clearance(c *dynamics.Craft, place *dynamics.Place, posW dynamics.Vec3) float64 {
	lo, hi := place.Min, place.Max
	if place.HasNet {
		lo, hi = place.NetMin, place.NetMax
	}
	d := min(posW.X-lo.X, hi.X-posW.X, posW.Y-lo.Y, hi.Y-posW.Y, hi.Z-posW.Z)
	for i := range place.BoxCount {
		b := &place.Boxes[i]
		out := kernel.Vec3{
			X: max(b.Min.X-posW.X, 0, posW.X-b.Max.X),
			Y: max(b.Min.Y-posW.Y, 0, posW.Y-b.Max.Y),
			Z: max(b.Min.Z-posW.Z, 0, posW.Z-b.Max.Z),
		}
		d = min(d, out.Norm())
	}
	return d - c.Reach()
}

// above returns the distance (m) from the craft's hull to the ceiling or the net
// above it.
func above(c *dynamics.Craft, place *dynamics.Place, posW dynamics.Vec3) float64 {
	hi := place.Max.Z
	if place.HasNet {
		hi = place.NetMax.Z
	}
	return hi - posW.Z - c.Reach()
}

// seeIntent compares what the craft does with what it was asked to do.
func seeIntent(c *Conditions, w *World) {
	e, p, s := &w.Eye, &w.Percept, &w.Craft
	if p.Actual != e.actual || p.OnFloor || w.Carry.Held() {
		e.actual = p.Actual
		e.holdW, e.refVelW = s.PosW, s.VelW
	}
	want, follows := askedVelocity(c, w)
	step := want.Sub(e.refVelW)
	step.Z = 0
	if n := step.Norm(); n > easeIn*lookSeconds {
		step = step.Scale(easeIn * lookSeconds / n)
	}
	if follows {
		step = want.Sub(e.refVelW)
		e.holdW = w.Setpoint.PosW
	}
	e.refVelW = e.refVelW.Add(step)
	if !follows {
		e.holdW = e.holdW.AddScaled(lookSeconds, e.refVelW)
	}
	p.PathSpeed, p.PathDone = 0, false
	if follows {
		p.PathSpeed = w.Setpoint.VelW.NormXY()
		p.PathDone = w.Setpoint.Done && p.Actual == hands.Path
	}
	p.Uncommanded = 0
	if p.Actual.PositionBased() && !p.OnFloor {
		p.Uncommanded = s.VelW.Sub(e.refVelW).NormXY()
	}
	p.HoldW = e.holdW
	p.Away = s.PosW.Sub(e.holdW).NormXY()
}

// askedVelocity returns the velocity (m/s, room) that hands or path ask for;
// follows tells that the briefed path gives it.
func askedVelocity(c *Conditions, w *World) (velW dynamics.Vec3, follows bool) {
	switch w.Percept.Actual {
	case hands.Path:
		return w.Setpoint.VelW, w.Setpoint.Active || w.Setpoint.Done
	case hands.PositionHold:
		return c.Law.StickVelocity(&w.Hands, w.Percept.Yaw), false
	}
	return dynamics.Vec3{}, false
}

// hear fills what the ear tells of the motors.
func hear(c *Conditions, p *percept.Percept, s *dynamics.State) {
	sum := 0.0
	for i := range c.Craft.RotorCount {
		sum += s.RotorSpeed[i]
	}
	p.MotorsTurn = sum > hearMotors
	p.OddRotor = 0
	others := float64(c.Craft.RotorCount - 1)
	for i := range c.Craft.RotorCount {
		mean := (sum - s.RotorSpeed[i]) / others
		if mean > hearMotors {
			p.OddRotor = math.Max(p.OddRotor, math.Abs(s.RotorSpeed[i]-mean)/mean)
		}
	}
}
