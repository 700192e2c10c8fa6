package conform

import (
	"lapwing/dynamics/kernel"
	"lapwing/sim/hands"
)

const sameTicks = 1200 // of a story that is told twice

// shake moves belief and sticks about in a way that depends on the tick alone.
func (t *trial) shake() {
	s := float64(t.in.Tick) * 0.01
	a, b := kernel.Sin(s), kernel.Sin(float64(1.7*s)+1)
	t.belief.PosW.X, t.belief.PosW.Z = 0.5*a, hoverHeight+float64(0.3*b)
	t.belief.Height = t.belief.PosW.Z
	t.belief.VelW.Y, t.belief.OmegaB = 0.4*b, kernel.Vec3{X: 0.3 * a, Y: 0.3 * b, Z: 0.2 * a}
	t.belief.QWB = kernel.Quat{W: 1, X: 0.1 * a, Y: 0.1 * b, Z: 0.3 * b}.Normalized()
	t.in.Hands.Pitch, t.in.Hands.Yaw = hands.Stick(0.5*a), hands.Stick(0.5*b)
	t.status.Response = hands.Response(t.in.Tick / 250 % 4)
}

// checkSame tells the same story twice to laws that have not run, and its second
// half to a copy of the first one's memory.
func checkSame(b *Bench, r *Report) error {
	one, err := newTrial(b)
	if err != nil {
		return err
	}
	defer one.end()
	two, err := newTrial(b)
	if err != nil {
		return err
	}
	defer two.end()
	for _, t := range []*trial{one, two} {
		if err := t.hover(hands.Rate, 0); err != nil {
			return err
		}
	}
	var fork *trial
	for tick := range sameTicks {
		if tick == sameTicks/2 {
			if fork, err = one.fork(r); err != nil {
				return err
			}
		}
		for _, t := range []*trial{one, two, fork} {
			if t == nil {
				continue
			}
			t.shake()
			if err := t.ask(1); err != nil {
				return err
			}
		}
		if one.out != two.out {
			r.find(true, "the same questions were answered otherwise by a second start of the law, first at tick %d: it must not depend on clocks, on chance or on what was before it", tick)
			break
		}
		if fork != nil && one.out != fork.out {
			r.find(true, "a copy of its memory answered otherwise, first at tick %d, %d ticks after the copy", tick, tick-sameTicks/2)
			break
		}
	}
	r.Checks += 2
	if fork != nil {
		fork.end()
	}
	return nil
}

// fork returns a trial that goes on from a copy of the law, nil where it cannot
// be copied.
func (t *trial) fork(r *Report) (*trial, error) {
	twin := *t
	twin.in.Belief, twin.in.Status = &twin.belief, &twin.status
	if t.outside == nil {
		return &twin, nil
	}
	saved, err := t.outside.Guest.Save()
	if err != nil {
		r.find(false, "time available is not decided with this law: %v", err)
		return nil, nil
	}
	g, err := saved.Start()
	if err != nil {
		return nil, err
	}
	twin.outside, twin.answer = outsideOf(g)
	return &twin, nil
}

// checkBothQuaternions shows the same attitude by its other quaternion.
func (t *trial) checkBothQuaternions(r *Report) error {
	lean := func(t *trial) { t.tilt(0.15, 0.1) }
	negative := func(t *trial) {
		lean(t)
		q := &t.belief.QWB
		*q = kernel.Quat{W: -q.W, X: -q.X, Y: -q.Y, Z: -q.Z}
	}
	one, err := t.pushAfter(hands.Attitude, 0.4, lean)
	if err != nil {
		return err
	}
	two, err := t.pushAfter(hands.Attitude, 0.4, negative)
	if err != nil {
		return err
	}
	r.Checks++
	for k := roll; k <= yaw; k++ {
		if size(one[k]-two[k]) > leastAnswer {
			r.find(true, "an attitude and the same one by the negative quaternion were answered differently in %s: q and −q are one attitude", partNames[k])
			break
		}
	}
	return nil
}
