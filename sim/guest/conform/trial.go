package conform

import (
	"fmt"
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
	"lapwing/sim/control"
	"lapwing/sim/estimate"
	"lapwing/sim/hands"
	"lapwing/sim/path"
	"lapwing/sim/safety"
)

// trial is one law that is asked tick after tick about a craft that only stands
// on paper.
type trial struct {
	bench   *Bench
	outside *control.Outside // nil for the built-in law
	answer  *control.Answer  // the latest of a law from outside, as it was given
	state   control.State
	belief  estimate.Belief
	status  safety.Status
	in      control.Input
	out     control.Output
}

const (
	hoverHeight = 1.5  // m
	sagging     = 0.95 // share of full volts
	pause       = 60   // ticks with the motors off
	settle      = 400  // ticks of hover before anything is changed
)

// listener keeps the latest answer of a guest.
type listener struct {
	control.Guest
	last control.Answer
}

// Act implements control.Guest.
func (l *listener) Act(in *control.Input, want *control.Want, out *control.Answer) error {
	err := l.Guest.Act(in, want, out)
	l.last = *out
	return err
}

// outsideOf returns the talk with a guest and the place of its latest answer.
func outsideOf(g control.Guest) (*control.Outside, *control.Answer) {
	l := &listener{Guest: g}
	return control.NewOutside(l), &l.last
}

// newTrial starts a law.
func newTrial(b *Bench) (*trial, error) {
	t := &trial{bench: b, answer: &control.Answer{}}
	t.in.Belief, t.in.Status = &t.belief, &t.status
	if b.Start != nil {
		g, err := b.Start()
		if err != nil {
			return nil, err
		}
		t.outside, t.answer = outsideOf(g)
	}
	return t, nil
}

// hover puts the craft into a level hover at a heading (rad) and lets the law
// settle. The motors are off for a moment before, so that it begins anew.
func (t *trial) hover(response hands.Response, heading float64) error {
	t.set(response, heading)
	t.status.MotorsOn = false
	if err := t.ask(pause); err != nil {
		return err
	}
	t.status.MotorsOn = true
	return t.ask(settle)
}

// set sets belief, status and hands to a level hover at a heading (rad).
func (t *trial) set(response hands.Response, heading float64) {
	p := t.bench.Law
	t.belief = estimate.Belief{PosW: kernel.Vec3{X: 0.5, Y: -0.3, Z: hoverHeight}, QWB: kernel.QuatYaw(heading), Height: hoverHeight, HeightOK: true}
	t.status = safety.Status{MotorsOn: true, Armed: true, Response: response}
	t.in.CellVolts = sagging * p.FullVolts
	t.in.Hands = hands.Hands{Throttle: hands.Full / 2, Response: response, Armed: true}
	if !response.HoldsHeight() {
		t.in.Hands.Throttle = hands.Stick(control.HoverStick(p))
	}
	t.in.Path = path.Setpoint{PosW: t.belief.PosW, Yaw: heading, Active: response == hands.Path}
}

// end closes the law.
func (t *trial) end() {
	if t.outside != nil {
		t.outside.Guest.Close()
	}
}

// ask moves the law on by some ticks.
func (t *trial) ask(ticks int) error {
	for range ticks {
		control.LawWith(t.bench.Law, &t.state, &t.in, &t.out, t.outside)
		if t.outside != nil && t.outside.Err != nil {
			return fmt.Errorf("tick %d, in %s: %w", t.in.Tick, t.status.Response, t.outside.Err)
		}
		t.in.Tick++
	}
	return nil
}

// push is what rotors do to the craft: thrust along body z (N) and angular
// accelerations about body x, y, z (rad/s²).
type push [4]float64

// push returns what the present duties would do.
func (t *trial) push() push {
	p := t.bench.Law
	var f push
	volts := t.in.CellVolts / p.FullVolts
	for i := range p.RotorCount {
		speed := t.out.Duty[i] * volts
		effect := p.Rotors[i].Effect()
		for k := range f {
			f[k] += float64(p.Top[i] * speed * speed * effect[k])
		}
	}
	for k := range 3 {
		f[k+1] /= p.Inertia[4*k]
	}
	return f
}

// pushAfter returns how the mean push changes with a change of a settled hover.
func (t *trial) pushAfter(response hands.Response, heading float64, change func(*trial)) (d push, err error) {
	if err := t.hover(response, heading); err != nil {
		return d, err
	}
	before, err := t.meanPush(probeTicks)
	if err != nil {
		return d, err
	}
	change(t)
	after, err := t.meanPush(probeTicks)
	for k := range d {
		d[k] = after[k] - before[k]
	}
	return d, err
}

// meanPush asks for some ticks and returns the mean of what the duties would do.
func (t *trial) meanPush(ticks int) (mean push, err error) {
	for range ticks {
		if err := t.ask(1); err != nil {
			return mean, err
		}
		now := t.push()
		for k := range mean {
			mean[k] += now[k] / float64(ticks)
		}
	}
	return mean, nil
}

// fly moves a craft on by a tick under the law: belief is truth.
func (t *trial) fly(craft *dynamics.State, in *dynamics.Input, place *dynamics.Place) error {
	t.belief = estimate.Belief{PosW: craft.PosW, VelW: craft.VelW, QWB: craft.QWB, OmegaB: craft.OmegaB, Height: craft.PosW.Z, HeightOK: true}
	t.in.CellVolts = craft.Cell.Volts
	in.Tick = t.in.Tick
	if err := t.ask(1); err != nil {
		return err
	}
	in.Duty = t.out.Duty
	dynamics.Step(t.bench.Craft, place, craft, in)
	return nil
}

// size returns |x|.
func size(x float64) float64 { return math.Abs(x) }
