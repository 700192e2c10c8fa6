package control

import (
	"math"

	"lapwing/dynamics"
)

// Outcome is what a craft can still do.
type Outcome uint8

// The outcomes.
const (
	NoRotor    Outcome = iota // no such rotor
	WithYaw                   // hovers, heading under control
	YawGivenUp                // hovers, turning
	Lost                      // cannot hover under control
)

// String returns the words for o.
func (o Outcome) String() string {
	return [...]string{"no rotor", "hovers with yaw", "hovers, yaw given up", "lost"}[min(o, Lost)]
}

// Verdict is what a craft can still do and by how much.
type Verdict struct {
	Outcome Outcome
	Yaw     float64 // margin of hover with yaw, as a share of the weight; 0 or less is none
	NoYaw   float64 // margin of hover with yaw given up, as a share of the weight; 0 or less is none
}

// LeastMargin is the margin, as a share of the weight, from which a hover counts
// as under control: below it a draught uses the last of the rotors' range.
const LeastMargin = 0.02

// Losses tells for each rotor what the craft can do without it, with the given
// volts under load for each cell.
//
// The margin is the distance from the hover wrench to the nearest face of the
// set of all wrenches that thrusts between nothing and full can give, moments
// scaled to thrusts by the mean arm and the mean ratio of torque to thrust. A
// hover inside that set is one from which every small wrench is possible either
// way, which for a multirotor is controllability: Du, Quan, Yang & Cai,
// "Controllability analysis for multirotor helicopter rotor degradation and
// failure", J. Guid. Control Dyn. 38(5), 2015 (from memory).
func Losses(c *dynamics.Craft, p *Params, volts float64) (v [dynamics.MaxRotors]Verdict) {
	for i := range p.RotorCount {
		var lost [dynamics.MaxRotors]bool
		lost[i] = true
		v[i] = Without(c, p, volts, &lost)
	}
	return v
}

// Without tells what the craft can do without the lost rotors.
func Without(c *dynamics.Craft, p *Params, volts float64, lost *[dynamics.MaxRotors]bool) Verdict {
	set := newWrenchSet(c, p, volts, lost)
	hover := [4]float64{p.Weight}
	v := Verdict{Outcome: Lost, Yaw: set.margin4(&hover) / p.Weight, NoYaw: set.margin3(&hover) / p.Weight}
	switch {
	case v.Yaw >= LeastMargin:
		v.Outcome = WithYaw
	case v.NoYaw >= LeastMargin:
		v.Outcome = YawGivenUp
	}
	return v
}

// ThrustToWeight returns the greatest thrust along body z over the weight, with
// the given volts under load for each cell.
func ThrustToWeight(c *dynamics.Craft, p *Params, volts float64) float64 {
	sum := 0.0
	for i := range p.RotorCount {
		sum += float64(topThrust(c, p, volts, i) * p.Rotors[i].AxisB.Z)
	}
	return sum / p.Weight
}

// topThrust returns the static thrust of rotor i at duty 1 (N).
func topThrust(c *dynamics.Craft, p *Params, volts float64, i int) float64 {
	speed := p.Rotors[i].SpeedMax * volts / p.FullVolts
	kT, _ := dynamics.Linear(c, p.Density, speed, i)
	return kT * speed * speed
}

// wrenchSet is the set of wrenches that rotors between nothing and full thrust
// can give: a sum of line segments (a zonotope).
type wrenchSet struct {
	n    int
	unit [dynamics.MaxRotors][4]float64 // scaled wrench per newton of a rotor
	top  [dynamics.MaxRotors]float64    // N
}

func newWrenchSet(c *dynamics.Craft, p *Params, volts float64, lost *[dynamics.MaxRotors]bool) (s wrenchSet) {
	scale := p.scales()
	for i := range p.RotorCount {
		if lost[i] {
			continue
		}
		e := p.Rotors[i].Effect()
		for k := range 4 {
			s.unit[s.n][k] = e[k] / scale[k]
		}
		s.top[s.n] = topThrust(c, p, volts, i)
		s.n++
	}
	return s
}

// margin4 returns the distance (N) from wrench w to the nearest face; negative
// outside. Every face is spanned by three rotors.
func (s *wrenchSet) margin4(w *[4]float64) float64 {
	least, any := math.Inf(1), false
	for i := range s.n {
		for j := range i {
			for k := range j {
				normal := normal4(&s.unit[i], &s.unit[j], &s.unit[k])
				s.face(&normal, w, &least, &any)
			}
		}
	}
	if !any {
		return 0
	}
	return least
}

// margin3 is margin4 with yaw left out: every face is spanned by two rotors.
func (s *wrenchSet) margin3(w *[4]float64) float64 {
	least, any := math.Inf(1), false
	for i := range s.n {
		for j := range i {
			a, b := &s.unit[i], &s.unit[j]
			normal := [4]float64{
				minor2(a[1], a[2], b[1], b[2]),
				-minor2(a[0], a[2], b[0], b[2]),
				minor2(a[0], a[1], b[0], b[1]),
				0,
			}
			s.face(&normal, w, &least, &any)
		}
	}
	if !any {
		return 0
	}
	return least
}

// face lowers least to the distance from w to the two faces across normal.
func (s *wrenchSet) face(normal, w *[4]float64, least *float64, any *bool) {
	length := math.Sqrt(dot4(normal, normal))
	if length < 1e-9 {
		return
	}
	*any = true
	up, down := 0.0, 0.0 // reach of the set along normal and against it
	for i := range s.n {
		if x := float64(dot4(normal, &s.unit[i]) * s.top[i]); x > 0 {
			up += x
		} else {
			down -= x
		}
	}
	at := dot4(normal, w)
	*least = min(*least, (up-at)/length, (down+at)/length)
}

// normal4 returns the vector at right angles to a, b and c in four dimensions.
func normal4(a, b, c *[4]float64) (n [4]float64) {
	for k := range 4 {
		i0, i1, i2 := others[k][0], others[k][1], others[k][2]
		det := float64(a[i0]*minor2(b[i1], b[i2], c[i1], c[i2])) -
			float64(a[i1]*minor2(b[i0], b[i2], c[i0], c[i2])) +
			float64(a[i2]*minor2(b[i0], b[i1], c[i0], c[i1]))
		if k%2 == 1 {
			det = -det
		}
		n[k] = det
	}
	return n
}

// others lists, for each of four indices, the other three in rising order.
var others = [4][3]int{{1, 2, 3}, {0, 2, 3}, {0, 1, 3}, {0, 1, 2}}

// minor2 returns the determinant of rows (a, b) and (c, d).
func minor2(a, b, c, d float64) float64 { return float64(a*d) - float64(b*c) }

func dot4(a, b *[4]float64) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2]) + float64(a[3]*b[3])
}
