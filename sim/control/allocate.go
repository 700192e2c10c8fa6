package control

import (
	"math"

	"lapwing/dynamics"
	"lapwing/dynamics/kernel"
)

// Limited says what the mixer had to give up.
type Limited struct {
	Yaw   bool // the yaw moment is not the one asked for
	Lift  bool // nor is the thrust
	Tilts bool // nor are roll and pitch moments
}

// Allocate shares the demand out to the rotors: thrusts t (N, 0 … top). Where a
// rotor would leave its range the mixer gives up yaw first, then thrust, then
// roll and pitch together, and each no further than it must. It returns what it
// gave up and the thrust along body z that is left of the demand (N). Demands
// that are not numbers give no thrust.
func (m *Mixer) Allocate(d *Demand, top, t *[dynamics.MaxRotors]float64) (Limited, float64) {
	within := true
	for i := range min(m.Count, dynamics.MaxRotors) {
		x := float64(m.Thrust[i]*d.Thrust) + float64(m.Yaw[i]*d.Yaw) +
			(float64(m.Roll[i]*d.Roll) + float64(m.Pitch[i]*d.Pitch))
		t[i] = x
		within = within && x >= 0 && x <= top[i]
	}
	if within {
		return Limited{}, d.Thrust
	}
	return m.giveUp(d, top, t)
}

// giveUp finds what must be given up and leaves thrusts in range.
func (m *Mixer) giveUp(d *Demand, top, t *[dynamics.MaxRotors]float64) (Limited, float64) {
	yaw, lift, ok := m.slack(top, t)
	lim := Limited{Yaw: true, Lift: lift != 0}
	if !ok {
		lim.Lift, lim.Tilts = true, true
		yaw, lift = m.keepTilt(d, top, t)
	}
	for i := range m.Count {
		x := t[i] + float64(m.Yaw[i]*yaw) + float64(m.Thrust[i]*lift)
		t[i] = inRange(x, top[i])
	}
	return lim, d.Thrust + lift
}

// inRange holds x within 0 … top; what is not a number becomes 0.
func inRange(x, top float64) float64 {
	if !(x > 0) {
		return 0
	}
	if x > top {
		return top
	}
	return x
}

// keepTilt finds the greatest share of roll and pitch for which yaw and thrust
// have a way out, leaves the thrusts of that share in t, and returns the way
// out. Where there is none at all t keeps the whole demand, to be cut off rotor
// by rotor.
func (m *Mixer) keepTilt(d *Demand, top, t *[dynamics.MaxRotors]float64) (yaw, lift float64) {
	low, high := 0.0, 1.0
	found := false
	var trial [dynamics.MaxRotors]float64
	best := *t
	for step := range tiltSteps {
		share := 0.5 * (low + high)
		if step == 0 {
			share = 0
		}
		m.partly(d, share, &trial)
		y, l, ok := m.slack(top, &trial)
		if !ok {
			if step == 0 {
				return 0, 0
			}
			high = share
			continue
		}
		found, low, yaw, lift, best = true, share, y, l, trial
	}
	if found {
		*t = best
	}
	return yaw, lift
}

// tiltSteps is how often keepTilt looks: the share is found within 1/512.
const tiltSteps = 10

// partly writes the thrusts for the demand with only a share of roll and pitch.
func (m *Mixer) partly(d *Demand, share float64, t *[dynamics.MaxRotors]float64) {
	for i := range m.Count {
		tilt := float64(m.Roll[i]*d.Roll) + float64(m.Pitch[i]*d.Pitch)
		t[i] = float64(m.Thrust[i]*d.Thrust) + float64(m.Yaw[i]*d.Yaw) + float64(share*tilt)
	}
}

// slackTolerance is the share of a rotor's range by which rounding may miss it.
const slackTolerance = 1e-9

// window is a range of numbers, empty where Low > High.
type window struct{ Low, High float64 }

// cut narrows w to a·x ≤ b and tells whether the line a = 0 allows any x.
func (w *window) cut(a, b float64) bool {
	switch {
	case a > 0:
		w.High = min(w.High, b/a)
	case a < 0:
		w.Low = max(w.Low, b/a)
	default:
		return b >= 0
	}
	return true
}

// holds tells whether x lies in w.
func (w *window) holds(x float64) bool { return x >= w.Low && x <= w.High }

// nearest returns the number in w nearest to 0.
func (w *window) nearest() float64 {
	if w.Low > 0 {
		return w.Low
	}
	if w.High < 0 {
		return w.High
	}
	return 0
}

// bounds are the straight lines between which the added yaw moment must lie, as
// functions of the added thrust u: low − slope·u ≤ yaw ≤ high − slope·u.
type bounds struct{ low, high, slope float64 }

// slack finds the added yaw moment and added thrust that bring the thrusts t
// into range, the smallest added thrust first, then the smallest added yaw. It
// is the elimination of one unknown from 2·n inequalities (Fourier–Motzkin).
func (m *Mixer) slack(top, t *[dynamics.MaxRotors]float64) (yaw, lift float64, ok bool) {
	var line [dynamics.MaxRotors]bounds
	n := 0
	lifts := window{math.Inf(-1), math.Inf(1)}
	for i := range m.Count {
		eps := float64(slackTolerance * top[i])
		down, up := -t[i]-eps, top[i]-t[i]+eps
		in := m.Inner[i]
		if in.Inv == 0 {
			if !lifts.cut(m.Thrust[i], up) || !lifts.cut(-m.Thrust[i], -down) {
				if m.Thrust[i] != 0 || m.Roll[i] != 0 || m.Pitch[i] != 0 {
					return 0, 0, false
				}
			}
			continue
		}
		if in.Inv < 0 {
			down, up = up, down
		}
		line[n] = bounds{float64(down * in.Inv), float64(up * in.Inv), in.Slope}
		n++
	}
	if lifts.holds(0) {
		if yaw, ok := yawFor(line[:n], 0); ok {
			return yaw, 0, true
		}
	}
	for i := range n {
		for j := range n {
			if i != j && !lifts.cut(line[j].slope-line[i].slope, line[j].high-line[i].low) {
				return 0, 0, false
			}
		}
	}
	if !(lifts.Low <= lifts.High) {
		return 0, 0, false
	}
	lift = lifts.nearest()
	yaw, _ = yawFor(line[:n], lift) // an empty window here is rounding: its edge serves
	return yaw, lift, kernel.IsFinite(lift)
}

// yawFor returns the added yaw moment nearest to 0 between the lines at the
// added thrust lift, and whether there is room between them.
func yawFor(line []bounds, lift float64) (yaw float64, ok bool) {
	w := window{math.Inf(-1), math.Inf(1)}
	for i := range line {
		shift := float64(line[i].slope * lift)
		w.Low, w.High = max(w.Low, line[i].low-shift), min(w.High, line[i].high-shift)
	}
	return w.nearest(), w.Low <= w.High
}
